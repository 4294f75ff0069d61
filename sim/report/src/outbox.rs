//! Files written whole or not at all, and never over one that is there without being asked.
//!
//! A set appears as one: it is written into a folder of its own beside its place, and takes that place in one step
//! (`stage.rs`). What a killed run left is cleared by the next one into the same folder. Two runs into one folder wait for
//! each other. Nothing is forced onto the disk: what is lost when the current fails is computed again.

mod place;
mod stage;
mod twin;

pub use place::abandon;

use place::Place;
use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Why nothing was written.
#[derive(Debug)]
pub enum OutboxError {
    /// These files are there already.
    Taken(Vec<PathBuf>),
    /// These stand in the way, whether files are to be replaced or not.
    InTheWay(Vec<(PathBuf, Obstacle)>),
    /// The system refused.
    Refused(PathBuf, io::Error),
}

/// What is never written over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// A file that was read to make these.
    Read,
    /// A file where a folder is wanted.
    NotAFolder,
    /// A folder where a file is wanted.
    Folder,
    /// A link.
    Link,
    /// A device, a pipe or a socket.
    Device,
    /// A file that may not be written.
    ReadOnly,
}

impl Obstacle {
    /// What it is, and what would be right.
    fn words(self) -> &'static str {
        match self {
            Self::Read => "was read to make this and is never written over; name another place",
            Self::NotAFolder => "is a file, and a folder is wanted; name another place",
            Self::Folder => "is a folder, and a file is to go there; name another place, or take it away",
            Self::Link => "is a link; name the file that it leads to, or take the link away",
            Self::Device => "is no file; name another place",
            Self::ReadOnly => "may only be read; name another place, or let it be written",
        }
    }
}

impl fmt::Display for OutboxError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Taken(paths) => {
                let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
                let count = if names.len() == 1 { "this file is" } else { "these files are" };
                write!(
                    f,
                    "{count} already there: {}; name another place, or say --force to replace",
                    names.join(", ")
                )
            }
            Self::InTheWay(all) => {
                let said: Vec<String> =
                    all.iter().map(|(path, what)| format!("{} {}", path.display(), what.words())).collect();
                f.write_str(&said.join("\n"))
            }
            Self::Refused(path, error) => write!(f, "cannot write {}: {error}", path.display()),
        }
    }
}

impl std::error::Error for OutboxError {}

/// Files waiting to be written into one folder.
#[derive(Debug, Default)]
pub struct Outbox {
    files: Vec<(String, Vec<u8>)>,
    spared: Vec<PathBuf>,
}

impl Outbox {
    /// An outbox whose files are made of those in `read`, which are never written over.
    pub fn sparing(read: &[PathBuf]) -> Self {
        Self { files: Vec::new(), spared: read.to_vec() }
    }

    /// Adds a file.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.push((name.into(), bytes.into()));
    }

    /// The names of the files.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|(name, _)| name.as_str())
    }

    /// Writes every file into `folder`, which is made when it is not there: all of them or none.
    ///
    /// # Errors
    /// When a file is there already and `force` is not given, something is there that is never written over, or the system
    /// refuses. Nothing is then changed.
    pub fn send(&self, folder: &Path, force: bool) -> Result<(), OutboxError> {
        let place = Place::of(folder)?;
        self.may_stand(folder, force)?;
        place.put(&self.files, force).map_err(|(name, error)| {
            let path = name.map_or_else(|| folder.to_owned(), |name| folder.join(name));
            if error.kind() == io::ErrorKind::AlreadyExists {
                OutboxError::Taken(vec![path])
            } else {
                OutboxError::Refused(path, error)
            }
        })
    }

    /// Whether every file may be put into `folder`.
    fn may_stand(&self, folder: &Path, force: bool) -> Result<(), OutboxError> {
        let there: Vec<(PathBuf, Option<Obstacle>)> = self
            .names()
            .map(|name| folder.join(name))
            .filter_map(|path| fs::symlink_metadata(&path).ok().map(|found| (path, found)))
            .map(|(path, found)| {
                let obstacle = self.obstacle(&path, &found);
                (path, obstacle)
            })
            .collect();
        let in_the_way: Vec<(PathBuf, Obstacle)> =
            there.iter().filter_map(|(path, what)| what.map(|what| (path.clone(), what))).collect();
        if !in_the_way.is_empty() {
            return Err(OutboxError::InTheWay(in_the_way));
        }
        if !force && !there.is_empty() {
            return Err(OutboxError::Taken(there.into_iter().map(|(path, _)| path).collect()));
        }
        Ok(())
    }

    fn obstacle(&self, path: &Path, found: &fs::Metadata) -> Option<Obstacle> {
        let kind = found.file_type();
        if self.spared.iter().any(|read| place::same_file(read, path)) {
            Some(Obstacle::Read)
        } else if kind.is_symlink() {
            Some(Obstacle::Link)
        } else if kind.is_dir() {
            Some(Obstacle::Folder)
        } else if !kind.is_file() {
            Some(Obstacle::Device)
        } else if found.permissions().readonly() {
            Some(Obstacle::ReadOnly)
        } else {
            None
        }
    }
}
