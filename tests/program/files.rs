//! Files that the program writes: a set whole or not at all, whatever is in the way and whenever the program is killed; and never
//! over what was read, what is no file, or what nobody said may go.

use super::{latchstroke, run, scenario};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};

type Set = BTreeMap<String, Vec<u8>>;

/// What lies in a folder, hidden files too; of folders within it the names.
fn set(folder: &Path) -> Set {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| entry.expect("an entry"))
        .map(|entry| {
            let name = entry.file_name().into_string().expect("a plain name");
            (name, fs::read(entry.path()).unwrap_or_default())
        })
        .collect()
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

/// The command that draws the parts with a sleeve of so many millimetres.
fn parts<'a>(millimetres: &'a str, out: &'a Path, more: &[&'a str]) -> Vec<&'a str> {
    [&["parts", "--set", millimetres, "--out", text(out)], more].concat()
}

const OLD: &str = "stack.sleeve=68 mm";
const NEW: &str = "stack.sleeve=67.5 mm";

/// The set that a run by itself writes.
fn reference(millimetres: &str) -> Set {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("new");
    let (code, _, err) = run(&parts(millimetres, &out, &[]));
    assert!(code < 2, "{err}");
    assert_eq!(set(folder.path()).into_keys().collect::<Vec<_>>(), ["new"]);
    set(&out)
}

fn spawned(arguments: &[&str]) -> Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_latchstroke"));
    command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped());
    command.spawn().expect("the program starts")
}

#[test]
fn program_never_writes_over_the_scenario_that_was_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let own = fs::read_to_string(scenario("large_initials.toml")).expect("the demo");
    let file = folder.path().join("scenario.toml");
    fs::write(&file, &own).expect("a file");
    let refuses = |read: &Path, out: &Path| {
        for force in [&["--force"][..], &[]] {
            let (code, said, err) = run(&[&["turn", text(read), "--out", text(out)], force].concat());
            assert_eq!((code, said.as_str()), (2, ""));
            assert!(err.contains("was read to make this and is never written over"), "{err}");
        }
        assert_eq!(fs::read_to_string(&file).expect("the scenario"), own);
    };
    refuses(&file, folder.path());
    assert_eq!(set(folder.path()).len(), 1);
    #[cfg(unix)]
    {
        // By another name, and by a link that leads to it.
        let (hard, out) = (folder.path().join("hard.toml"), folder.path().join("out"));
        fs::hard_link(&file, &hard).expect("a link");
        refuses(&hard, folder.path());
        fs::create_dir(&out).expect("a folder");
        std::os::unix::fs::symlink(&file, out.join("scenario.toml")).expect("a link");
        refuses(&file, &out);
    }
}

/// A folder where one of the files is to go lets none of them be written.
#[test]
fn program_what_is_in_the_way_of_one_file_stops_all() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    assert!(run(&parts(OLD, &out, &[])).0 < 2);
    fs::remove_file(out.join("sleeve.pdf")).expect("a file");
    fs::create_dir(out.join("sleeve.pdf")).expect("a folder");
    let before = set(&out);
    let (code, said, err) = run(&parts(NEW, &out, &["--force"]));
    assert_eq!((code, said.as_str()), (2, ""), "{err}");
    assert!(err.contains("sleeve.pdf is a folder, and a file is to go there"), "{err}");
    assert_eq!(set(&out), before);

    let file = out.join("sleeve.svg");
    let (code, _, err) = run(&["parts", "--out", text(&file)]);
    assert!(code == 2 && err.contains("is a file, and a folder is wanted"), "{err}");
    let (code, _, err) = run(&["new", text(&folder.path().join("none/mine.toml"))]);
    assert!(code == 2 && err.contains("there is no folder"), "{err}");
    assert_eq!(set(folder.path()).len(), 1);
}

/// Puts into a folder what is another's: a folder with a text in it, and deeper a link to that.
#[cfg(unix)]
fn lay_down_mine(out: &Path) {
    use std::os::unix::fs::{PermissionsExt, symlink};
    fs::create_dir_all(out.join("mine/deeper")).expect("a folder");
    fs::set_permissions(out.join("mine"), fs::Permissions::from_mode(0o710)).expect("a mode");
    fs::write(out.join("mine/note.txt"), "mine").expect("a file");
    symlink("../note.txt", out.join("mine/deeper/link.txt")).expect("a link");
}

/// Whether that lies there as it was laid down.
#[cfg(unix)]
fn mine_lies(out: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let mode = fs::metadata(out.join("mine")).map(|found| found.mode() & 0o777);
    mode.is_ok_and(|mode| mode == 0o710)
        && fs::read_link(out.join("mine/deeper/link.txt")).is_ok_and(|to| to == Path::new("../note.txt"))
        && fs::read_to_string(out.join("mine/deeper/link.txt")).is_ok_and(|text| text == "mine")
}

