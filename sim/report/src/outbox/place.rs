//! The folder that a set of files goes into: found or made, held against other runs, and cleared of what killed ones left.

use super::{Obstacle, OutboxError};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// How the name of a folder of files in waiting begins, and how many letters follow.
pub(super) const PREFIX: &str = ".latchstroke-";
pub(super) const LETTERS: usize = 8;

/// What must be taken away again if the work is called off.
#[derive(Debug, Default)]
pub(super) struct Pending {
    /// The folder of files in waiting.
    pub staging: Option<PathBuf>,
    /// Folders made for the set, the outermost first.
    pub made: Vec<PathBuf>,
    /// Whether a set has been put in its place.
    pub sent: bool,
}

impl Pending {
    /// Takes away what is not whole.
    pub fn clear(&mut self) {
        if let Some(staging) = self.staging.take() {
            let _ = fs::remove_dir_all(staging);
        }
        // Only what is still empty goes: what has been put there meanwhile is somebody's.
        for folder in self.made.drain(..).rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

static PENDING: Mutex<Pending> = Mutex::new(Pending { staging: None, made: Vec::new(), sent: false });

/// What is pending, for one step that must not be cut in two.
pub(super) fn pending() -> MutexGuard<'static, Pending> {
    PENDING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Gives up a set that is being written, as the last thing a program does: waits for the step that is under way, takes away
/// what is not whole, and lets no other step begin. Answers whether a set has been written before.
pub fn abandon() -> bool {
    let mut pending = pending();
    pending.clear();
    let sent = pending.sent;
    std::mem::forget(pending);
    sent
}

/// Whether two paths lead to one file.
pub(super) fn same_file(one: &Path, other: &Path) -> bool {
    #[cfg(unix)]
    if let (Ok(one), Ok(other)) = (fs::metadata(one), fs::metadata(other)) {
        use std::os::unix::fs::MetadataExt;
        return (one.dev(), one.ino()) == (other.dev(), other.ino());
    }
    matches!((one.canonicalize(), other.canonicalize()), (Ok(one), Ok(other)) if one == other)
}

/// A folder ready to receive files. When it goes, whatever is not whole goes too.
pub(super) struct Place {
    /// The folder itself, through any links; it need not be there.
    pub folder: PathBuf,
    /// The folder it lies in.
    pub parent: PathBuf,
    /// Held as long as the place is.
    _locks: Vec<File>,
}

impl Place {
    /// Finds the folder, makes those it lies in, waits until no other run writes there, and clears what killed ones left.
    pub fn of(folder: &Path) -> Result<Self, OutboxError> {
        let in_the_way = |what| OutboxError::InTheWay(vec![(folder.to_owned(), what)]);
        let refused = |error| OutboxError::Refused(folder.to_owned(), error);
        let (folder, parent) = if let Ok(found) = fs::metadata(folder) {
            if !found.is_dir() {
                return Err(in_the_way(Obstacle::NotAFolder));
            }
            let folder = folder.canonicalize().map_err(refused)?;
            let parent = folder.parent().unwrap_or(&folder).to_owned();
            (folder, parent)
        } else if fs::symlink_metadata(folder).is_ok() {
            return Err(in_the_way(Obstacle::Link));
        } else {
            let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty());
            let parent = made(parent.unwrap_or(Path::new("."))).map_err(refused)?;
            let name = folder.file_name().ok_or_else(|| refused(io::ErrorKind::NotFound.into()))?;
            (parent.join(name), parent)
        };
        let mut locks = Vec::new();
        for folder in [&parent, &folder] {
            // Where a folder cannot be locked, as on some networks, runs do not wait for each other and nothing is cleared.
            if let Ok(file) = File::open(folder)
                && file.lock().is_ok()
            {
                locks.push(file);
                clear(folder);
            }
        }
        Ok(Self { folder, parent, _locks: locks })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        pending().clear();
    }
}

/// Makes a folder and those it lies in, and answers its full path.
fn made(folder: &Path) -> io::Result<PathBuf> {
    let missing: Vec<&Path> = folder
        .ancestors()
        .filter(|path| !path.as_os_str().is_empty())
        .take_while(|path| !path.exists())
        .collect();
    let mut pending = pending();
    for path in missing.into_iter().rev() {
        match fs::create_dir(path) {
            Ok(()) => pending.made.push(path.to_owned()),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && path.is_dir() => {}
            Err(error) => {
                pending.clear();
                return Err(error);
            }
        }
    }
    folder.canonicalize()
}

/// Takes away what a killed run left in a folder that is locked: no other run is writing there.
fn clear(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let rest = name.to_str().and_then(|name| name.strip_prefix(PREFIX));
        let is_ours = rest.is_some_and(|rest| {
            rest.len() == LETTERS && rest.chars().all(|letter| letter.is_ascii_alphanumeric())
        });
        if is_ours && entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}
