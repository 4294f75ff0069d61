//! A setting judged: its verdict, limits, charts and reports.

use crate::dial::{self, Dial};
use crate::look::Look;
use crate::setting::{Base, Opened, Setting, faulty};
use crate::{Problem, mistake};
use latchstroke_core::limits::{Does, Margin};
use latchstroke_core::studies::cooling::heat_of_cast;
use latchstroke_core::studies::judge::{Cast, Judgement, Verdict, judge_traced};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::Sort;
use latchstroke_plots::{Chart, Picture};
use latchstroke_report::odds::{Doubts, SCALE};
use latchstroke_report::owner::OwnerUnits;
use latchstroke_report::{cautions, charts, limits, turn};
use latchstroke_scenario::key;
use latchstroke_scenario::stated::doubts::{DRAWS, Drawn, SEED, draw};
use serde_json::{Value, json};

/// A setting with its turns, kept for whatever else is asked of it.
#[derive(Debug)]
pub struct Judged {
    /// What was set.
    pub setting: Setting,
    /// The scenario with it.
    pub opened: Opened,
    /// The units to answer in.
    pub units: OwnerUnits,
    /// The verdict, its turns kept instant by instant.
    pub judgement: Judgement,
    machine: Machine,
    real: RealPace,
    dials: Vec<Value>,
    options: String,
}

impl Judged {
    /// Judges a setting.
    pub fn of(base: &Base, setting: &Setting) -> Result<Self, Problem> {
        let opened = base.with(setting)?;
        let cast = opened.cast;
        let fail = |faults| faulty(&opened.scenario, faults);
        let machine =
            Machine::prepare(&opened.stated, cast.sort, cast.pace, LatchSetting::Set).map_err(fail)?;
        let judgement = judge_traced(&opened.stated, cast, &opened.terms).map_err(fail)?;
        Ok(Self {
            real: base.real(&opened)?,
            dials: dial::all(base, (&opened, &machine), setting),
            options: options(base, setting),
            setting: setting.clone(),
            units: base.units,
            opened,
            judgement,
            machine,
        })
    }

    /// The pace at which the size is really cast, where the page asks for no other.
    fn unless_asked(&self) -> Option<&RealPace> {
        let moved = self.setting.moves.iter().any(|(dial, _)| *dial == Dial::Pace);
        (self.setting.real || !moved).then_some(&self.real)
    }

    /// Verdict, limits, sentences and the charts asked for.
    pub fn answer(&self, look: Look, names: &[String]) -> Result<Value, Problem> {
        let (judgement, units) = (&self.judgement, &self.units);
        let mut pictures = serde_json::Map::new();
        for name in names {
            let picture = match name.as_str() {
                "fill-and-skin" => shown(look, &charts::fill_and_skin(judgement, units, "")),
                "travel" => {
                    let mut travel = charts::travel(judgement, units, "");
                    // Beside it on a phone the throw would be too small to see, and the whole with it.
                    travel.body.right = travel.body.right.filter(|_| !look.is_upright());
                    shown(look, &travel)
                }
                "piston-speed" => shown(look, &charts::piston_speed(judgement, units, "")),
                _ => continue,
            };
            pictures.insert(name.clone(), picture?);
        }
        let remarks = self.opened.scenario.remarks().iter();
        Ok(json!({
            "machine": self.opened.scenario.machine_name(),
            "verdict": kind(judgement.verdict),
            "headline": limits::headline(judgement, units),
            "own_pace": limits::own_pace(judgement, self.unless_asked(), units),
            "otherwise": limits::otherwise(judgement),
            "real_pace": units.turns(self.real.pace.0),
            "options": self.options,
            "dials": self.dials,
            "settings": {
                "aside": self.stands(LatchSetting::Aside),
                "set": self.stands(LatchSetting::Set),
            },
            "advised": match judgement.advised() {
                LatchSetting::Aside => "aside",
                LatchSetting::Set => "set",
            },
            "limits": self.limits(),
            "charts": pictures,
            "remarks": remarks.map(|remark| mistake(remark, None)).collect::<Vec<_>>(),
        }))
    }

