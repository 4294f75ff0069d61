//! Files as they lie on a disk: of what size, and in what writing.

use std::fs::File;
use std::io::{self, Read as _};
use std::ops::Range;
use std::path::Path;

use super::mistakes::{Location, Mistake, Mistakes};
use super::overrides::Override;
use super::reader::read_beside;
use super::resolved::Scenario;

/// Bytes of the longest file that is read; a scenario has some twenty thousand.
const LONGEST: u64 = 1 << 20;

/// Why there is no scenario.
#[derive(Debug)]
pub enum Unread {
    /// The file cannot be used at all: what is wrong and what would be right.
    Unusable(String),
    /// It can be read, and has mistakes.
    Mistakes(Mistakes),
}

/// Reads the scenario file at `path`, or standard input where that is `-`, with the values of `overrides` in place of its own.
///
/// # Errors
/// [`Unread`] if there is no such file, it is none for a scenario, or it has mistakes.
pub fn open(path: &Path, overrides: &[Override]) -> Result<Scenario, Unread> {
    let name = if is_input(path) { "standard input".to_owned() } else { path.display().to_string() };
    let bytes =
        bytes(path).map_err(|fault| Unread::Unusable(format!("{}; {}", fault.message, fault.right)))?;
    let text = decoded(bytes).map_err(|(text, faults)| {
        let mistake = |fault: Foreign| Mistake {
            message: fault.message,
            right: fault.right,
            location: Location::in_file(&text, fault.span),
        };
        Unread::Mistakes(Mistakes::new(&name, &text, faults.into_iter().map(mistake).collect()))
    })?;
    let mut scenario = read_beside(&name, &text, overrides, path.parent()).map_err(Unread::Mistakes)?;
    scenario.files.push(path.to_owned());
    Ok(scenario)
}

/// Whether a path is the word for standard input.
fn is_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// What is wrong with a file, and what would be right.
#[derive(Debug)]
pub(super) struct Fault {
    pub message: String,
    pub right: String,
}

/// The text of a file beside a scenario.
pub(super) fn text(path: &Path) -> Result<String, Fault> {
    decoded(bytes(path)?).map_err(|(text, faults)| {
        let first = faults.into_iter().next();
        let (message, right) = first.map_or_else(Default::default, |fault| {
            let line = Location::in_file(&text, fault.span).line().unwrap_or(1);
            (format!("{}, line {line}: {}", path.display(), fault.message), fault.right)
        });
        Fault { message, right }
    })
}

fn bytes(path: &Path) -> Result<Vec<u8>, Fault> {
    let shown = path.display();
    let refuse = |message: String| Fault { message, right: "name a file with text in it".to_owned() };
    let unread = |error: io::Error| refuse(format!("cannot read {shown}: {error}"));
    let mut bytes = Vec::new();
    let read = if is_input(path) {
        io::stdin().lock().take(LONGEST + 1).read_to_end(&mut bytes)
    } else {
        let found = std::fs::metadata(path).map_err(unread)?;
        if found.is_dir() {
            return Err(refuse(format!("{shown} is a folder")));
        }
        // What a shell puts in place of a file is a pipe too, but one that has no place on the disk.
        #[cfg(unix)]
        if std::os::unix::fs::FileTypeExt::is_fifo(&found.file_type()) && path.canonicalize().is_ok() {
            return Err(refuse(format!("{shown} is a pipe, for which one may wait for ever")));
        }
        File::open(path).map_err(unread)?.take(LONGEST + 1).read_to_end(&mut bytes)
    };
    read.map_err(unread)?;
    if bytes.len() as u64 > LONGEST {
        return Err(refuse(format!("{shown} is longer than a megabyte, which nothing read here is")));
    }
    Ok(bytes)
}

