//! The fill-time equation of pressure die casting as an order-of-magnitude check of the lapping and the bulk limit.
//!
//! t = K·T·(T_i − T_f + S·Z)/(T_f − T_d): T wall thickness, T_i metal as it comes in, T_f the least temperature at which it
//! flows, T_d die, S share solid (%) at the end of the fill, Z kelvins for each per cent solid, K an empirical constant. The
//! equation and its constants are J. F. Wallace's, as the North American Die Casting Association's *Gating Manual*
//! (publication 512) uses them; both from memory, not re-read: of the manual only its contents page could be read.
//!
//! A plate cooled through both faces with a heat transfer h gives 2·h·(T_f − T_d)·t = ρ·c·T·(T_i − T_f + S·Z), so K = ρ·c/(2·h),
//! and Z = L/(100·c). The bulk limit starts from the same balance but follows the falling temperature and adds the metal's own
//! resistance, so the two differ by a factor near one, not by orders.

use super::machine_with;
use crate::support::working_set::celsius;
use approx::assert_relative_eq;
use latchstroke_models::freezing::{bulk_limit, lapping_limit};
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::WallStatement;
use latchstroke_models::units::{Conductivity, Density, HeatTransfer, LatentHeat, Length, SpecificHeat};

/// The equation, s: `k` in s/mm, `thickness` in mm, temperatures in °C, `solid` in %, `z` in K for each per cent.
fn fill_time(k: f64, thickness: f64, [metal, flow, die]: [f64; 3], solid: f64, z: f64) -> f64 {
    k * thickness * (metal - flow + solid * z) / (flow - die)
}

/// A metal by density (kg/m³), specific heat (J/(kg·K)) and conductivity (W/(m·K)), with the published K (s/mm) and Z.
struct DieCast {
    density: f64,
    heat: f64,
    conductivity: f64,
    k: f64,
    z: f64,
}

/// Properties of the liquids from memory.
const ALUMINIUM: DieCast = DieCast { density: 2400.0, heat: 1080.0, conductivity: 90.0, k: 0.0346, z: 4.8 };
const ZINC: DieCast = DieCast { density: 6300.0, heat: 505.0, conductivity: 50.0, k: 0.0312, z: 3.2 };

/// h that the remembered K of die casting imply through K = ρ·c/(2·h): all three metals lie within 20 % of it.
const DIE_CASTING_TRANSFER: f64 = 4.5e4;

/// A plate of `thickness` (mm), ten times as wide and deep, of metal that flows until the share `solid` (%) is solid at
/// `flow` (°C).
fn plate(metal: &DieCast, thickness: f64, [pot, flow, die]: [f64; 3], solid: f64) -> Machine {
    let thin = thickness * 1e-3;
    machine_with(thin, 10.0 * thin, |machine| {
        machine.mould.depth = Length(10.0 * thin);
        machine.mould.heat_transfer = HeatTransfer(DIE_CASTING_TRANSFER);
        machine.mould.wall = WallStatement::Temperature(celsius(die));
        machine.metal.density = Density(metal.density);
        machine.metal.specific_heat = SpecificHeat(metal.heat);
        machine.metal.conductivity_liquid = Conductivity(metal.conductivity);
        machine.metal.conductivity_solid = Conductivity(metal.conductivity);
        // The equation knows one temperature at which the metal flows and freezes.
        machine.metal.liquidus = celsius(flow);
        machine.metal.solidus = celsius(flow);
        machine.metal.latent_heat = LatentHeat(100.0 * metal.heat * metal.z);
        machine.metal.sealing_fraction = solid / 100.0;
        machine.metal.pot_temperature = celsius(pot);
    })
}

