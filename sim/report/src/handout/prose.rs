//! The running text: answer, explanation, what would change it, cautions, and how the figures came about.

use super::super::charts::close;
use super::Answer;
use super::words::{bound, listed, roman};
use crate::cautions::CAUTIONS;
use crate::findings::sentence;
use crate::judge::words as names;
use crate::owner::{milliseconds, percent, rounded, significant};
use latchstroke_core::studies::judge::{Clock, Judgement, Onset, Verdict};
use latchstroke_core::studies::real_pace::RESERVE;
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use latchstroke_core::turn::{Finding, Turn};
use latchstroke_plots::page::{Block, Span};
use latchstroke_scenario::stated::fastest_pace;

/// More findings than this are left to the program's own report.
const MOST_FINDINGS: usize = 3;
/// More sizes than this are not told one by one.
const MOST_LISTED: usize = 5;
/// The changes that an owner can make without new parts, but for the sleeve.
const TOLD: [Change; 5] =
    [Change::Pace, Change::TripLift, Change::Preload, Change::PotTemperature, Change::AcceptedSkin];

/// The title.
pub fn title(answer: &Answer) -> String {
    format!("{}: is the latch needed?", answer.scenario.machine_name())
}

/// The line below the title.
pub fn subtitle(answer: &Answer) -> String {
    let sizes: Vec<String> =
        answer.overview.slowest.iter().map(|(sort, _)| answer.units.size(sort.body.0)).collect();
    let place = answer.scenario.text("machine.place").map_or(String::new(), |place| format!("{place}. "));
    let pace = match answer.overview.pace {
        Some(pace) => format!(" at {}", answer.units.turns(pace.0)),
        None => ", each at its own pace".to_owned(),
    };
    format!("{place}One turn of the machine, solved for {}", bound(&format!("{}{pace}", reach(&sizes))))
}

/// The line at the foot.
pub fn foot() -> String {
    format!("Computed by latchstroke {}. A model’s prediction, not a clearance.", env!("CARGO_PKG_VERSION"))
}

