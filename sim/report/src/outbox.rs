//! Files written whole or not at all, and never over one that is there without being asked.

use std::fmt;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why nothing was written.
#[derive(Debug)]
pub enum OutboxError {
    /// These files are there already.
    Taken(Vec<PathBuf>),
    /// The system refused.
    Refused(PathBuf, io::Error),
}

impl fmt::Display for OutboxError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Taken(paths) => {
                let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
                write!(
                    f,
                    "{} already there: {}; name another place, or say --force to replace",
                    count(&names),
                    names.join(", ")
                )
            }
            Self::Refused(path, error) => write!(f, "cannot write {}: {error}", path.display()),
        }
    }
}

impl std::error::Error for OutboxError {}

/// A file in waiting, with the permissions any new file has.
fn waiting_file() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".latchstroke-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

fn count(names: &[String]) -> &'static str {
    if names.len() == 1 { "this file is" } else { "these files are" }
}

/// Files waiting to be written into one folder.
#[derive(Debug, Default)]
pub struct Outbox {
    files: Vec<(String, Vec<u8>)>,
}

impl Outbox {
    /// Adds a file.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.push((name.into(), bytes.into()));
    }

    /// The names of the files.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.files.iter().map(|(name, _)| name.as_str())
    }

    /// Writes every file into `folder`, which is made when it is not there. Each is written beside its place first and moved
    /// there when all are complete.
    ///
    /// # Errors
    /// When a file is there already and `force` is not given, or the system refuses; nothing is then left half-written.
    pub fn send(&self, folder: &Path, force: bool) -> Result<(), OutboxError> {
        let targets: Vec<PathBuf> = self.files.iter().map(|(name, _)| folder.join(name)).collect();
        let taken: Vec<PathBuf> = targets.iter().filter(|path| path.exists()).cloned().collect();
        if !force && !taken.is_empty() {
            return Err(OutboxError::Taken(taken));
        }
        let new = !folder.exists();
        fs::create_dir_all(folder).map_err(|error| OutboxError::Refused(folder.to_owned(), error))?;
        let result = self.write(folder, &targets);
        if result.is_err() && new {
            // Leave no empty folder behind; one that has been filled meanwhile stays.
            let _ = fs::remove_dir(folder);
        }
        result
    }

    fn write(&self, folder: &Path, targets: &[PathBuf]) -> Result<(), OutboxError> {
        let mut waiting = Vec::with_capacity(targets.len());
        for ((_, bytes), target) in self.files.iter().zip(targets) {
            let refused = |error: io::Error| OutboxError::Refused(target.clone(), error);
            let mut file = waiting_file().tempfile_in(folder).map_err(refused)?;
            file.write_all(bytes).map_err(refused)?;
            waiting.push((file, target));
        }
        for (file, target) in waiting {
            file.persist(target).map_err(|error| OutboxError::Refused(target.clone(), error.error))?;
        }
        Ok(())
    }
}