    /// How a setting of the latch stands: whether it does, and what is to be said of it.
    fn stands(&self, setting: LatchSetting) -> Value {
        json!({
            "name": limits::setting(setting),
            "does": match self.judgement.standing(setting).does() {
                Does::Yes => Some(true),
                Does::No => Some(false),
                Does::NotKnown => None,
            },
            "notes": turn::notes(&self.judgement, setting, &self.units),
        })
    }

    /// Every limit with its bound, and how either setting stands against it.
    fn limits(&self) -> Vec<Value> {
        let (judgement, units) = (&self.judgement, &self.units);
        let decides = judgement.deciding().map(|margin| margin.limit);
        let cell = |margin: Option<&Margin>| {
            margin.map(|margin| {
                json!({
                    "value": margin.value.map(|si| limits::value(margin.limit, si, units)),
                    "how": limits::how(margin),
                    "state": limits::state(margin),
                })
            })
        };
        let row = |(limit, [aside, set]): (_, [Option<&Margin>; 2])| {
            let bound = aside.or(set).and_then(|margin| margin.bound);
            json!({
                "name": limits::name(limit),
                "bound": bound.map(|si| limits::value(limit, si, units)),
                "aside": cell(aside),
                "set": cell(set),
                "decides": decides == Some(limit),
            })
        };
        limits::told(judgement).map(row).collect()
    }

    /// What `latchstroke turn` prints of this setting.
    pub fn report(&self) -> Value {
        let machine = Machine { setting: LatchSetting::Aside, ..self.machine.clone() };
        let terms = &self.opened.terms;
        let heat = heat_of_cast(&machine, terms.shut);
        let text = turn::text(&self.judgement, self.unless_asked(), &self.units, terms.acceptance, heat);
        json!({ "report": text + "\n" + &cautions::short() })
    }

    /// How sure the verdict is, from so many machines drawn; the same as `latchstroke judge` has it once all are.
    pub fn sure(&self, draws: usize) -> Result<Value, Problem> {
        let Opened { scenario, stated, cast, pacing, .. } = &self.opened;
        let draws = draws.min(DRAWS);
        let Drawn { inputs, answers: odds } =
            draw(scenario, stated, (&[*cast], *pacing), (draws, SEED), &Unwatched)
                .map_err(|faults| faulty(scenario, faults))?;
        let doubts = Doubts { scenario, inputs, odds };
        Ok(json!({
            "sure": doubts.sentence(0, &self.judgement),
            "drawn": draws,
            "of": DRAWS,
            "scale": SCALE,
        }))
    }
}

/// A chart with its headline, for those who cannot see it.
fn shown<B: Clone>(look: Look, chart: &Chart<B>) -> Result<Value, Problem>
where
    Chart<B>: Picture,
{
    Ok(json!({ "headline": chart.headline, "svg": look.chart(chart, 1.0)? }))
}

/// A verdict as a word for the page's style.
pub fn kind(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::LeaveAside => "aside",
        Verdict::Set => "set",
        Verdict::Neither => "neither",
        Verdict::NotKnown => "not-known",
    }
}

/// The same setting for a command line: `--pace "15 turns/min" --set "metal.pot_temperature=360 degC"`.
fn options(base: &Base, setting: &Setting) -> String {
    let set_is_moved = setting.moves.iter().any(|(dial, _)| *dial == Dial::Set);
    let mut all: Vec<(&str, String)> = setting.sets.iter().map(|set| ("--set", set.clone())).collect();
    for (dial, text) in &setting.moves {
        let values = dial.overrides(text, base, setting);
        let typed = |key: &str| {
            values.first().and_then(|value| value.strip_prefix(key)?.strip_prefix('=')).map(str::to_owned)
        };
        let own = match dial {
            Dial::Pace if setting.real => continue,
            Dial::Pace => typed(key!(Cast, pace)).map(|text| ("--pace", text)),
            Dial::Body if !set_is_moved => typed(key!(Sort, body)).map(|text| ("--body", text)),
            _ => None,
        };
        match own {
            Some(own) => all.push(own),
            None => all.extend(values.into_iter().map(|value| ("--set", value))),
        }
    }
    let quoted = |(option, value): &(&str, String)| format!("{option} \"{value}\"");
    all.iter().map(quoted).collect::<Vec<_>>().join(" ")
}
