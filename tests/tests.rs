//! The outside world. Each file proves one thing, and each test's name starts with its evidence: `handbook_` (a published value or
//! worked example), `closed_form_` (what follows by hand), `reference_` (another solver or library), `balance_` (what must be as much
//! after as before), `property_` (what holds of any machine, grid or order), `practice_` (what the trade goes by, without a source) or
//! `program_` (the program as a user runs it).

mod balance;
mod handbook;
mod program;
mod reference;
mod support;
