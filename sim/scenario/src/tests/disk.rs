//! Files as they lie on a disk.

use std::fs;
use std::path::Path;

use super::LARGE_INITIALS;
use crate::{Unread, open};

/// What is said of a file.
fn said(path: &Path) -> String {
    match open(path, &[]) {
        Ok(_) => "read".to_owned(),
        Err(Unread::Unusable(message)) => message,
        Err(Unread::Mistakes(mistakes)) => mistakes.to_string(),
    }
}

#[test]
fn another_writing_is_told_by_line_and_character() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("old.toml");
    let of = |bytes: &[u8]| {
        fs::write(&path, bytes).expect("a file");
        said(&path).replace(&path.display().to_string(), "old.toml")
    };
    assert_eq!(of(LARGE_INITIALS.as_bytes()), "read");
    assert_eq!(of(&[b"\xef\xbb\xbf", LARGE_INITIALS.as_bytes()].concat()), "read");
    let latin: Vec<u8> = LARGE_INITIALS.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?')).collect();
    let told = of(&latin);
    let line = 1 + LARGE_INITIALS.lines().position(|line| line.contains('±')).expect("a tolerance");
    assert!(told.starts_with(&format!("old.toml:{line}:")), "{told}");
    assert!(told.contains("`±` is written as in Latin-1, not in UTF-8 (and in "), "{told}");
    assert!(told.contains("write +/-, or save the file as UTF-8"), "{told}");
    assert!(told.ends_with("1 mistake in old.toml"), "{told}");
    for (mark, wide) in
        [([0xff, 0xfe], u16::to_le_bytes as fn(u16) -> [u8; 2]), ([0xfe, 0xff], u16::to_be_bytes)]
    {
        let bytes: Vec<u8> = mark.into_iter().chain(LARGE_INITIALS.encode_utf16().flat_map(wide)).collect();
        let told = of(&bytes);
        assert!(told.starts_with("old.toml:1:1: this file is in UTF-16"), "{told}");
        assert!(told.contains("save it as UTF-8"), "{told}");
        // Without the mark, of which some editors know nothing; and without a letter beyond ASCII, where it reads as UTF-8.
        for text in [LARGE_INITIALS.to_owned(), LARGE_INITIALS.replace(|c: char| !c.is_ascii(), "")] {
            let told = of(&text.encode_utf16().flat_map(wide).collect::<Vec<u8>>());
            assert!(told.starts_with("old.toml:1:1: this file is in UTF-16"), "{told}");
        }
    }
    let told = of(LARGE_INITIALS.replace('\n', "\r").as_bytes());
    assert!(told.starts_with("old.toml:1:1: the lines of this file end as they did"), "{told}");
    assert_eq!(of(LARGE_INITIALS.replace('\n', "\r\n").as_bytes()), "read");
    assert!(of(b"a = \"\0\"").starts_with("old.toml:1:"));
    assert!(of(b"a = \"\x934 mm\x94\"").contains("`“` is written as in Latin-1"));
}

#[test]
fn what_is_no_file_of_words_is_one_message() {
    let folder = tempfile::tempdir().expect("a folder");
    assert!(said(folder.path()).contains("is a folder; name a file"));
    assert!(said(&folder.path().join("none.toml")).starts_with("cannot read "));
    let path = folder.path().join("long.toml");
    fs::write(&path, vec![b'#'; (1 << 20) + 1]).expect("a file");
    assert!(said(&path).contains("is longer than a megabyte"), "{}", said(&path));
    fs::write(&path, vec![b'#'; 1 << 20]).expect("a file");
    assert!(!said(&path).contains("megabyte"));
    let scenario = folder.path().join("mine.toml");
    fs::write(&scenario, LARGE_INITIALS).expect("a file");
    assert_eq!(open(&scenario, &[]).expect("a scenario").files(), [scenario]);
    #[cfg(unix)]
    assert!(said(Path::new("/dev/zero")).contains("is longer than a megabyte"));
}
