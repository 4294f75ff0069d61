//! What the folder holds, and what to say: Markdown files, and the words on the terminal.

use super::super::cautions::{self, CAUTIONS, CLOSING, HEADING};
use super::super::limits;
use super::super::turn::wrapped;
use super::{Slide, Told, left_out};

/// The program, as the files name it.
const PROGRAM: &str = concat!("latchstroke ", env!("CARGO_PKG_VERSION"));

/// The files beside the pictures, and what each is.
const FILES: [(&str, &str); 6] = [
    (
        "talk.pdf",
        "all pictures, one to a page, as vectors with their fonts inside; the headlines are in its outline",
    ),
    (
        "talk.html",
        "the same in one page for a browser, and the film in it: space, Enter and arrow keys go through it, f fills the screen; needs no network, prints one picture to a page",
    ),
    ("film.html", "the film of the turn alone, latch aside beside latch set, to play and to stop"),
    (
        "notes.md",
        "for the speaker: what each picture shows, what to say, what will be asked, and the cautions",
    ),
    ("contents.md", "this list"),
    ("scenario.toml", "the machine and the cast as understood, every value stated, to compute it all again"),
];

/// Text that Markdown shows as it is written.
fn escaped(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        if matches!(letter, '\\' | '`' | '*' | '_' | '<' | '>' | '[' | ']' | '&' | '|') {
            shown.push('\\');
        }
        shown.push(letter);
    }
    shown
}

/// Text on one line, safe in a table of Markdown. Spaces that do not break are kept.
fn cell(text: &str) -> String {
    let breaks = |c: char| c.is_whitespace() && c != '\u{a0}';
    let words: Vec<&str> = text.split(breaks).filter(|word| !word.is_empty()).collect();
    escaped(&words.join(" "))
}

fn title(told: &Told<'_>) -> String {
    format!("{}: is the pump latch needed?", cell(told.machine))
}

/// "24 pt at 20 turns/min: set the latch; lapping decides, kept 1.3 times over."
fn answer(told: &Told<'_>) -> String {
    limits::headline(&told.talk.judgement, &told.units) + "."
}

/// `contents.md`.
pub fn contents(told: &Told<'_>, slides: &[Slide<'_>]) -> String {
    let mut text = format!("# {}\n\n{}\n\n## Pictures\n\n", title(told), answer(told));
    text += "Each as PNG and as SVG with its text as outlines.\n\n";
    text += "| file | what it states | how it was computed |\n|---|---|---|\n";
    for slide in slides {
        text +=
            &format!("| `{}` | {} | {} |\n", slide.name(), cell(&slide.headline), cell(&slide.note.computed));
    }
    let left = left_out(told);
    if !left.is_empty() {
        text += "\nNot drawn:\n\n";
        for what in left {
            text += &format!("- {what}\n");
        }
    }
    text += "\n## Other files\n\n";
    for (name, what) in FILES.into_iter().filter(|(name, _)| *name != "film.html" || told.is_solved()) {
        text += &format!("- `{name}`: {what}\n");
    }
    let sizes: Vec<String> =
        told.talk.sizes.iter().map(|judgement| told.units.size(judgement.cast.sort.body.0)).collect();
    text += &format!(
        "\n## Versions\n\nMade by {PROGRAM} from `scenario.toml`, for {} at {}, sizes {}. The same scenario and options give the same files, byte for byte.\n\n",
        told.size(),
        told.pace(),
        sizes.join(", ")
    );
    text + &points()
}

/// `notes.md`.
pub fn notes(told: &Told<'_>, slides: &[Slide<'_>]) -> String {
    let mut text = format!("# Notes for the speaker\n\n{} {}\n", title(told), answer(told));
    for slide in slides {
        text += &format!(
            "\n## {}. {}\n\n{} ({})\n\nSay:\n\n",
            slide.number,
            cell(&slide.headline),
            slide.note.shows,
            cell(&slide.source)
        );
        for said in &slide.note.say {
            text += &format!("- {}\n", cell(said));
        }
        text += "\nLikely to be asked:\n\n";
        for (question, answer) in &slide.note.questions {
            text += &format!("- {question} {answer}\n");
        }
    }
    text.push('\n');
    text + &points()
}

/// The cautions as Markdown.
fn points() -> String {
    let points: String = CAUTIONS.iter().flat_map(|point| ["\n- ", point]).collect();
    format!("## {HEADING}\n{points}\n\n{CLOSING}\n")
}

/// What the command says on the terminal: the headlines, and the cautions.
pub fn spoken(told: &Told<'_>, slides: &[Slide<'_>]) -> String {
    let mut text = format!("{}\n{}\n\n", told.machine, answer(told));
    for slide in slides {
        let line = format!("{} {}", slide.number, slide.headline.replace('\u{a0}', " "));
        text += &wrapped(&line, 2, 5);
    }
    for what in left_out(told) {
        text += &wrapped(&format!("Not drawn. {what}"), 2, 2);
    }
    text.push('\n');
    text + &cautions::text()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_owner_calls_a_machine_is_no_markup() {
        let name = "<script>x</script> *No. 2* [old]_| `a` & b\\";
        let shown = cell(name);
        assert_eq!(shown, r"\<script\>x\</script\> \*No. 2\* \[old\]\_\| \`a\` \& b\\");
        assert_eq!(cell("24 pt: set the latch;\n 1.3 times"), "24 pt: set the latch; 1.3 times");
    }
}