/// The text of bytes, or as far as it can be told with what is wrong with its writing.
fn decoded(bytes: Vec<u8>) -> Result<String, (String, Vec<Foreign>)> {
    let text = match String::from_utf8(bytes) {
        // In ASCII, UTF-16 reads as UTF-8 with a zero between any two letters.
        Ok(text) if !text.contains('\0') => text,
        Ok(text) => match utf_16(text.as_bytes()) {
            Some(_) => return Err(other_writing(text.as_bytes())),
            None => text,
        },
        Err(error) => return Err(other_writing(error.as_bytes())),
    };
    match text.find('\r') {
        Some(at) if !text.contains('\n') => {
            let fault = Foreign {
                message: "the lines of this file end as they did on old Macintoshes".to_owned(),
                right: "save it with the line ends of Unix or Windows in your editor".to_owned(),
                span: 0..at,
            };
            Err((text.replace('\r', "\n"), vec![fault]))
        }
        _ => Ok(text),
    }
}

/// What is wrong with the writing of a text.
struct Foreign {
    message: String,
    right: String,
    span: Range<usize>,
}

/// The text of bytes that are not UTF-8, as far as it can be told, and each place that is not.
fn other_writing(bytes: &[u8]) -> (String, Vec<Foreign>) {
    if let Some(text) = utf_16(bytes) {
        let fault = Foreign {
            message: "this file is in UTF-16, which some editors call Unicode, from its first character on"
                .to_owned(),
            right: "save it as UTF-8 in your editor".to_owned(),
            span: 0..text.chars().next().map_or(0, char::len_utf8),
        };
        return (text, vec![fault]);
    }
    let mut text = String::new();
    let mut faults = Vec::new();
    for chunk in bytes.utf8_chunks() {
        text += chunk.valid();
        for byte in chunk.invalid() {
            let start = text.len();
            let meant = windows_1252(*byte);
            text.push(meant);
            let right = match plain(meant) {
                Some(plain) => format!("write {plain}, or save the file as UTF-8 in your editor"),
                None => "save the file as UTF-8 in your editor".to_owned(),
            };
            let message = format!("`{meant}` is written as in Latin-1, not in UTF-8");
            faults.push(Foreign { message, right, span: start..text.len() });
        }
    }
    (text, faults)
}

/// The text of bytes in UTF-16, told by the mark at its start or by the zeros that most letters have for a half.
fn utf_16(bytes: &[u8]) -> Option<String> {
    // So many letters at the start tell, of which half must have a zero, and all at the same half.
    const LOOK: usize = 64;
    let start = bytes.get(..2 * LOOK).unwrap_or(bytes);
    let zeros = |half: usize| start.iter().skip(half).step_by(2).filter(|byte| **byte == 0).count();
    let most = |half: usize| 4 * zeros(half) > start.len() && zeros(1 - half) == 0;
    let (joined, rest): (fn([u8; 2]) -> u16, _) = match bytes {
        [0xff, 0xfe, rest @ ..] => (u16::from_le_bytes, rest),
        [0xfe, 0xff, rest @ ..] => (u16::from_be_bytes, rest),
        _ if most(1) => (u16::from_le_bytes, bytes),
        _ if most(0) => (u16::from_be_bytes, bytes),
        _ => return None,
    };
    let units = rest.chunks_exact(2).map(|pair| joined([pair[0], pair[1]]));
    Some(char::decode_utf16(units).map(|unit| unit.unwrap_or('\u{fffd}')).collect())
}

/// What a byte means in the writing that Windows long used, which is Latin-1 but for a few marks.
fn windows_1252(byte: u8) -> char {
    match byte {
        0x91 => '‘',
        0x92 => '’',
        0x93 => '“',
        0x94 => '”',
        0x96 => '–',
        0x97 => '—',
        0x80..0xa0 => '\u{fffd}',
        _ => char::from(byte),
    }
}

/// What any keyboard has in place of a character.
fn plain(c: char) -> Option<&'static str> {
    Some(match c {
        '±' => "+/-",
        '°' => "deg, as in degC",
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '²' => "2, as in mm2",
        '³' => "3, as in cm3",
        'µ' => "u, as in um",
        '×' => "x",
        '“' | '”' => "a straight \"",
        '–' | '—' => "-",
        _ => return None,
    })
}
