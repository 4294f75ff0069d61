//! Sows mutants into a copy of the sources: every one is there in one build, asleep until its number is called (`mutant.rs`).
//!
//! ```text
//! latchstroke-mutants ROOT SKIP FILE...
//! ```
//!
//! ROOT is the copy, FILE a source below it. SKIP is a file of mutants that do not compile, one name a line. Prints every mutant as number,
//! place, kind and what it changes, between tabulators. Each file has a thousand numbers of its own.

mod sow;

use std::collections::HashSet;
use std::error::Error;
use std::fs;
use std::path::Path;

/// What is awake and when; it becomes a module of the models, by which all crates come.
const MUTANT: &str = include_str!("mutant.rs");

/// So many numbers has each file.
const NUMBERS: usize = 1000;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [root, skip, files @ ..] = arguments.as_slice() else {
        return Err("latchstroke-mutants ROOT SKIP FILE...".into());
    };
    let root = Path::new(root);
    let skip: HashSet<String> =
        fs::read_to_string(skip).unwrap_or_default().lines().map(str::to_owned).collect();
    for (file, first) in files.iter().zip((0..).step_by(NUMBERS)) {
        let path = root.join(file);
        let mut source = syn::parse_file(&fs::read_to_string(&path)?)?;
        let sown = sow::sow(&mut source, file, first, &skip);
        if sown.len() >= NUMBERS {
            return Err(format!("{file} has more than {NUMBERS} mutants").into());
        }
        for mutant in sown {
            println!("{mutant}");
        }
        fs::write(&path, prettyplease::unparse(&source))?;
    }
    let models = root.join("models/src");
    fs::write(models.join("mutant.rs"), MUTANT)?;
    let front = fs::read_to_string(models.join("lib.rs"))?;
    fs::write(models.join("lib.rs"), format!("{front}\npub mod mutant;\n"))?;
    Ok(())
}
