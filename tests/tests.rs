//! The outside world. Each file proves one thing, and each test's name starts with its evidence: `handbook_`, `closed_form_`,
//! `reference_`, `balance_`, `property_` or `program_`.

mod balance;
mod handbook;
mod program;
mod reference;
mod support;
