//! Reading a scenario file: all mistakes at once, each at its place.

mod alloy;
mod blank;
mod cross;
mod draft;
mod lists;
mod needs;
mod place;
mod repair;
mod set;
mod suggest;
mod syntax;
mod value;
mod walk;

pub use value::in_range;

use toml::de::DeTable;

use super::mistakes::Mistakes;
use super::overrides::Override;
use super::resolved::Scenario;

/// Reads a scenario, with the values of `overrides` in place of the file's.
///
/// `file_name` is what mistakes are reported under; no file is opened.
///
/// # Errors
/// Every mistake found, in the order of the file, those of overrides last.
pub fn read(file_name: &str, text: &str, overrides: &[Override]) -> Result<Scenario, Mistakes> {
    let (repaired, faults) = repair::repaired(text);
    let (table, _) = DeTable::parse_recoverable(&repaired);
    let syntax = syntax::Syntax::new(text, &faults);
    let mut mistakes = syntax.mistakes().to_vec();
    let mut draft = walk::draft(table.get_ref(), text, &syntax, &mut mistakes);
    for given in overrides {
        if let Err(mistake) = set::apply(&mut draft, given) {
            mistakes.push(mistake);
        }
    }
    // What an unclosed bracket has swallowed cannot be called missing.
    if !syntax.swallows_the_rest() {
        needs::check(&mut draft, &syntax, &mut mistakes);
    }
    cross::check(&draft, &mut mistakes);
    alloy::check(&draft, &mut mistakes);
    if mistakes.is_empty() {
        Ok(draft.resolve(file_name, text))
    } else {
        Err(Mistakes::new(file_name, text, mistakes))
    }
}
