//! A talk straight from the library, since its files do not tell from which numbers they were drawn.

use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::odds;
use latchstroke_core::studies::pace::Fineness;
use latchstroke_core::studies::preload::Nut;
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::Window;
use latchstroke_core::studies::talk::{Question, study};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_core::turn::Accuracy;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, POINT, Pace};
use latchstroke_report::film::Film;
use latchstroke_report::odds::Doubts;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_report::talk::Told;
use latchstroke_scenario::stated::{self, tolerance};
use latchstroke_scenario::{Override, Scenario, read};
use std::path::Path;

/// A scenario's talk: what is asked of it.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// What is put in place of the scenario's values.
    pub overrides: Vec<String>,
    /// The bodies, points, the one shown in full first; the scenario's own where there are none.
    pub bodies: Vec<f64>,
    /// The pace, turns/min; where there is none each size is cast at its real pace.
    pub pace: Option<f64>,
    /// The system of units; as the scenario is written where there is none.
    pub system: Option<System>,
    /// How turns are solved.
    pub accuracy: Accuracy,
    /// How many machines are drawn to tell how sure it is.
    pub draws: usize,
    /// How fine everything is.
    pub coarse: bool,
}

/// The scenario of a file with what is put in place of its values.
pub fn scenario_of(path: &Path, overrides: &[String]) -> Scenario {
    let text = std::fs::read_to_string(path).expect("a scenario");
    let overrides: Vec<Override> = overrides.iter().map(|text| Override::parse(text)).collect();
    read("a scenario", &text, &overrides).expect("a good scenario")
}

/// Hands the talk to `look` with the machine's own pace for a body (m), as the program would solve it; false where there can be no
/// such machine.
pub fn tell(path: &Path, asked: &Asked, look: impl FnOnce(&Told<'_>, &dyn Fn(f64) -> f64)) -> bool {
    let scenario = scenario_of(path, &asked.overrides);
    let units = OwnerUnits::asked(&scenario, asked.system);
    let terms =
        latchstroke_core::studies::judge::Terms { accuracy: asked.accuracy, ..stated::terms(&scenario) };
    let at = CastAt {
        asked: asked.pace.map(|pace| Pace(pace / 60.0)),
        fastest: stated::fastest_pace(&scenario),
        shut: terms.shut,
    };
    let stated_sort = stated::cast(&scenario).sort;
    let proportion = stated_sort.set.0 / stated_sort.body.0;
    let sort = |body: f64| Sort { body: Length(body), set: Length(body * proportion) };
    let mut bodies: Vec<f64> = asked.bodies.iter().map(|points| points * POINT).collect();
    let own = bodies.first().copied().unwrap_or(stated_sort.body.0);
    if bodies.is_empty() {
        bodies.extend(scenario.list("job.sizes").iter().map(|size| size.si));
    }
    bodies.retain(|body| (body / own - 1.0).abs() > 1e-9);
    bodies.push(own);
    let machine = stated::machine(&scenario);
    let Ok(pace) = at.pace(&machine, sort(own)) else { return false };
    let values = [("job.body", own), ("job.set", own * proportion), ("job.pace", pace.0)];
    let cast_so = scenario.with_values(&values).unwrap_or(scenario);
    let sorts: Vec<Sort> = bodies.into_iter().map(sort).collect();
    let few = |all: Vec<f64>| {
        let every = if asked.coarse { all.len().div_ceil(4).max(1) } else { 1 };
        all.into_iter().step_by(every).collect()
    };
    let question = Question {
        stated: &machine,
        cast: Cast { sort: sort(own), pace },
        sorts: &sorts,
        paces: (0.5 * pace.0, 2.0 * pace.0),
        terms,
        at,
        tolerance: 1e-3,
        advances: &|nut: &Nut| few(latchstroke_report::preload::advances(nut, units.force)),
        lengths: &|window: &Window| {
            few(latchstroke_report::sleeve::lengths(units.rod, window.shortest, window.longest))
        },
        fineness: if asked.coarse { Fineness { sizes: 2, rounds: 0 } } else { Fineness::DRAWN },
    };
    let Ok(talk) = study(&question, &Unwatched) else { return false };
    let casts: Vec<Cast> = talk.sizes.iter().map(|judgement| judgement.cast).collect();
    let pacing = at.asked.map_or(Pacing::Real { fastest: at.fastest }, |_| Pacing::Fixed);
    let inputs = tolerance::inputs(&cast_so);
    let vary = |values: &[(&str, f64)]| tolerance::varied(&cast_so, values, Pacing::Fixed);
    let drawn = odds::Question { vary: &vary, inputs: &inputs, believed: None, casts: &casts, pacing };
    let odds = (!inputs.is_empty()).then(|| drawn.draw(asked.draws, 1, &Unwatched)).flatten();
    let doubts = Doubts { scenario: &cast_so, inputs: inputs.clone(), odds };
    let film = Film::new(&machine, &talk.judgement, 12, &units).expect("a sound machine");
    let schematic = film.schematic(&cast_so, &units, "a solved turn");
    let told = Told {
        machine: cast_so.machine_name(),
        talk: &talk,
        schematic: &schematic,
        film: &film,
        doubts: &doubts,
        acceptance: terms.acceptance,
        from_reference: false,
        reserve_stated: false,
        units,
    };
    look(&told, &|body| at.pace(&machine, sort(body)).map_or(f64::NAN, |pace| pace.0));
    true
}
