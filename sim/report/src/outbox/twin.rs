//! A folder that can stand for another: what else lies in it is there by links, and folders within it are made again with the same
//! rights, so that the two can change places without anything of the owner's being away for an instant.

use std::ffi::OsStr;
use std::fs::{self, Metadata};
use std::path::Path;

/// More than this lying beside a set is a folder of other work, in which files are changed one by one.
const MOST: usize = 1000;

/// Makes of the folder `twin` one that can stand for `folder`, of which `found` is known, but for the names that are `own`; false
/// where that cannot be done, and then `twin` is of no use.
pub(super) fn make(folder: &Path, twin: &Path, found: &Metadata, own: &dyn Fn(&OsStr) -> bool) -> bool {
    filled(folder, twin, found, own, &mut MOST.clone()).is_some()
}

fn filled(
    folder: &Path,
    twin: &Path,
    found: &Metadata,
    own: &dyn Fn(&OsStr) -> bool,
    left: &mut usize,
) -> Option<()> {
    if !are_alike(&fs::metadata(twin).ok()?, found) || has_more(folder) {
        return None;
    }
    for entry in fs::read_dir(folder).ok()? {
        let entry = entry.ok()?;
        let name = entry.file_name();
        if own(&name) {
            continue;
        }
        *left = left.checked_sub(1)?;
        let (from, to) = (entry.path(), twin.join(name));
        if entry.file_type().ok()?.is_dir() {
            let found = entry.metadata().ok()?;
            fs::create_dir(&to).ok()?;
            filled(&from, &to, &found, &|_| false, left)?;
            // When it was changed, which filling it was not.
            let times = fs::FileTimes::new().set_modified(found.modified().ok()?);
            fs::File::open(to).and_then(|opened| opened.set_times(times)).ok()?;
        } else {
            fs::hard_link(from, to).ok()?;
        }
    }
    fs::set_permissions(twin, found.permissions()).ok()
}

/// Brings over what another program changed in `folder` since its twin `now` was made, the names that are `own` apart.
pub(super) fn bring_over(folder: &Path, now: &Path, own: &dyn Fn(&OsStr) -> bool) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let (from, to) = (entry.path(), now.join(entry.file_name()));
        if own(&entry.file_name()) {
            continue;
        }
        match (entry.metadata(), fs::symlink_metadata(&to)) {
            (Ok(old), Ok(new)) if old.is_dir() && new.is_dir() => bring_over(&from, &to, &|_| false),
            (Ok(old), Ok(new)) if is_same(&old, &new) => {}
            _ => {
                let _ = fs::rename(from, to);
            }
        }
    }
}

/// Whether two folders lie on one disk and belong to the same people.
#[cfg(unix)]
fn are_alike(one: &Metadata, other: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    let known = |of: &Metadata| (of.dev(), of.uid(), of.gid());
    known(one) == known(other)
}

/// Whether two names are of one file.
#[cfg(unix)]
fn is_same(one: &Metadata, other: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

#[cfg(not(unix))]
fn are_alike(_: &Metadata, _: &Metadata) -> bool {
    false
}

#[cfg(not(unix))]
fn is_same(_: &Metadata, _: &Metadata) -> bool {
    true
}

/// Whether a folder has more about it than a new one would, such as a list of who may read it.
#[cfg(target_os = "linux")]
fn has_more(folder: &Path) -> bool {
    let mut names = [0_u8; 4096];
    match rustix::fs::listxattr(folder, &mut names) {
        // The system's own labels come with a new folder too.
        Ok(length) => names[..length]
            .split(|byte| *byte == 0)
            .any(|name| !name.is_empty() && !name.starts_with(b"security.")),
        Err(error) => error != rustix::io::Errno::OPNOTSUPP,
    }
}

#[cfg(not(target_os = "linux"))]
fn has_more(_: &Path) -> bool {
    false
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;
    use std::path::PathBuf;

    fn folders() -> (tempfile::TempDir, PathBuf, PathBuf) {
        let within = tempfile::tempdir().expect("a folder");
        let (folder, twin) = (within.path().join("folder"), within.path().join("twin"));
        fs::create_dir_all(folder.join("deep/deeper")).expect("a folder");
        fs::create_dir(&twin).expect("a folder");
        for name in ["own", "one", "deep/two", "deep/deeper/three"] {
            fs::write(folder.join(name), name).expect("a file");
        }
        (within, folder, twin)
    }

    fn made(folder: &Path, twin: &Path) -> bool {
        make(folder, twin, &fs::metadata(folder).expect("it is there"), &|name| name == "own")
    }

    fn text(folder: &Path, name: &str) -> Option<String> {
        fs::read_to_string(folder.join(name)).ok()
    }

    #[test]
    fn what_another_program_did_meanwhile_is_brought_over() {
        let (_within, folder, twin) = folders();
        let changed = |name: &str| fs::metadata(folder.join(name)).and_then(|found| found.modified()).ok();
        let before = changed("deep");
        assert!(made(&folder, &twin));
        let at = fs::metadata(twin.join("deep")).and_then(|found| found.modified()).ok();
        assert_eq!(at, before);
        fs::write(folder.join("saved"), "anew").expect("a file");
        fs::rename(folder.join("saved"), folder.join("deep/two")).expect("a file");
        fs::write(folder.join("deep/deeper/late"), "late").expect("a file");
        fs::create_dir(folder.join("new")).expect("a folder");
        bring_over(&folder, &twin, &|name| name == "own");
        assert_eq!(text(&twin, "one").as_deref(), Some("one"));
        assert_eq!(text(&twin, "deep/two").as_deref(), Some("anew"));
        assert_eq!(text(&twin, "deep/deeper/three").as_deref(), Some("deep/deeper/three"));
        assert_eq!(text(&twin, "deep/deeper/late").as_deref(), Some("late"));
        assert!(twin.join("new").is_dir());
        assert_eq!((text(&twin, "own"), text(&folder, "own").as_deref()), (None, Some("own")));
    }

    #[test]
    fn a_folder_with_more_about_it_or_too_much_in_it_has_no_twin() {
        let (_within, folder, twin) = folders();
        for n in 0..MOST {
            fs::write(folder.join(format!("deep/{n}")), "").expect("a file");
        }
        assert!(!made(&folder, &twin));
        let (_within, folder, twin) = folders();
        let label = rustix::fs::setxattr(
            folder.join("deep"),
            "user.label",
            b"holiday",
            rustix::fs::XattrFlags::empty(),
        );
        // Not every disk has such labels.
        assert_eq!(made(&folder, &twin), label.is_err());
    }
}
