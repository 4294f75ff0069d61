//! Sizes and paces: where the latch may stand aside, where it must be set, and where nothing does.

use super::super::limits;
use super::super::pace::map::{headline, map};
use super::super::pace::reach_words;
use super::{Draft, Note, Told};
use latchstroke_core::studies::pace::{SizePaces, Window};

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let talk = told.talk;
    let source = told.source("sizes and paces");
    let picture = map(&talk.map, talk.judgement.cast, &told.units, &source);
    let headline = headline(&talk.map, &told.units);
    Draft { stem: "size-pace-map", picture: Box::new(picture), headline, source, note: note(told) }
}

fn note(told: &Told<'_>) -> Note {
    let map = &told.talk.map;
    let mut say = vec![format!(
        "{}, the latch may stand aside for {}, and set it casts {}.",
        limits::first_upper(&told.at_pace()),
        reach_words(&map.largest_aside, &told.units),
        reach_words(&map.largest_set, &told.units)
    )];
    let own = told.talk.judgement.cast.sort.body.0;
    let nearest = map.rows.iter().min_by(|a, b| {
        let far = |body: f64| (body / own).ln().abs();
        far(a.sort.body.0).total_cmp(&far(b.sort.body.0))
    });
    if let Some(Window { from, .. }) = nearest.and_then(SizePaces::too_fast) {
        say.push(format!(
            "Near {} the type is no longer solid in time from about {} on.",
            told.size(),
            told.units.turns(from)
        ));
    }
    Note {
        shows: "Each size and pace by what is to be done with the latch; to the right the type is still soft inside as the mould opens.".to_owned(),
        computed: format!("{} sizes, each searched over all paces with the latch aside and set; edges between sizes are drawn straight.", map.rows.len()),
        say,
        questions: vec![(
            "Why is there no casting at the right?".to_owned(),
            "The mould opens after a fixed share of the turn, and large type takes longer to freeze through: it must be cast slowly, and that is where the cam is slow too.".to_owned(),
        )],
    }
}
