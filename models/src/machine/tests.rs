//! A machine at rest, and what its loads are at the ends of their ranges.

use super::*;
use crate::cross_block::Closure;
use crate::units::{Force, HeatTransfer, Length, POINT, Stiffness};
use crate::well::Suction;

fn demo(change: impl FnOnce(&mut MachineStatement)) -> Machine {
    let mut stated = MachineStatement::demo();
    change(&mut stated);
    let body = Length(12.0 * POINT);
    Machine::prepare(&stated, Sort { body, set: body }, Pace(1.0), LatchSetting::Aside).expect("a machine")
}

/// The demo filled to this share, its metal as hot as in the pot.
fn filled(machine: &Machine, share: f64) -> State {
    let past_nozzle = machine.mould.priming_volume + share * machine.mould.volume;
    State { past_nozzle, ..machine.rest_state() }
}

fn mode(machine: &Machine, mould: MouldMode, ringing: Ringing) -> Mode {
    Mode { well: WellMode::Closed, mould, ringing, ..machine.rest_mode() }
}

#[test]
fn a_machine_at_rest_stays_at_rest() {
    let one_way = Closure::OneWay { return_force: Force(150.0), return_rate: Stiffness(2500.0) };
    for machine in [demo(|_| {}), demo(|stated| stated.cross_block.closure = one_way)] {
        let rates = machine.rates(0.0, &machine.rest_state(), machine.rest_mode());
        // Of the force that the springs would else put on them.
        for (rate, mass) in
            [(rates.block_speed, machine.cross_block.mass), (rates.rod_speed, machine.rod.mass)]
        {
            assert!((rate * mass / machine.preload()).abs() < 1e-9, "{rate}");
        }
    }
    let mode = demo(|_| {}).rest_mode();
    assert_eq!((mode.shoulder, mode.well), (Touch::Closed, WellMode::PortOpen));
    assert_eq!(demo(|stated| stated.piston.port_travel = Length(0.0)).rest_mode().well, WellMode::Closed);
}

#[test]
fn damping_pulls_no_harder_than_metal_bears() {
    let mut machine = demo(|_| {});
    let state = State { pressed: -1e-3, flow: -1e-3, ..filled(&machine, 0.99) };
    let damped = mode(&machine, MouldMode::Packed, Ringing::Damped);
    let loads = machine.loads(1.0, &state, damped);
    assert_eq!(
        [loads.well_pressure, loads.cavity_pressure].map(f64::to_bits),
        [(-101_325.0_f64).to_bits(); 2]
    );
    assert_eq!(machine.cavity_pressure(&state, damped).to_bits(), (-101_325.0_f64).to_bits());
    machine.well.suction = Suction::Holds;
    assert!(machine.loads(1.0, &state, damped).well_pressure < -2.0 * 101_325.0);
    // Where nothing limits it, its slope by what is pressed is that of the rates there, too.
    let scales = machine.scales();
    let slope = machine.tangent(machine.cam.at(1.0), &state, damped, &scales).slopes.vx_by_pressed
        * scales.size(place::VX)
        / scales.size(place::PRESSED);
    let rod = |pressed: f64| machine.rates(1.0, &State { pressed, ..state }, damped).rod_speed;
    let by_difference = (rod(-0.999e-3) - rod(-1.001e-3)) / 2e-6;
    assert!(slope < 0.0 && (slope / by_difference - 1.0).abs() < 1e-6, "{slope} {by_difference}");
}

/// Where the metal first comes in, w' + w·Q/V = q/ρV with V = Q·t, so that w grows half as fast as it would in metal that stands.
#[test]
fn fresh_metal_takes_half_of_the_first_cooling() {
    let machine = demo(|_| {});
    let flow = 1e-5;
    let rate = |share: f64, flow: f64, mould: MouldMode| {
        let state = State { flow, ..filled(&machine, share) };
        machine.rates(1.0, &state, mode(&machine, mould, Ringing::Followed)).heat_given
    };
    let standing = rate(0.5, 0.0, MouldMode::Filling);
    assert!(standing > 0.0);
    for share in [0.0, 0.9e-9] {
        assert!((rate(share, flow, MouldMode::Filling) / standing - 0.5).abs() < 1e-12);
        assert!(
            (rate(share, 0.0, MouldMode::Packed) / rate(0.5, 0.0, MouldMode::Packed) - 1.0).abs() < 1e-12
        );
    }
    // Metal that has given some of its heat is freshened by as large a share of it as comes in.
    let warm = |flow: f64| {
        let state = State { flow, heat_given: 1e3, ..filled(&machine, 0.5) };
        machine.rates(1.0, &state, mode(&machine, MouldMode::Filling, Ringing::Followed)).heat_given
    };
    let freshened = 1e3 * flow / (0.5 * machine.mould.volume);
    assert!(((warm(0.0) - warm(flow)) / freshened - 1.0).abs() < 1e-9);
}

#[test]
fn a_full_mould_is_cooled_by_the_packed_coefficient() {
    let machine = demo(|stated| {
        stated.mould.packed_heat_transfer = Some(HeatTransfer(3.0 * stated.mould.heat_transfer.0));
    });
    let cooling = |share: f64, mould: MouldMode| {
        machine.loads(1.0, &filled(&machine, share), mode(&machine, mould, Ringing::Followed)).cooling
    };
    let filling = cooling(0.5, MouldMode::Filling);
    for (share, mould, is_packed) in [
        (0.5, MouldMode::Packed, true),
        (0.99, MouldMode::Sealed, true),
        (0.97, MouldMode::Sealed, false),
        (0.99, MouldMode::Filling, false),
    ] {
        assert_eq!(cooling(share, mould) > 1.2 * filling, is_packed, "{mould:?} at {share}");
    }
}

#[test]
fn more_than_all_of_the_metal_cannot_be_solid() {
    for (share, is_wrong) in [(0.99, false), (1.2, true)] {
        let mut stated = MachineStatement::demo();
        stated.metal.sealing_fraction = share;
        let body = Length(12.0 * POINT);
        let machine = Machine::prepare(&stated, Sort { body, set: body }, Pace(1.0), LatchSetting::Aside);
        assert_eq!(machine.is_err(), is_wrong, "{share}");
    }
    let metal = demo(|_| {}).metal;
    let shares = [-0.2, 0.0, 0.25, 1.0, 1.3].map(|molten| metal.solid_fraction(molten * metal.melt_heat));
    assert_eq!(shares.map(f64::to_bits), [1.0_f64, 1.0, 0.75, 0.0, 0.0].map(f64::to_bits));
}

/// A film that hangs together has given all its superheat where nothing of it need be solid, all heat of fusion and of the freezing range
/// besides where all of it must; and between them, on a straight line of the range, in proportion.
#[test]
fn a_film_hangs_together_once_its_share_is_solid() {
    let metal = demo(|_| {}).metal;
    let film =
        |sealing_fraction: f64| crate::freezing::splashed_film_heat(&Metal { sealing_fraction, ..metal });
    let none = metal.specific_heat * (metal.pot_temperature - metal.liquidus);
    let all = metal.latent_heat + metal.specific_heat * (metal.pot_temperature - metal.solidus);
    for share in [0.0, 0.25, metal.sealing_fraction, 1.0] {
        let between = none + share * (all - none);
        assert!((film(share) / between - 1.0).abs() < 1e-12, "{share}: {} {between}", film(share));
    }
}
