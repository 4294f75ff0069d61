//! Reading a scenario file: all mistakes at once, each at its place.

mod asked;
mod blank;
mod cam;
mod draft;
pub(super) mod keys;
mod lists;
mod missing;
mod needs;
mod neighbours;
mod place;
mod repair;
mod set;
mod suggest;
mod syntax;
mod value;
mod walk;

pub use lists::MOST as MOST_IN_LIST;
pub use suggest::nearest;
pub use value::in_range;

use std::path::Path;

use toml::de::DeTable;

use super::mistakes::Mistakes;
use super::overrides::Override;
use super::resolved::Scenario;
use neighbours::Neighbours;

/// Reads a scenario, with the values of `overrides` in place of the file's.
///
/// `file_name` is what mistakes are reported under; no file is opened. [`open`](super::open) reads one from a disk.
///
/// # Errors
/// Every mistake found, in the order of the file, those of overrides last.
pub fn read(file_name: &str, text: &str, overrides: &[Override]) -> Result<Scenario, Mistakes> {
    read_beside(file_name, text, overrides, None)
}

/// The same for a file in `folder`, beside which a table that it names may lie.
pub(super) fn read_beside(
    file_name: &str,
    text: &str,
    overrides: &[Override],
    folder: Option<&Path>,
) -> Result<Scenario, Mistakes> {
    let (repaired, faults) = repair::repaired(text);
    let (table, _) = DeTable::parse_recoverable(&repaired);
    let syntax = syntax::Syntax::new(text, &faults);
    let mut mistakes = syntax.mistakes().to_vec();
    let neighbours = Neighbours::of(table.get_ref());
    let mut draft = walk::draft(table.get_ref(), text, &syntax, &neighbours, &mut mistakes);
    for given in overrides {
        if let Err(mistake) = set::apply(&mut draft, given) {
            mistakes.push(mistake);
        }
    }
    // What an unclosed bracket has swallowed cannot be called missing.
    if !syntax.swallows_the_rest() {
        needs::check(&mut draft, &syntax, &neighbours, &mut mistakes);
    }
    let mut noted = cam::read(&mut draft, table.get_ref(), text, folder, &neighbours);
    mistakes.append(&mut noted.mistakes);
    mistakes.extend(asked::skin(&draft));
    noted.remarks.extend(asked::never_reached(&draft));
    let scenario = draft.resolve(file_name, text, noted);
    // What single values may be is said above; which of them cannot be together is for the machine that is made of them.
    mistakes.extend(scenario.impossible());
    if mistakes.is_empty() { Ok(scenario) } else { Err(Mistakes::new(file_name, text, mistakes)) }
}
