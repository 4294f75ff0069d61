//! The corpus of the fuzz targets (`tests/fuzz`) through their own checks: what broke something once, and what took a way of its own. So
//! the targets cannot fall behind what they try, either.

#[path = "../fuzz/tries/cam_table.rs"]
mod cam_table;
#[path = "../fuzz/tries/clicks.rs"]
mod clicks;
#[path = "../fuzz/tries/quantity.rs"]
mod quantity;
#[path = "../fuzz/tries/reader.rs"]
mod reader;
#[path = "../fuzz/tries/recording.rs"]
mod recording;
#[path = "../fuzz/tries/trace.rs"]
mod trace;

use std::fs;
use std::path::PathBuf;

/// Hands everything in one folder of the corpus to `tries`; what breaks it is named.
fn each(target: &str, mut tries: impl FnMut(&[u8])) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz/corpus").join(target);
    let mut tried = 0;
    for entry in fs::read_dir(&folder).expect("a folder") {
        let path = entry.expect("a file").path();
        println!("{}", path.display());
        tries(&fs::read(&path).expect("a file"));
        tried += 1;
    }
    assert!(tried > 5, "{}", folder.display());
}

/// The same for texts. As libFuzzer has it, what is not text is not tried.
fn each_text(target: &str, tries: impl Fn(&str)) {
    let mut tried = 0;
    each(target, |bytes| {
        if let Ok(text) = std::str::from_utf8(bytes) {
            tries(text);
            tried += 1;
        }
    });
    assert!(tried > 5, "{target}");
}

#[test]
fn property_texts_of_the_corpus_are_read_or_refused() {
    each_text("quantity", quantity::tries);
    each_text("reader", reader::tries);
}

#[test]
fn property_tables_of_the_corpus_are_read_or_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    each("cam_table", |table| cam_table::tries(folder.path(), table));
    each("trace", |table| trace::tries(folder.path(), table));
}

#[test]
fn property_sounds_of_the_corpus_are_heard_or_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    each("recording", |bytes| recording::tries(folder.path(), bytes));
    each("clicks", clicks::tries);
}
