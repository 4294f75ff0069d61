//! The running text: answer, explanation, what would change it, cautions, and how the figures came about.

use super::super::charts::close;
use super::Answer;
use super::words::{bound, listed, roman};
use crate::cautions::{CAUTIONS, CLOSING, HEADING};
use crate::findings::sentence;
use crate::judge::words as names;
use crate::odds;
use crate::owner::{milliseconds, rounded, significant};
use crate::{LEFT_OUT, limits};
use latchstroke_core::limits::{Clock, Limit};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::job::{Size, Threshold};
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::studies::pace::Reach;
use latchstroke_core::studies::real_pace::RESERVE;
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use latchstroke_core::turn::Finding;
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::page::{Block, Span};
use latchstroke_scenario::Dimension;
use latchstroke_scenario::key;
use latchstroke_scenario::stated::Title;
use latchstroke_scenario::stated::fastest_pace;

/// More findings than this are left to the program's own report.
const MOST_FINDINGS: usize = 3;
/// More sizes than this are not told one by one.
const MOST_LISTED: usize = 5;
/// The changes that an owner can make without new parts, but for the sleeve.
const TOLD: [Change; 6] = [
    Change::Pace,
    Change::Sleeve,
    Change::TripLift,
    Change::Preload,
    Change::PotTemperature,
    Change::AcceptedSkin,
];

/// The title.
pub fn title(answer: &Answer) -> String {
    format!("{}: is the latch needed?", answer.scenario.machine_name())
}