/// Another's files and folders stay; what is replaced keeps who may read it; the set takes its place in one step, but for a folder that is
/// where the program runs, which is written into too.
#[cfg(unix)]
#[test]
fn program_leaves_other_files_and_modes_as_they_are() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("a folder");
    fs::set_permissions(&out, fs::Permissions::from_mode(0o750)).expect("a mode");
    fs::write(out.join("mine.txt"), "mine").expect("a file");
    lay_down_mine(&out);
    let number = |name: &str| fs::metadata(out.join(name)).expect("it is there").ino();
    let mine = (number("mine.txt"), number("mine/note.txt"));
    let (old, new) = (reference(OLD), reference(NEW));
    let mode = |path: &Path| fs::metadata(path).expect("it is there").mode() & 0o777;
    let with_mine = |of: &Set| {
        let mut all = of.clone();
        all.extend([("mine.txt".to_owned(), b"mine".to_vec()), ("mine".to_owned(), Vec::new())]);
        all
    };
    for at_home in [false, true] {
        let sent = |sleeve: &str, more: &[&str]| {
            let (from, to) =
                if at_home { (&*out, Path::new(".")) } else { (folder.path(), Path::new("out")) };
            let output =
                latchstroke().current_dir(from).args(parts(sleeve, to, more)).output().expect("it runs");
            output.status.code().expect("it ends")
        };
        assert!(sent(OLD, if at_home { &["--force"] } else { &[] }) < 2);
        assert_eq!(set(&out), with_mine(&old));
        fs::set_permissions(out.join("sleeve.svg"), fs::Permissions::from_mode(0o600)).expect("a mode");
        assert_eq!(sent(NEW, &[]), 2);
        assert_eq!(set(&out), with_mine(&old));
        let before = number(".");
        assert!(sent(NEW, &["--force"]) < 2);
        assert_eq!(set(&out), with_mine(&new));
        assert!(mine_lies(&out));
        assert_eq!(number(".") == before, at_home);
        assert_eq!((mode(&out), mode(&out.join("sleeve.svg"))), (0o750, 0o600));
    }
    assert_eq!((number("mine.txt"), number("mine/note.txt")), mine);
    assert_eq!(set(folder.path()).len(), 1);
}

#[cfg(unix)]
#[test]
fn program_writes_over_no_link_no_pipe_and_nothing_that_may_only_be_read() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    fs::write(at("file.toml"), "mine").expect("a file");
    fs::set_permissions(at("file.toml"), fs::Permissions::from_mode(0o444)).expect("a mode");
    symlink("nowhere", at("dangling.toml")).expect("a link");
    symlink("file.toml", at("link.toml")).expect("a link");
    assert!(Command::new("mkfifo").arg(at("pipe.toml")).status().expect("mkfifo is there").success());
    for (name, why) in [
        ("dangling.toml", "is a link"),
        ("link.toml", "is a link"),
        ("pipe.toml", "is no file"),
        ("file.toml", "may only be read"),
    ] {
        for force in [&["--force"][..], &[]] {
            let (code, _, err) = run(&[&["new", text(&at(name))], force].concat());
            assert!(code == 2 && err.contains(why), "{name}: {err}");
        }
    }
    assert_eq!(fs::read_to_string(at("file.toml")).expect("a file"), "mine");
    assert!(fs::read_link(at("link.toml")).is_ok() && fs::read_link(at("dangling.toml")).is_ok());
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 4);
    // Nor does it wait for what such a pipe might bring.
    let (code, _, err) = run(&["check", text(&at("pipe.toml"))]);
    assert!(code == 2 && err.contains("is a pipe"), "{err}");
}

/// A disk that takes no more: nothing is left, and it is said.
#[cfg(unix)]
#[test]
fn program_a_write_that_fails_half_way_leaves_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let limited = format!("ulimit -f 12; exec {} \"$@\"", env!("CARGO_BIN_EXE_latchstroke"));
    let output =
        Command::new("sh").args(["-c", &limited, "sh"]).args(parts(OLD, &out, &[])).output().expect("sh");
    let err = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(err.contains("cannot write") && err.contains("large"), "{err}");
    assert_eq!(set(folder.path()), Set::new());
}

