//! What is made of the command line for those who hand the program on: completions, manual pages, the reference.

use super::args::{Arguments, CompletionsOptions, FolderOptions};
use super::{Failure, Outcome, answers, say};
use clap::{Command, CommandFactory as _};
use clap_complete::generate;
use clap_mangen::Man;
use latchstroke_report::outbox::Outbox;

/// Width of the reference's lines.
const COLUMNS: usize = 100;

/// The program's command line, with that of every command in it.
fn whole() -> Command {
    let mut whole = Arguments::command();
    whole.build();
    whole
}

/// A command and all that its help lists, and theirs.
fn shown(whole: &Command) -> Vec<&Command> {
    let listed =
        whole.get_subcommands().filter(|command| !command.is_hide_set() && command.get_name() != "help");
    std::iter::once(whole).chain(listed.flat_map(shown)).collect()
}

/// `latchstroke completions`.
///
/// # Errors
/// When standard output cannot be written.
pub fn completions(options: &CompletionsOptions) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    generate(options.shell, &mut Arguments::command(), env!("CARGO_PKG_NAME"), &mut script);
    say(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Done)
}

/// `latchstroke man`: a page for the program and one for each command.
///
/// # Errors
/// When the folder cannot be written.
pub fn manual(options: &FolderOptions) -> Result<Outcome, Failure> {
    let whole = whole();
    let mut outbox = Outbox::default();
    for command in shown(&whole) {
        // As typed, with the program before it; as a page is named, with a hyphen between.
        let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
        let mut page = Vec::new();
        // The foot of the page. Without a word in the place of the date the rest would be taken for it, and a date would make
        // another page of the same program.
        let man = Man::new(command.clone())
            .date(" ")
            .source(concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION")))
            .manual(env!("CARGO_PKG_NAME"));
        man.render(&mut page).map_err(Failure::plain)?;
        outbox.add(format!("{name}.1"), page);
    }
    answers::send(&outbox, &options.out, options.force, &[])?;
    Ok(Outcome::Done)
}

/// `latchstroke reference`.
///
/// # Errors
/// When standard output cannot be written.
pub fn reference() -> Result<Outcome, Failure> {
    let whole = whole();
    let mut page =
        format!("# {}\n\nThe help of every command, printed by `latchstroke reference`.\n", whole.get_name());
    for command in shown(&whole) {
        let name = command.get_bin_name().unwrap_or(command.get_name());
        let help = command.clone().term_width(COLUMNS).render_long_help().to_string();
        let lines: Vec<&str> = help.lines().map(str::trim_end).collect();
        page += &format!("\n## {name}\n\n```text\n{}\n```\n", lines.join("\n").trim_end());
    }
    say(&page)?;
    Ok(Outcome::Done)
}
