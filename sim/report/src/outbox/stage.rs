//! A set of files from waiting into its place, in one step where the system has one for it.

use super::place::{LETTERS, PREFIX, Place, pending};
use super::twin;
use std::ffi::OsStr;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// What the system refused, and for which file if it was one.
type Refusal = (Option<String>, io::Error);

impl Place {
    /// Puts the files into the folder, over those of the same names if `force` is given.
    pub fn put(&self, files: &[(String, Vec<u8>)], force: bool) -> Result<(), Refusal> {
        let set = Set { place: self, files, force };
        if !self.folder.is_dir() {
            set.as_new_folder()?;
        } else if files.len() == 1 || !set.as_changed_folder()? {
            set.one_by_one()?;
        }
        let mut pending = pending();
        pending.made.clear();
        pending.sent = true;
        Ok(())
    }
}

/// A set on its way.
struct Set<'a> {
    place: &'a Place,
    files: &'a [(String, Vec<u8>)],
    force: bool,
}

impl Set<'_> {
    /// Makes the folder with the set in it.
    fn as_new_folder(&self) -> Result<(), Refusal> {
        let staging = self.staged_in(&self.place.parent)?;
        let mut pending = pending();
        fs::rename(&staging, &self.place.folder).map_err(|error| (None, error))?;
        pending.staging = None;
        Ok(())
    }

    /// Puts a folder with the set and all else in it in place of the one that is there; false where that cannot be done.
    fn as_changed_folder(&self) -> Result<bool, Refusal> {
        let Place { folder, parent, .. } = self.place;
        // A shell whose folder this is would find itself nowhere.
        let at = std::env::current_dir().and_then(|at| at.canonicalize());
        let is_home = at.map_or(true, |at| at.starts_with(folder));
        let (Ok(found), false) = (fs::metadata(folder), is_home) else { return Ok(false) };
        let staging = match self.staged_in(parent) {
            Ok(staging) => staging,
            Err((_, error)) if error.kind() == io::ErrorKind::PermissionDenied => return Ok(false),
            Err(refusal) => return Err(refusal),
        };
        let mut pending = pending();
        let is_own = |name: &OsStr| self.files.iter().any(|(own, _)| **own == *name);
        if !twin::make(folder, &staging, &found, &is_own) || swap(&staging, folder).is_err() {
            pending.staging = None;
            let _ = fs::remove_dir_all(&staging);
            return Ok(false);
        }
        // The old folder is the staging now. What another program has put there meanwhile is its own.
        if let Some((name, _)) =
            self.files.iter().find(|(name, _)| !self.force && staging.join(name).exists())
        {
            let _ = swap(&staging, folder);
            return Err((Some(name.clone()), io::ErrorKind::AlreadyExists.into()));
        }
        twin::bring_over(&staging, folder, &is_own);
        pending.clear();
        Ok(true)
    }

    /// Puts the files into the folder one after the other; if one is refused, all is as before. Only a kill that cannot be heard
    /// can cut this in two.
    fn one_by_one(&self) -> Result<(), Refusal> {
        let Place { folder, .. } = self.place;
        let staging = self.staged_in(folder)?;
        let mut pending = pending();
        let mut undo: Vec<(PathBuf, Option<PathBuf>)> = Vec::new();
        for (name, _) in self.files {
            let (from, to) = (staging.join(name), folder.join(name));
            let kept = staging.join(format!("{name}.before"));
            let kept = fs::hard_link(&to, &kept).is_ok().then_some(kept);
            let moved = if self.force { fs::rename(&from, &to) } else { move_new(&from, &to) };
            if let Err(error) = moved {
                for (to, before) in undo.into_iter().rev() {
                    let _ = before.map_or_else(|| fs::remove_file(&to), |before| fs::rename(before, &to));
                }
                return Err((Some(name.clone()), error));
            }
            undo.push((to, kept));
        }
        if let Some(staging) = pending.staging.take() {
            let _ = fs::remove_dir_all(staging);
        }
        Ok(())
    }

    /// Writes all files into a new folder within `within`, for the program alone to see if it is to stand for one that is there.
    fn staged_in(&self, within: &Path) -> Result<PathBuf, Refusal> {
        let staging = {
            let mut pending = pending();
            let mut builder = tempfile::Builder::new();
            builder.prefix(PREFIX).rand_bytes(LETTERS);
            #[cfg(unix)]
            {
                let mode = if self.place.folder.is_dir() { 0o700 } else { 0o777 };
                builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(mode));
            }
            let staging = builder.tempdir_in(within).map_err(|error| (None, error))?.keep();
            pending.staging = Some(staging.clone());
            staging
        };
        for (name, bytes) in self.files {
            let _step = pending();
            let path = staging.join(name);
            let written = File::create_new(&path).and_then(|mut file| file.write_all(bytes)).and_then(|()| {
                // A file that is replaced keeps who may read it.
                fs::metadata(self.place.folder.join(name))
                    .map_or(Ok(()), |found| fs::set_permissions(&path, found.permissions()))
            });
            written.map_err(|error| (Some(name.clone()), error))?;
        }
        Ok(staging)
    }
}

/// Lets two folders change places, in one step.
#[cfg(any(target_os = "linux", target_os = "macos"))]
fn swap(one: &Path, other: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn swap(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Moves a file to where none is.
fn move_new(from: &Path, to: &Path) -> io::Result<()> {
    #[cfg(any(target_os = "linux", target_os = "macos"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE) {
            Ok(()) => return Ok(()),
            Err(error) if error == rustix::io::Errno::EXIST => return Err(error.into()),
            // Some disks do not know of this.
            Err(_) => {}
        }
    }
    if to.symlink_metadata().is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    fs::rename(from, to)
}
