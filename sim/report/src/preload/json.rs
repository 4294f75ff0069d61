//! The answer for a program: SI numbers, the unit in each name.

use super::super::limits::{judged, key};
use super::Told;
use latchstroke_core::studies::preload::{Bound, End, Reach, Setting};
use latchstroke_models::latch::LatchSetting;
use serde_json::{Value, json};

/// The answer.
pub fn json(told: &Told<'_>) -> Value {
    let answer = told.answer;
    let nut = &answer.nut;
    let cast = answer.settings.first().map(|setting| setting.judgement.cast);
    let clocks = answer.settings.first().map(|setting| setting.judgement.clocks);
    json!({
        "machine": told.machine,
        "body_m": cast.map(|cast| cast.sort.body.0),
        "set_m": cast.map(|cast| cast.sort.set.0),
        "pace_turns_per_s": cast.map(|cast| cast.pace.0),
        "allowed_s": clocks.map(|clocks| clocks.allowed),
        "accepted_skin_m": told.acceptance.skin,
        "margin": told.acceptance.margin,
        "judged": answer.present().map(|now| judged(&now.judgement)),
        "preload_N": nut.preload(0.0),
        "thread_pitch_m": nut.pitch,
        "force_per_turn_N": told.force_per_turn(),
        "turns_from_reference": told.from_reference,
        "settings": answer.settings.iter().map(setting).collect::<Vec<_>>(),
        "will_do": {
            "latch_aside": answer.reaches[0].as_ref().map(|found| reach(told, found)),
            "latch_set": answer.reaches[1].as_ref().map(|found| reach(told, found)),
        },
        "asked": answer.asked.as_ref().map(|(preload, found)| json!({
            "preload_N": preload,
            "turns_from_now": found.as_ref().and_then(|s| Some(s.advance / nut.pitch?)),
            "setting": found.as_ref().map(setting),
        })),
    })
}

fn setting(setting: &Setting) -> Value {
    json!({
        "advance_m": setting.advance,
        "turns": setting.turns,
        "preload_N": setting.preload,
        "judged": judged(&setting.judgement),
        "latch_aside": turn(setting, LatchSetting::Aside),
        "latch_set": turn(setting, LatchSetting::Set),
        "room_m": setting.room,
        "springs": setting.springs.iter().map(|spring| json!({
            "rest_N": spring.rest,
            "greatest_N": spring.greatest,
            "stress_wahl_Pa": spring.stress.map(|s| s.wahl),
            "stress_en_Pa": spring.stress.map(|s| s.en),
            "allowable_Pa": spring.stress.and_then(|s| s.allowable),
            "fatigue_safety": spring.stress.and_then(|s| s.fatigue),
        })).collect::<Vec<_>>(),
    })
}

fn turn(setting: &Setting, latch: LatchSetting) -> Value {
    let turn = setting.turn(latch);
    json!({
        "will_do": setting.will_do(latch),
        "sound_fill_time_s": turn.sound_fill_time(),
        "filled": turn.filled,
        "piston_speed_m_s": turn.peaks.piston_speed,
        "cam_force_N": turn.peaks.cam_force,
        "latch_load_N": turn.throw.map(|throw| throw.latch_load),
        "strike_energy_J": turn.throw.map(|throw| throw.strike_energy),
        "hold_down_left_N": setting.hold_down_left(latch),
    })
}

fn reach(told: &Told<'_>, reach: &Reach) -> Value {
    let end = |end: &End| {
        json!({
            "preload_N": end.preload,
            "turns": told.answer.nut.turns_at(end.advance),
            "ended_by": end.bound.map(|bound| match bound {
                Bound::Limit(limit) => key(limit),
                Bound::Unknown => "not-known",
            }),
        })
    };
    json!({ "low": end(&reach.low), "high": end(&reach.high) })
}
