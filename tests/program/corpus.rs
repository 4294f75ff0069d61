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

/// Everything in one folder of the corpus.
fn corpus(target: &str) -> Vec<Vec<u8>> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/fuzz/corpus").join(target);
    let files = fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("a file").path());
    let all: Vec<Vec<u8>> = files.map(|path| fs::read(path).expect("a file")).collect();
    assert!(all.len() > 5, "{}", folder.display());
    all
}

/// As libFuzzer has it: what is not text is not tried as text.
fn texts(target: &str) -> Vec<String> {
    corpus(target).into_iter().filter_map(|bytes| String::from_utf8(bytes).ok()).collect()
}

#[test]
fn property_texts_of_the_corpus_are_read_or_refused() {
    for text in texts("quantity") {
        quantity::tries(&text);
    }
    for text in texts("reader") {
        reader::tries(&text);
    }
}

#[test]
fn property_tables_of_the_corpus_are_read_or_refused() {
    for table in corpus("cam_table") {
        cam_table::tries(&table);
    }
    for table in corpus("trace") {
        trace::tries(&table);
    }
}

#[test]
fn property_sounds_of_the_corpus_are_heard_or_refused() {
    for bytes in corpus("recording") {
        recording::tries(&bytes);
    }
    for bytes in corpus("clicks") {
        clicks::tries(&bytes);
    }
}
