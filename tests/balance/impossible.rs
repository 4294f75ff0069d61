//! What cannot be: each bound from both sides, the field that is named, and what becomes of a machine drawn beyond one.

use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::odds::{Question, impossible};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::{Case, Input};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::fault::{Fault, Field};
use latchstroke_models::field;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{Sort, WallStatement};
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement, WireStatement};
use latchstroke_models::units::{Angle, Force, Length, Pace, Temperature};
use latchstroke_scenario::{read, stated};

const SORT: Sort = Sort { body: Length(8e-3), set: Length(8e-3) };

fn faults(stated: &MachineStatement) -> Vec<Fault> {
    Machine::prepare(stated, SORT, Pace(0.2), LatchSetting::Set).err().unwrap_or_default()
}

/// A spring of wire d and outside coil, m, and of lengths that leave it room.
fn spring(wire: f64, outside: f64) -> SpringStatement {
    SpringStatement {
        rate: RateStatement::Wire,
        wire: Some(WireStatement {
            wire: Length(wire),
            outside_coil: Some(Length(outside)),
            active_coils: Some(8.0),
            total_coils: Some(10.0),
            ..WireStatement::default()
        }),
        preload: PreloadStatement::Force(Force(100.0)),
        ..SpringStatement::default()
    }
}

/// The first spring, with its wire.
fn first(stated: &mut MachineStatement, change: impl Fn(&mut SpringStatement, &mut WireStatement)) {
    let mut spring = spring(4e-3, 40e-3);
    let mut wire = spring.wire.unwrap_or_default();
    change(&mut spring, &mut wire);
    stated.springs = vec![SpringStatement { wire: Some(wire), ..spring }];
}

/// A machine spoilt by a value that is a little (`off`) beyond its bound, or within.
type Spoil = fn(&mut MachineStatement, f64);

fn bounds() -> [(Field, Spoil); 10] {
    [
        (field!(CamStatement::Law, fall), |stated, off| {
            let [rise, dwell, fall] = [80_f64, 100.0, 180.0].map(|degrees| Angle(degrees.to_radians()));
            let (law, lift, rise_start) = (Law::Cycloidal, Length(0.03), Angle(off));
            stated.cam =
                CamStatement::Law { law, lift, rise_start: Angle(rise_start.0.max(0.0)), rise, dwell, fall };
        }),
        (field!(MetalStatement, solidus), |stated, off| {
            stated.metal.solidus = Temperature(stated.metal.liquidus.0 + off);
        }),
        (field!(MetalStatement, pot_temperature), |stated, off| {
            stated.metal.pot_temperature = Temperature(stated.metal.liquidus.0 - off);
        }),
        (field!(WallStatement::Temperature, 0), |stated, off| {
            stated.mould.wall = WallStatement::Temperature(Temperature(stated.metal.solidus.0 + off));
        }),
        (field!(NozzleStatement, bore), |stated, off| {
            stated.nozzle.bore = Length(stated.nozzle.channel_bore.0 + 1e-3 * off);
        }),
        (field!(WireStatement, outside_coil).of(1), |stated, off| {
            first(stated, |_, wire| wire.outside_coil = Some(Length(8e-3 - 1e-3 * off)));
        }),
        (field!(WireStatement, total_coils).of(1), |stated, off| {
            first(stated, |_, wire| wire.total_coils = Some(8.0 - off));
        }),
        (field!(SpringStatement, solid_length).of(1), |stated, off| {
            first(stated, |spring, _| {
                spring.free_length = Some(Length(0.1));
                spring.solid_length = Some(Length(0.1 + 1e-3 * off));
                spring.preload = PreloadStatement::Force(Force(0.0));
            });
        }),
        (field!(WireStatement, wire).of(1), |stated, off| {
            first(stated, |spring, _| {
                spring.free_length = Some(Length(0.04 - 1e-3 * off));
                spring.preload = PreloadStatement::Force(Force(0.0));
            });
        }),
        (field!(WireStatement, outside_coil).of(1), |stated, off| {
            // Coils of 30 mm inside, in whichever order they are stated.
            stated.springs = vec![spring(3e-3, 30e-3 + 1e-3 * off), spring(5e-3, 40e-3)];
        }),
    ]
}

#[test]
fn closed_form_what_cannot_be_is_refused_just_where_it_begins() {
    for (field, spoil) in bounds() {
        let at = |off: f64| {
            let mut stated = MachineStatement::demo();
            spoil(&mut stated, off);
            faults(&stated)
        };
        assert_eq!(at(-1e-3), [], "{field}: within");
        let found = at(1e-3);
        assert_eq!(found.iter().map(|fault| fault.field).collect::<Vec<_>>(), [field], "{found:?}");
    }
}

/// What is wrong by itself is told once, and not again by what it is beside.
#[test]
fn closed_form_a_value_that_is_none_is_told_by_itself() {
    let mut stated = MachineStatement::demo();
    stated.metal.liquidus = Temperature(-1.0);
    stated.nozzle.channel_bore = Length(0.0);
    let found: Vec<Field> = faults(&stated).iter().map(|fault| fault.field).collect();
    assert_eq!(found, [field!(MetalStatement, liquidus), field!(NozzleStatement, channel_bore)]);
}

#[test]
fn closed_form_a_spoilt_order_is_told_in_si_where_nobody_has_units() {
    let mut stated = MachineStatement::demo();
    stated.mould.wall = WallStatement::Temperature(Temperature(stated.metal.solidus.0 + 1.0));
    let (found, solidus) = (faults(&stated), stated.metal.solidus.0);
    let wanted = format!(
        "WallStatement::Temperature: `WallStatement::Temperature` is {}, not below `MetalStatement.solidus`, which is {solidus}; it must be less than {solidus}: in a mould as hot as this the type would not set",
        solidus + 1.0
    );
    assert_eq!(found.iter().map(ToString::to_string).collect::<Vec<_>>(), [wanted]);
}

/// Draws on either side of a bound: those beyond have no answer and count nowhere.
#[test]
fn property_a_machine_drawn_that_cannot_be_is_not_solved() {
    let machine = MachineStatement::demo();
    let channel = machine.nozzle.channel_bore.0;
    let scenario =
        read("demo", include_str!("../../scenarios/large_initials.toml"), &[]).expect("a good scenario");
    let (cast, terms) = (Cast { sort: SORT, pace: Pace(0.2) }, stated::terms(&scenario));
    let vary = |values: &[(&str, f64)]| {
        let mut machine = machine.clone();
        machine.nozzle.bore = Length(values[0].1);
        Ok(Case { machine, cast, terms, pacing: Pacing::Fixed })
    };
    let distribution = Distribution::within(channel, 0.5e-3);
    let inputs = [Input { path: "bore".to_owned(), stated: channel, distribution }];
    let casts = [cast];
    let question =
        Question { vary: &vary, inputs: &inputs, believed: None, casts: &casts, pacing: Pacing::Fixed };
    let odds = question.draw(64, 1, &Unwatched).expect("nobody calls it off");
    for draw in &odds.draws {
        assert_eq!(draw.answer.is_none(), draw.values[0] > channel, "{:?}", draw.values);
    }
    let left_out = impossible(&odds.draws);
    assert!((24..=40).contains(&left_out), "{left_out}");
    assert_eq!(odds.share(0, latchstroke_core::Verdict::Set).of, 64 - left_out);
}