/// The bulk limit of a plate over the published equation: 0.77 for 2 mm of aluminium, 1.14 for 1.5 mm of zinc. Within a factor
/// of 1.6: each K lies within 20 % of the common h; the edges of a plate ten times as wide and deep as thick cool it 20 %
/// faster; the falling temperature and the metal's own resistance each come to less than a fifth.
#[test]
fn handbook_bulk_limit_is_of_the_order_of_die_casting_fill_times() {
    for (name, metal, thickness, temperatures) in
        [("aluminium", ALUMINIUM, 2.0, [650.0, 570.0, 230.0]), ("zinc", ZINC, 1.5, [405.0, 382.0, 230.0])]
    {
        let published = fill_time(metal.k, thickness, temperatures, 20.0, metal.z);
        let machine = plate(&metal, thickness, temperatures, 20.0);
        let ratio = bulk_limit(&machine.metal, &machine.mould) / published;
        assert!((1.0 / 1.6..=1.6).contains(&ratio), "{name}: {ratio}");
    }
}

/// The equation is linear in the thickness, K being h alone; the bulk limit adds the metal's own resistance, b/(6·k) beside
/// 1/h, so it grows faster, by (1/h + 2b/(6k))/(1/h + b/(6k)) when the plate is doubled in all its sizes. Closed form.
#[test]
fn closed_form_bulk_limit_grows_with_thickness_as_the_equation_but_for_the_metals_own_resistance() {
    let temperatures = [650.0, 570.0, 230.0];
    let limit = |thickness: f64| {
        let machine = plate(&ALUMINIUM, thickness, temperatures, 20.0);
        bulk_limit(&machine.metal, &machine.mould)
    };
    let resistance =
        |thickness: f64| 1.0 / DIE_CASTING_TRANSFER + thickness * 1e-3 / (6.0 * ALUMINIUM.conductivity);
    assert_relative_eq!(
        limit(4.0) / limit(2.0),
        2.0 * resistance(4.0) / resistance(2.0),
        max_relative = 1e-12
    );
}

/// Aluminium without solid at the end of the fill: thickness (mm), lapping limit of a plate over the equation, and the filling
/// times that die casters go by (ms; from memory, a page that announces such a table was found, the table is a picture).
const THICKNESSES: [(f64, f64, [f64; 2]); 4] = [
    (1.5, 0.701, [10.0, 30.0]),
    (2.0, 0.727, [20.0, 60.0]),
    (3.0, 0.779, [50.0, 100.0]),
    (5.0, 0.882, [60.0, 200.0]),
];

/// The lapping limit is the same heat balance as the equation at S = 0, with three differences, each worked out: the plate's
/// edges, 1/1.2; the falling temperature, ln(420/340)/(80/340) = 0.898; and the metal's own resistance, 1 + h·b/(6·k).
#[test]
fn handbook_lapping_limit_against_die_casting_fill_times_by_thickness() {
    let temperatures = [650.0, 570.0, 230.0];
    for (thickness, expected, [low, high]) in THICKNESSES {
        let published = fill_time(ALUMINIUM.k, thickness, temperatures, 0.0, ALUMINIUM.z);
        let machine = plate(&ALUMINIUM, thickness, temperatures, 1e-9);
        let limit = lapping_limit(&machine.metal, &machine.mould, 0.0);
        let ratio = limit / published;
        // Half of the last digit.
        assert_relative_eq!(ratio, expected, epsilon = 6e-4);
        let own = 1.0 + DIE_CASTING_TRANSFER * thickness * 1e-3 / (6.0 * ALUMINIUM.conductivity);
        let h = 2400.0 * 1080.0 / (2.0 * DIE_CASTING_TRANSFER) * 1e-3 / ALUMINIUM.k;
        let falling = (420.0_f64 / 340.0).ln() / (80.0 / 340.0);
        assert_relative_eq!(ratio, h * falling * own / 1.2, max_relative = 1e-9);
        // The tables allow some solid, and plates with hotter dies: the limit with none lies at their lower end, within a factor of
        // three (an order check).
        let ms = 1e3 * limit;
        assert!((low / 3.0..high).contains(&ms), "{thickness} mm: {ms}");
    }
}