/// Runs into one folder at once: without --force one of them writes, with it the last one does, each a whole set.
#[test]
fn program_runs_into_one_folder_at_once_leave_one_whole_set() {
    let sleeves = ["stack.sleeve=68 mm", "stack.sleeve=67.5 mm", "stack.sleeve=67 mm"];
    let whole = sleeves.map(reference);
    let folder = tempfile::tempdir().expect("a folder");
    for (round, force) in [&[][..], &[], &["--force"], &["--force"]].into_iter().enumerate() {
        let out = folder.path().join(format!("out{}", round / 3));
        if force.is_empty() {
            let _ = fs::remove_dir_all(&out);
        } else {
            fs::create_dir_all(out.join("mine")).expect("a folder");
        }
        let runs: Vec<Child> = sleeves.iter().map(|sleeve| spawned(&parts(sleeve, &out, force))).collect();
        let codes: Vec<i32> = runs
            .into_iter()
            .map(|run| run.wait_with_output().expect("it ends").status.code().expect("by itself"))
            .collect();
        let written = codes.iter().filter(|code| **code < 2).count();
        assert_eq!(written, if force.is_empty() { 1 } else { sleeves.len() }, "{codes:?}");
        let mut left = set(&out);
        assert_eq!(left.remove("mine").is_none(), force.is_empty());
        let whose = whole.iter().position(|set| *set == left).expect("a whole set");
        assert!(codes[whose] < 2, "{codes:?}: {whose}");
        assert!(set(folder.path()).keys().all(|name| name.starts_with("out")));
    }
}

/// Killed without a word at many points, a run leaves the old set or the new one; the next run clears what it had in waiting.
#[cfg(unix)]
#[test]
fn program_killed_at_any_point_leaves_one_whole_set() {
    const MINE: &str = "mine.txt";
    let (old, new) = (reference(OLD), reference(NEW));
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    assert!(run(&parts(OLD, &out, &[])).0 < 2);
    fs::write(out.join(MINE), "mine").expect("a file");
    lay_down_mine(&out);
    // How many files the run has in waiting.
    let waiting = || {
        let entries = fs::read_dir(folder.path()).expect("a folder").flatten();
        let staging = entries.filter(|entry| entry.file_name() != "out");
        staging.map(|staging| 1 + fs::read_dir(staging.path()).map_or(0, Iterator::count)).sum::<usize>()
    };
    let (mut kept, mut changed) = (0, 0);
    for point in 0..24 {
        let left_before = waiting();
        let sleeve = if changed % 2 == 0 { NEW } else { OLD };
        let mut run = spawned(&parts(sleeve, &out, &["--force"]));
        while run.try_wait().expect("it runs").is_none() {
            let now = waiting();
            if now != left_before && now >= point % 7 {
                break;
            }
        }
        let _ = run.kill();
        run.wait().expect("it ends");
        let mut left = set(&out);
        assert_eq!(left.remove(MINE).as_deref(), Some(&b"mine"[..]), "point {point}");
        assert!(left.remove("mine").is_some() && mine_lies(&out), "point {point}");
        let (before, after) = if changed % 2 == 0 { (&old, &new) } else { (&new, &old) };
        if left == *after {
            changed += 1;
        } else {
            assert!(left == *before, "point {point}: {:?}", left.keys());
            kept += 1;
        }
    }
    assert!(kept > 0, "killed too late every time: {kept} kept, {changed} changed");
    assert!(run(&parts(OLD, &out, &["--force"])).0 < 2);
    assert_eq!(set(folder.path()).into_keys().collect::<Vec<_>>(), ["out"]);
}

/// Ctrl-C and the system's wish end any command with the exit code a shell knows, wherever it is, and leave nothing.
#[cfg(target_os = "linux")]
#[test]
fn program_called_off_ends_with_the_signals_code_and_leaves_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let out = text(&out);
    // A scenario that does not come holds every command in its work for as long as the test likes.
    for command in [
        &["judge", "-"][..],
        &["check", "-"],
        &["turn", "-", "--out", out],
        &["sleeve", "-", "--out", out],
        &["talk", "-", "--out", out],
        &["film", "-", "--out", out],
        &["tolerance", "-", "--out", out],
        &["handout", "-", "--out", out],
    ] {
        for (signal, code) in [("INT", 130), ("TERM", 143)] {
            let mut run = spawned(command);
            // Waiting for it would close what it reads from.
            let held = run.stdin.take();
            super::signal(&mut run, signal);
            let output = run.wait_with_output().expect("it ends");
            drop(held);
            let said = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(code), "{command:?}: {said}");
            assert!(said.contains("called off; nothing was written"), "{said}");
        }
    }
    assert_eq!(set(folder.path()), Set::new());
}

/// Help that cannot be written is a failure as any other answer is; a reader that has gone is not.
#[cfg(target_os = "linux")]
#[test]
fn program_tells_when_its_answer_cannot_be_written() {
    for arguments in [&["--help"][..], &["--version"], &["judge", "--help"], &["cautions"], &["check"]] {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").expect("/dev/full");
        let mut command = Command::new(env!("CARGO_BIN_EXE_latchstroke"));
        let status = command.args(arguments).stdout(full).stderr(Stdio::null()).status().expect("it runs");
        assert_eq!(status.code(), Some(2), "{arguments:?}");
        let mut run = Command::new(env!("CARGO_BIN_EXE_latchstroke"))
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .expect("it runs");
        drop(run.stdout.take());
        assert_eq!(run.wait().expect("it ends").code(), Some(0), "{arguments:?}");
    }
}