/// The answer in one paragraph.
pub fn answer(answer: &Answer) -> Vec<Block> {
    let sizes = |verdict: Verdict| -> Vec<String> {
        let judged = answer.overview.sizes.iter().map(|size| &size.judgement);
        judged.filter(|j| j.verdict == verdict).map(|j| answer.units.size(j.cast.sort.body.0)).collect()
    };
    let (aside, set, neither) = (sizes(Verdict::LeaveAside), sizes(Verdict::Set), sizes(Verdict::Neither));
    let clause =
        |sizes: &[String], words: &str| (!sizes.is_empty()).then(|| format!("{words} {}", reach(sizes)));
    let clauses: Vec<String> = [
        clause(&aside, "leave the latch aside for"),
        clause(&set, "set it for"),
        clause(&neither, "neither setting will do for"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let first = if aside.is_empty() {
        clauses.join("; ").replacen("set it", "set the latch", 1)
    } else {
        clauses.join("; ")
    };
    let pace = match answer.overview.pace {
        Some(pace) => format!("At {}", answer.units.turns(pace.0)),
        None => format!(
            "With each size cast as fast as it cools, over a reserve of {RESERVE}, and no faster than {}",
            answer.units.turns(fastest_pace(answer.scenario).0)
        ),
    };
    let liquid: Vec<String> = answer
        .overview
        .sizes
        .iter()
        .filter(|size| !size.solid.in_time())
        .map(|size| answer.units.size(size.judgement.cast.sort.body.0))
        .collect();
    let liquid = match liquid.as_slice() {
        [] => String::new(),
        sizes => format!("That is too fast for {} to be solid as the mould opens. ", reach(sizes)),
    };
    let text = format!("{pace}: {first}. {liquid}{}", own(answer));
    vec![Block::Heading("The answer".to_owned()), Block::Paragraph(roman(&text))]
}

/// The sizes of one verdict, one by one or, where they are many, as how many and from which to which.
fn reach(sizes: &[String]) -> String {
    match sizes {
        [first, .., last] if sizes.len() > MOST_LISTED => {
            format!("{} sizes from {first} to {last}", sizes.len())
        }
        _ => listed(sizes),
    }
}

/// The job's own cast, with its numbers.
fn own(answer: &Answer) -> String {
    let own = &answer.overview.own;
    let limit = match own.limits.deciding() {
        Clock::Skin => format!(
            "the skin on the face grows to the {} accepted",
            rounded(answer.units.fine, answer.acceptance.skin, 3)
        ),
        Clock::Bulk => "the metal in the middle stops flowing".to_owned(),
    };
    format!(
        "For {} the metal has {} to fill the mould: the time in which {limit}, over a margin of {}. With the latch aside {}; with it set {}.",
        answer.cast_words(own.cast),
        milliseconds(own.limits.allowed),
        significant(answer.acceptance.margin, 3),
        filling(&own.aside),
        filling(&own.set),
    )
}

fn filling(turn: &Turn) -> String {
    match turn.sound_fill_time() {
        Some(time) => format!("it takes {}", milliseconds(time)),
        None if turn.filled <= 0.0 => "the mould stays empty".to_owned(),
        None => format!("it comes out {} full", percent(turn.filled.min(1.0))),
    }
}

/// What the latch does and why.
pub fn latch(answer: &Answer) -> Vec<Block> {
    let machine = answer.machine;
    let (springs, throw) =
        if machine.springs.len() == 1 { ("spring", "spring throws") } else { ("springs", "springs throw") };
    let own = &answer.overview.own;
    let end = match own.set.throw {
        Some(thrown) => format!(
            "then the latch lets go of {} and the {throw} the piston, at up to {} here against {} with the latch aside. A throw is as fast at a slow pace as at a quick one: that is what the latch is for",
            rounded(answer.units.force, thrown.latch_load, 3),
            rounded(answer.units.speed, own.set.peaks.piston_speed, 2),
            rounded(answer.units.speed, own.aside.peaks.piston_speed, 2),
        ),
        None => format!(
            "then the latch should let go, so that the {throw} the piston as fast at a slow pace as at a quick one. In this machine as stated it throws nothing"
        ),
    };
    let text = format!(
        "With the latch aside, the piston goes with the cross block, as slowly as the cam turns. With the latch set, the spring rod is held while the cross block lifts {} and squeezes the {springs}; {end}.",
        rounded(answer.units.lift, machine.latch.trip_lift, 3),
    );
    vec![Block::Heading("What the latch does".to_owned()), Block::Paragraph(roman(&text))]
}

/// What would change the verdict.
pub fn changes(answer: &Answer) -> Vec<Block> {
    let mut blocks = vec![Block::Heading("What would change the verdict".to_owned())];
    blocks.push(Block::Item(spans("The pace. ", &paces(answer))));
    blocks.push(Block::Item(spans("The skin. ", &skins(answer))));
    if let Some((appraisal, remedies)) = &answer.overview.told {
        let about = format!("{}. ", answer.cast_words(appraisal.judgement.cast));
        blocks.push(Block::Item(spans(&about, &told(answer, remedies))));
    }
    blocks
}

/// An item: what it is about in italic, and what it says.
fn spans(about: &str, text: &str) -> Vec<Span> {
    let mut all = vec![Span::italic(close(about.trim_end()) + " ")];
    all.extend(roman(text));
    all
}

fn paces(answer: &Answer) -> String {
    let from: Vec<String> = spread(&answer.overview.slowest, MOST_LISTED)
        .map(|(sort, onset)| {
            let size = answer.units.size(sort.body.0);
            match onset {
                Onset::Always => format!("{size} at any pace"),
                Onset::From(pace) => format!("{size} from {}", answer.units.turns(*pace)),
                Onset::Never => format!("{size} at no pace"),
            }
        })
        .collect();
    format!(
        "The cam alone fills the mould in time, whether or not the type is then solid, for {}.",
        from.join(", ")
    )
}

/// At most `most` of all, first and last among them.
fn spread<T>(all: &[T], most: usize) -> impl Iterator<Item = &T> {
    let count = all.len().min(most);
    (0..count).filter_map(move |n| all.get(n * (all.len() - 1) / (count - 1).max(1)))
}

fn skins(answer: &Answer) -> String {
    let wanted: Vec<String> = answer
        .overview
        .thresholds
        .iter()
        .map(|(skin, onset)| {
            let skin = rounded(answer.units.fine, *skin, 3);
            match onset {
                Onset::Always => format!("every size with {skin}"),
                Onset::From(body) => format!("from {} with {skin}", rounded(answer.units.body, *body, 3)),
                Onset::Never => format!("no size with {skin}"),
            }
        })
        .collect();
    let pace = match answer.overview.pace {
        Some(pace) => format!("At {}", answer.units.turns(pace.0)),
        None => "With each size at its own pace".to_owned(),
    };
    format!("{pace}, the latch is wanted by the thickness of skin you accept: {}.", wanted.join(", "))
}

/// Where one change alone alters the verdict on a cast.
fn told(answer: &Answer, remedies: &[Remedy]) -> String {
    let all: Vec<String> = remedies
        .iter()
        .filter(|remedy| TOLD.contains(&remedy.change))
        .filter_map(|remedy| {
            let said = |side: &str, flip: Flip| {
                let value = names::value(remedy.change, flip.value, &answer.units);
                format!("{side} {value} ({}{})", names::then(flip.then), sleeve(answer, remedy, flip))
            };
            let sides = [remedy.below.map(|f| said("below", f)), remedy.above.map(|f| said("above", f))];
            let sides: Vec<String> = sides.into_iter().flatten().collect();
            (!sides.is_empty()).then(|| format!("{} {}", names::change(remedy.change), sides.join(" or ")))
        })
        .collect();
    if all.is_empty() {
        return "No single change that was tried alters the verdict.".to_owned();
    }
    format!("One change alone alters the verdict: {}.", all.join("; "))
}

/// What another trip lift means for the sleeve, where there is one.
fn sleeve(answer: &Answer, remedy: &Remedy, flip: Flip) -> String {
    let has_sleeve = answer.scenario.quantity("stack.sleeve").is_some_and(|sleeve| sleeve.si != 0.0);
    if remedy.change != Change::TripLift || !has_sleeve {
        return String::new();
    }
    let longer = if flip.value < remedy.now { "longer" } else { "shorter" };
    format!(", a sleeve {longer} by {}", rounded(answer.units.lift, (flip.value - remedy.now).abs(), 3))
}

/// What is wrong or stands out in the turns, each thing once.
pub fn stands_out(answer: &Answer) -> Vec<Block> {
    let mut seen: Vec<std::mem::Discriminant<Finding>> = Vec::new();
    let mut items = Vec::new();
    let sizes = answer.overview.sizes.iter().chain(&answer.overview.grid).map(|size| &size.judgement);
    let own_first = std::iter::once(&answer.overview.own).chain(sizes);
    for judgement in own_first {
        for (name, finding) in findings(judgement) {
            if !seen.contains(&std::mem::discriminant(finding)) && items.len() < MOST_FINDINGS {
                seen.push(std::mem::discriminant(finding));
                let about = format!("Latch {name}, {}. ", answer.cast_words(judgement.cast));
                items.push(Block::Item(spans(&about, &sentence(finding, &answer.units))));
            }
        }
    }
    if !items.is_empty() {
        items.insert(0, Block::Heading("What stands out".to_owned()));
    }
    items
}

fn findings(judgement: &Judgement) -> impl Iterator<Item = (&'static str, &Finding)> {
    [("aside", &judgement.aside), ("set", &judgement.set)]
        .into_iter()
        .flat_map(|(name, turn)| turn.findings.iter().map(move |finding| (name, finding)))
        .filter(|(_, finding)| !matches!(finding, Finding::ShortCast { .. } | Finding::SealedEarly { .. }))
}

/// The cautions, as printed by every report.
pub fn cautions() -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = String::new();
    let close_item = |open: &mut String, blocks: &mut Vec<Block>| {
        let text = std::mem::take(open);
        match text.strip_prefix("• ") {
            Some(item) => blocks.push(Block::Item(roman(item))),
            None if blocks.is_empty() => blocks.push(Block::Heading(text)),
            None => blocks.push(Block::Paragraph(roman(&text))),
        }
    };
    for line in CAUTIONS.lines() {
        // Only a line that goes on is indented by four.
        let goes_on = line.starts_with("    ");
        let text = line.trim();
        if goes_on || open.starts_with("These") {
            open += " ";
        } else if !open.is_empty() {
            close_item(&mut open, &mut blocks);
        }
        open += text;
    }
    if !open.is_empty() {
        close_item(&mut open, &mut blocks);
    }
    blocks
}

/// How the figures came about.
pub fn computed(answer: &Answer) -> Vec<Block> {
    let residual = [&answer.overview.own.aside, &answer.overview.own.set]
        .into_iter()
        .map(|turn| turn.energy_residual.abs())
        .fold(0.0, f64::max);
    let text = format!(
        "The equations of cam, cross block, latch, springs, rod, piston, metal, air and cooling skin are solved together over one turn of the shaft, event by event. The tables and curves come from {} such turns, the thresholds from searches over many more. Of the cam’s work in the turns charted, {} cannot be accounted for. The program is tested against an independent solution of the same equations, against closed solutions, and against handbooks; it has not been tested against your machine.",
        2 * (answer.overview.sizes.len() + answer.overview.grid.len() + answer.overview.curve.len() + 1),
        share(residual),
    );
    vec![Block::Heading("How the figures were computed".to_owned()), Block::Paragraph(roman(&text))]
}

/// A small share, by its first figure.
fn share(share: f64) -> String {
    format!("{} %", significant(100.0 * share, 1))
}

/// What the model leaves out.
pub fn left_out(answer: &Answer) -> Vec<Block> {
    let text = format!(
        "The waves within the springs, the splashing of the jet, and the heat of the metal behind the skin are left out; the last errs towards setting the latch. The mould’s wall stands at one temperature. Heat transfer into the wall, the give of the metal with its air, and the stiffness of the levers are estimates, and that a skin of {} will do is a judgement. Compare settings with each other before you believe a single figure, and believe your castings before either.",
        rounded(answer.units.fine, answer.acceptance.skin, 3),
    );
    vec![Block::Heading("What is left out".to_owned()), Block::Paragraph(roman(&text))]
}