/// The line below the title.
pub fn subtitle(answer: &Answer) -> String {
    let all = &answer.overview.answer.sizes;
    let sizes: Vec<String> = all.iter().map(|size| answer.units.size(size.sort.body.0)).collect();
    let place = answer.scenario.text(key!(Title, place)).map_or(String::new(), |place| format!("{place}. "));
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

/// The answer: the verdict for every size, the size from which the latch must be set, and what stands in the way.
pub fn answer(answer: &Answer) -> Vec<Block> {
    let sizes = |verdict: Verdict| -> Vec<String> {
        let judged = answer.told().filter(|judgement| judgement.verdict == verdict);
        judged.map(|judgement| answer.units.size(judgement.cast.sort.body.0)).collect()
    };
    let clause = |verdict: Verdict, words: &str| {
        let sizes = sizes(verdict);
        (!sizes.is_empty()).then(|| format!("{words} {}", reach(&sizes)))
    };
    let clauses: Vec<String> = [
        clause(Verdict::LeaveAside, "leave the latch aside for"),
        clause(Verdict::Set, "set the latch for"),
        clause(Verdict::Neither, "neither setting will do for"),
        clause(Verdict::NotKnown, "no verdict, since a turn could not be solved, for"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let pace = match answer.overview.pace {
        Some(pace) => format!("At {}", answer.units.turns(pace.0)),
        None => format!(
            "Each size cast as fast as it cools, over a reserve of {RESERVE}, and no faster than {}",
            answer.units.turns(fastest_pace(answer.scenario).0)
        ),
    };
    let first = format!("{pace}: {}. {}", clauses.join("; "), threshold(answer));
    let second =
        format!("{}{} {}", in_the_way(answer), own(answer).trim_end(), odds::unmeasured(answer.scenario));
    let sure = sure(answer);
    let paragraphs =
        [first.trim_end(), sure.as_str(), second.trim()].into_iter().filter(|text| !text.is_empty());
    let paragraphs = paragraphs.map(|text| Block::Paragraph(roman(text)));
    std::iter::once(Block::Heading("The answer".to_owned())).chain(paragraphs).collect()
}

/// How sure that is, size by size, as the judge has it.
fn sure(answer: &Answer) -> String {
    let told: Vec<&Judgement> = answer.told().collect();
    let alike = answer.doubts.alike(&told);
    if alike.is_empty() {
        return "Every value counts as exact, so nothing tells how sure that is.".to_owned();
    }
    let size = |judgement: &&Judgement| answer.units.size(judgement.cast.sort.body.0);
    let all: Vec<String> = alike
        .iter()
        .map(|(said, of)| format!("{said}, for {}", reach(&of.iter().map(size).collect::<Vec<_>>())))
        .collect();
    let left_out = answer.doubts.left_out();
    format!("How sure that is, with all that is not known left to vary: {}.{left_out}", all.join("; "))
}

/// From which size on the latch must be set, and the limit that is then missed with it aside.
fn threshold(answer: &Answer) -> String {
    let Reach { from, lost } = &answer.overview.aside;
    let missed = lost.map_or_else(String::new, |limit| format!(": {}", limits::missed(limit)));
    let up_to = |from: f64| answer.units.size_up_to(from);
    match from {
        Onset::Always => format!("No size will do with the latch aside{missed}. "),
        Onset::Never => "Every size will do with the latch aside. ".to_owned(),
        Onset::From(from) => format!(
            "The latch may stand aside up to {}; beyond, {}. ",
            up_to(*from),
            lost.map_or("a limit is missed", limits::missed)
        ),
        Onset::UnknownBeyond(from, why) => format!(
            "The latch may stand aside up to {} at least; not known beyond, because {}. ",
            up_to(*from),
            limits::why(why)
        ),
    }
}

/// For the sizes that cannot be cast: what stands in the way before all else, the sizes with the same reason together.
fn in_the_way(answer: &Answer) -> String {
    let mut reasons: Vec<(Limit, Vec<String>)> = Vec::new();
    for judgement in answer.told().filter(|judgement| judgement.verdict == Verdict::Neither) {
        let Some(cause) = judgement.standing(judgement.advised()).cause() else { continue };
        let size = answer.units.size(judgement.cast.sort.body.0);
        match reasons.iter_mut().find(|(limit, _)| *limit == cause.limit) {
            Some((_, sizes)) => sizes.push(size),
            None => reasons.push((cause.limit, vec![size])),
        }
    }
    let reason =
        |(limit, sizes): &(Limit, Vec<String>)| format!("of {}: {}", reach(sizes), limits::missed(*limit));
    let all: Vec<String> = reasons.iter().map(reason).collect();
    let all = if all.is_empty() { String::new() } else { format!("In the way {}. ", all.join("; ")) };
    let latch_fails = answer.told().find_map(|judgement| {
        let faults = judgement.standing(LatchSetting::Set).in_the_way();
        let mut of_latch = faults.filter(|m| matches!(m.limit, Limit::LatchTrips | Limit::LatchHolds));
        of_latch.next().map(|margin| limits::sentence(margin, &answer.units) + " ")
    });
    latch_fails.unwrap_or_default() + &all
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

/// The job's own cast: its verdict, the limit that decides, and how long the fill may take.
fn own(answer: &Answer) -> String {
    let own = &answer.overview.own;
    let clocks = &own.clocks;
    let limit = match clocks.deciding() {
        Clock::Lapping => "the first metal in becomes too cold to knit".to_owned(),
        Clock::Skin => format!(
            "the skin on the face grows to the {} accepted",
            answer.units.skin(answer.acceptance.skin)
        ),
        Clock::Bulk => "the metal in the middle stops flowing".to_owned(),
    };
    let otherwise = limits::otherwise(own).map_or_else(String::new, |said| format!(" {said}"));
    format!(
        "{}. The metal has {} to fill the mould: the time in which {limit}, over a margin of {}.{otherwise}",
        limits::headline(own, &answer.units),
        milliseconds(clocks.allowed),
        significant(answer.acceptance.margin, 3),
    )
}

/// What the latch does and why.
pub fn latch(answer: &Answer) -> Vec<Block> {
    let machine = answer.machine;
    let (springs, throw) =
        if machine.springs.len() == 1 { ("spring", "spring throws") } else { ("springs", "springs throw") };
    let own = &answer.overview.own;
    let end = match own.set.throw {
        Some(thrown) => format!(
            "then the latch lets go of {} and the {throw} the piston, at up to {} here against {} with the latch aside, as fast at a slow pace as at a quick one",
            answer.units.force(thrown.latch_load),
            rounded(answer.units.speed, own.set.peaks.piston_speed, 2),
            rounded(answer.units.speed, own.aside.peaks.piston_speed, 2),
        ),
        None => format!(
            "then the latch should let go, so that the {throw} the piston as fast at a slow pace as at a quick one. In this machine as stated it throws nothing"
        ),
    };
    let text = format!(
        "With the latch aside, the piston goes with the cross block, as slowly as the cam turns. With the latch set, the spring rod is held while the cross block lifts {} and squeezes the {springs}; {end}.",
        answer.units.lift(machine.latch.trip_lift),
    );
    vec![Block::Heading("What the latch does".to_owned()), Block::Paragraph(roman(&text))]
}

/// What would change the verdict.
pub fn changes(answer: &Answer) -> Vec<Block> {
    let job = &answer.overview.answer;
    let mut blocks = vec![Block::Heading("What would change the verdict".to_owned())];
    blocks.push(Block::Item(spans("The pace. ", &paces(answer))));
    blocks.push(Block::Item(spans("The skin, and the heat transfer. ", &skins(answer))));
    if let Some(size) = answer.overview.told.and_then(|place| job.sizes.get(place))
        && let Some(judgement) = size.told()
    {
        let about = format!("{}. ", answer.cast_words(judgement.cast));
        blocks.push(Block::Item(spans(&about, &told(answer, &size.remedies))));
    }
    let some_fail = answer.told().any(|judgement| !judgement.can_be_cast());
    if some_fail && job.sizes.len() > 1 {
        blocks.push(Block::Item(spans("All sizes. ", &for_all(answer, &job.for_all))));
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
    let from: Vec<String> = spread(&answer.overview.answer.sizes, MOST_LISTED)
        .map(|size: &Size| {
            let name = answer.units.size(size.sort.body.0);
            let slowest = |pace: f64| format!("from {}", answer.units.turns(pace));
            let onset = |onset| limits::onset(onset, slowest, "at any pace", "at no pace");
            format!("{name} {}", size.slowest.as_ref().map_or_else(|| "–".to_owned(), onset))
        })
        .collect();
    format!(
        "With the latch aside all limits are kept, up to the pace at which the type is still solid, for {}.",
        from.join(", ")
    )
}

/// At most `most` of all, first and last among them.
fn spread<T>(all: &[T], most: usize) -> impl Iterator<Item = &T> {
    let count = all.len().min(most);
    (0..count).filter_map(move |n| all.get(n * (all.len() - 1) / (count - 1).max(1)))
}

/// From which size on the latch must be set, in words that follow "wanted".
fn wanted(answer: &Answer, size: &Onset) -> String {
    let from = |body: f64| format!("from {}", rounded(answer.units.body, body, 3));
    limits::onset(size, from, "for every size", "for no size")
}

fn at_pace(answer: &Answer) -> String {
    match answer.overview.pace {
        Some(pace) => format!("At {}", answer.units.turns(pace.0)),
        None => "With each size at its own pace".to_owned(),
    }
}

fn skins(answer: &Answer) -> String {
    let job = &answer.overview.answer;
    let unit = answer.units.system.unit(Dimension::HeatTransfer);
    let listed = |all: &[Threshold], with: &dyn Fn(&Threshold) -> String| {
        let all: Vec<String> =
            all.iter().map(|of| format!("{} with {}", wanted(answer, &of.size), with(of))).collect();
        all.join(", ")
    };
    format!(
        "{}, the latch is wanted by the skin you accept: {}; by the heat transfer into the wall: {}.",
        at_pace(answer),
        listed(&job.by_skin, &|of| answer.units.skin(of.skin)),
        listed(&job.by_film, &|of| rounded(unit, of.film, 2)),
    )
}

/// Where one change alone alters the verdict on a cast.
fn told(answer: &Answer, remedies: &[Remedy]) -> String {
    let all: Vec<String> = remedies
        .iter()
        .filter(|remedy| TOLD.contains(&remedy.change))
        .filter_map(|remedy| {
            let said = |side: &str, flip: Flip| {
                let value = names::beyond(remedy, flip, &answer.units).text;
                let then = match flip.lost {
                    Some(limit) => limits::missed(limit),
                    None => limits::verdict(flip.verdict),
                };
                format!("{side} {value} ({then})")
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

/// The single changes with which every size can be cast.
fn for_all(answer: &Answer, remedies: &[Remedy]) -> String {
    let all: Vec<String> = remedies
        .iter()
        .filter_map(|remedy| {
            let flip = remedy.below.or(remedy.above)?;
            let value = names::beyond(remedy, flip, &answer.units).text;
            Some(format!("{} of {value}", names::change(remedy.change)))
        })
        .collect();
    if all.is_empty() {
        return "No single change that was tried lets every size be cast.".to_owned();
    }
    format!("One change alone lets every size be cast: {}.", all.join("; or "))
}

/// What is wrong or stands out in the turns, each thing once.
pub fn stands_out(answer: &Answer) -> Vec<Block> {
    let mut seen: Vec<std::mem::Discriminant<Finding>> = Vec::new();
    let mut items = Vec::new();
    let own_first = std::iter::once(&answer.overview.own).chain(answer.told()).chain(&answer.overview.grid);
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
        .filter(|(_, finding)| {
            // What the list of limits says already is not said twice.
            !matches!(
                finding,
                Finding::ShortCast { .. }
                    | Finding::SealedEarly { .. }
                    | Finding::NeverTrips { .. }
                    | Finding::NeverHolds { .. }
            )
        })
}

/// The cautions, as printed by every report.
pub fn cautions() -> Vec<Block> {
    let items = CAUTIONS.iter().map(|caution| Block::Item(roman(caution)));
    let heading = Block::Heading(HEADING.to_owned());
    std::iter::once(heading).chain(items).chain([Block::Paragraph(roman(CLOSING))]).collect()
}

/// How the figures came about.
pub fn computed(answer: &Answer) -> Vec<Block> {
    let residual = [&answer.overview.own.aside, &answer.overview.own.set]
        .into_iter()
        .map(|turn| turn.energy_residual.abs())
        .fold(0.0, f64::max);
    let text = format!(
        "The equations of cam, cross block, latch, springs, rod, piston, metal, air and cooling skin are solved together over one turn of the shaft, event by event. The tables and curves come from {} such turns, the thresholds from searches over many more. Of the cam’s work in the turns charted, {} cannot be accounted for. The program is tested against an independent solution of the same equations, against closed solutions, and against handbooks; it has not been tested against your machine.",
        2 * (answer.overview.answer.sizes.len()
            + answer.overview.grid.len()
            + answer.overview.curve.len()
            + 1),
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
        "{LEFT_OUT} Heat transfer into the wall, the give of the metal with its air, and the stiffness of the levers are estimates, and that a skin of {} will do is a judgement. Compare settings with each other before you believe a single figure, and believe your castings before either.",
        answer.units.skin(answer.acceptance.skin),
    );
    vec![Block::Heading("What is left out".to_owned()), Block::Paragraph(roman(&text))]
}
