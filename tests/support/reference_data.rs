//! Reads the reference solution of the turn that lies in `tests/reference`: made from the same equations by another hand, in
//! another language, with two unrelated solvers (`reference_turn.py`). The parameters of each trace are read from its own
//! header, so that the numbers cannot drift apart.

use super::working_set::{celsius, degrees};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::air::air_viscosity;
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::{Closure, CrossBlockStatement};
use latchstroke_models::latch::{LatchSetting, LatchStatement, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{MouldStatement, Sort, WallStatement};
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_models::units::*;
use latchstroke_models::vent::VentStatement;
use latchstroke_models::well::{Suction, WellStatement};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// One line of the table of the working set.
pub struct TableRow {
    pub points: f64,
    pub pace: f64,
    pub setting: LatchSetting,
    pub suction: Suction,
    /// ms
    pub fill: f64,
    /// m/s
    pub peak_speed: f64,
    /// ms
    pub bulk_limit: f64,
}

/// The lines of `reference_table.csv`.
pub fn table() -> Vec<TableRow> {
    let mut rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("../reference/reference_table.csv").as_bytes());
    rows.records()
        .map(|row| {
            let row = row.expect("a line of the table");
            let case: Vec<&str> = row[0].split('_').collect();
            TableRow {
                points: number(case[0].trim_end_matches("pt")),
                pace: number(case[1]),
                setting: setting(case[2]),
                suction: suction(&row[1]),
                fill: number(&row[2]),
                peak_speed: number(&row[3]),
                bulk_limit: number(&row[4]),
            }
        })
        .collect()
}

/// One instant of a reference trace, SI.
pub struct Row {
    pub time: f64,
    pub block_lift: f64,
    pub rod_lift: f64,
    pub rod_speed: f64,
    pub well_pressure: f64,
    pub flow: f64,
    pub past_nozzle: f64,
    pub air_mass: f64,
    pub heat: f64,
    pub cavity_pressure: f64,
}

/// One reference trace.
pub struct Trace {
    pub name: &'static str,
    pub machine: Machine,
    /// Names and times (s) of the events, in order.
    pub events: Vec<(String, f64)>,
    pub results: BTreeMap<String, f64>,
    pub rows: Vec<Row>,
}

impl Trace {
    /// The time of the first event of a name, s.
    pub fn event(&self, name: &str) -> f64 {
        self.events.iter().find(|(n, _)| n == name).map(|e| e.1).expect("an event of the trace")
    }

    /// Where the trace ends, s: with its turn, or as the cam begins its return where the metal is taken to bear any pull.
    pub fn end(&self) -> f64 {
        self.rows.last().expect("a trace with rows").time
    }

    fn read(name: &'static str, text: &str) -> Self {
        let (mut parameters, mut events, mut results) = (BTreeMap::new(), Vec::new(), BTreeMap::new());
        let lines = text.lines().filter_map(|l| l.strip_prefix("# ")).filter_map(|l| l.split_once(" = "));
        for (key, value) in lines {
            if let Some(event) = key.strip_prefix("event ") {
                events.push((event.to_owned(), number(value)));
            } else if let Some(result) = key.strip_prefix("result ") {
                results.insert(result.to_owned(), number(value));
            } else {
                parameters.insert(key.to_owned(), value.trim_matches('\'').to_owned());
            }
        }
        let mut rows = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let heads = rows.headers().expect("the heads of the columns").clone();
        let column = |head: &str| heads.iter().position(|h| h == head).expect("a column of that head");
        let [t, y, x, vx] = ["time_s", "block_lift_m", "rod_lift_m", "rod_speed_m_s"].map(column);
        let [p, q, vn] = ["well_pressure_Pa", "flow_m3_s", "metal_past_nozzle_m3"].map(column);
        let [ma, h, pc] = ["air_mass_kg", "heat_J", "cavity_pressure_Pa"].map(column);
        let rows = rows
            .records()
            .map(|row| {
                let row = row.expect("a line of the trace");
                let at = |column: usize| number(&row[column]);
                Row {
                    time: at(t),
                    block_lift: at(y),
                    rod_lift: at(x),
                    rod_speed: at(vx),
                    well_pressure: at(p),
                    flow: at(q),
                    past_nozzle: at(vn),
                    air_mass: at(ma),
                    heat: at(h),
                    cavity_pressure: at(pc),
                }
            })
            .collect();
        Self { name, machine: machine(name, parameters), events, results, rows }
    }
}

/// Every reference trace.
pub fn traces() -> Vec<Trace> {
    macro_rules! read {
        ($($name:literal)*) => {
            vec![$(Trace::read($name, include_str!(concat!("../reference/reference_traces_", $name, ".csv")))),*]
        };
    }
    read! {
        "12pt_60_aside_parts" "12pt_60_set_parts" "12pt_60_set_holds"
        "24pt_40_aside_parts" "24pt_40_set_parts" "24pt_40_set_holds"
        "variant_aside_parts" "variant_set_parts"
        "measured_cam" "coil_bound" "one_way_stays" "one_way_leaves" "release_delay"
        "run_back" "emptied" "packed" "unprimed"
    }
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text} is not a number"))
}

fn setting(word: &str) -> LatchSetting {
    match word {
        "aside" | "False" => LatchSetting::Aside,
        "set" | "True" => LatchSetting::Set,
        _ => panic!("no latch setting: {word}"),
    }
}

fn suction(word: &str) -> Suction {
    match word {
        "parts" => Suction::Parts,
        "holds" => Suction::Holds,
        _ => panic!("no reading of the well: {word}"),
    }
}

fn law(name: &str) -> Law {
    match name {
        "cycloidal" => Law::Cycloidal,
        "simple harmonic" => Law::SimpleHarmonic,
        "3-4-5 polynomial" => Law::Polynomial345,
        _ => panic!("no such cam law: {name}"),
    }
}

/// The parameters in the header of a trace; each is to be read once, and none left over.
struct Header(RefCell<BTreeMap<String, String>>);

impl Header {
    fn word(&self, key: &str) -> String {
        self.0.borrow_mut().remove(key).unwrap_or_else(|| panic!("the header does not give {key}"))
    }

    fn number(&self, key: &str) -> f64 {
        number(&self.word(key))
    }

    fn length(&self, key: &str) -> Length {
        Length(self.number(key))
    }

    /// What the reference solution worked out from its parameters before it began; given to nine digits.
    fn check(&self, name: &str, key: &str, ours: f64) {
        let theirs = self.number(key);
        assert!((ours / theirs - 1.0).abs() < 1e-8, "{name}: {key} is {theirs}, ours {ours}");
    }
}

/// The machine a header states.
fn machine(name: &str, parameters: BTreeMap<String, String>) -> Machine {
    let header = Header(RefCell::new(parameters));
    let stated = statement(&header);
    let sort = Sort { body: header.length("body_m"), set: header.length("set_m") };
    let pace = Pace(header.number("pace_per_min") / 60.0);
    let machine = Machine::prepare(&stated, sort, pace, setting(&header.word("latch_set")))
        .expect("the reference machine is a valid one");
    header.check(name, "rest_deflection_m", machine.rod_rest);
    header.check(name, "cavity_volume_m3", machine.mould.volume);
    header.check(name, "start_air_mass_kg", machine.mould.air_mass);
    header.check(name, "moving_mass_kg", machine.rod.mass);
    let left: Vec<String> = header.0.into_inner().into_keys().collect();
    assert!(left.is_empty(), "{name}: the header states more than the machine takes: {left:?}");
    machine
}

fn cam(header: &Header) -> CamStatement {
    let n = |key: &str| header.number(key);
    let (law_name, readings) = (header.word("cam_law"), header.word("cam_readings"));
    let lift = header.length("cam_lift_m");
    let [rise_start, rise, dwell, fall] =
        ["rise_start_deg", "rise_deg", "dwell_deg", "return_deg"].map(|key| degrees(n(key)));
    if law_name == "measured" {
        let reading = |pair: &str| {
            let (angle, lift) = pair.split_once(':').expect("an angle and a lift");
            (degrees(number(angle)), Length(1e-3 * number(lift)))
        };
        CamStatement::Measured(readings.split(' ').map(reading).collect())
    } else {
        CamStatement::Law { law: law(&law_name), lift, rise_start, rise, dwell, fall }
    }
}

fn closure(header: &Header) -> Closure {
    let return_force = Force(header.number("return_force_n"));
    let return_rate = Stiffness(header.number("return_rate_n_m"));
    match header.word("closure").as_str() {
        "two-way" => Closure::TwoWay,
        "one-way" => Closure::OneWay { return_force, return_rate },
        closure => panic!("no such closure: {closure}"),
    }
}

/// The springs of a header: one, or another inside it. Lengths of nought are not stated.
fn springs(header: &Header) -> Vec<SpringStatement> {
    let spring = |inner: &str| {
        let n = |key: &str| header.number(&format!("{inner}{key}"));
        let stated = |value: f64| (value > 0.0).then_some(value);
        SpringStatement {
            rate: RateStatement::Rate(Stiffness(n("spring_rate_n_m"))),
            mass: Some(Mass(n("spring_mass_kg"))),
            free_length: stated(n("spring_free_m")).map(Length),
            solid_length: stated(n("spring_solid_m")).map(Length),
            preload: PreloadStatement::Force(Force(n("preload_n"))),
            bound_rate: stated(n("spring_bound_rate_n_m")).map(Stiffness),
            ..SpringStatement::default()
        }
    };
    let mut all = vec![spring(""), spring("inner_")];
    all.retain(|s| matches!(s.rate, RateStatement::Rate(rate) if rate.0 > 0.0));
    all
}

fn statement(header: &Header) -> MachineStatement {
    let n = |key: &str| header.number(key);
    let length = |key: &str| header.length(key);
    MachineStatement {
        cam: cam(header),
        cross_block: CrossBlockStatement {
            mass: Mass(n("block_mass_kg")),
            train_stiffness: Stiffness(n("train_stiffness_n_m")),
            train_damping: DampingStatement::Coefficient(Damping(n("train_damping_n_s_m"))),
            closure: closure(header),
        },
        springs: springs(header),
        abutment: AbutmentStatement::default(),
        latch: LatchStatement {
            trip: TripStatement::Lift(length("trip_lift_m")),
            release_delay: Time(n("release_delay_s")),
        },
        rod: RodStatement {
            mass: Mass(n("rod_mass_kg")),
            friction: Force(n("coulomb_friction_n")),
            drag: Damping(n("viscous_friction_n_s_m")),
            friction_speed: Speed(n("friction_speed_m_s")),
            stop_stiffness: Stiffness(n("stop_stiffness_n_m")),
            stop_damping: DampingStatement::Coefficient(Damping(n("stop_damping_n_s_m"))),
        },
        lever: LeverStatement {
            ratio: n("lever_ratio"),
            inertia: MomentOfInertia(n("lever_inertia_kg_m2")),
            arm: Some(length("lever_radius_m")),
        },
        piston: PistonStatement {
            diameter: length("piston_diameter_m"),
            clearance: length("piston_clearance_m"),
            length: length("piston_length_m"),
            mass: Mass(n("piston_mass_kg")),
            port_travel: length("port_travel_m"),
        },
        well: WellStatement {
            volume: Volume(n("well_volume_m3")),
            bulk_modulus: Pressure(n("metal_bulk_modulus_pa")),
            suction: suction(&header.word("suction")),
        },
        nozzle: NozzleStatement {
            bore: length("nozzle_diameter_m"),
            length: length("nozzle_length_m"),
            loss: n("nozzle_loss"),
            channel_bore: length("channel_diameter_m"),
            channel_length: length("channel_length_m"),
        },
        mould: mould(header),
        metal: metal(header),
    }
}

fn mould(header: &Header) -> MouldStatement {
    let n = |key: &str| header.number(key);
    let (film, packed) = (n("film_w_m2_k"), n("packed_film_w_m2_k"));
    let air_temperature = n("air_temperature_k");
    MouldStatement {
        depth: header.length("depth_m"),
        priming_volume: Volume(n("prime_volume_m3")),
        wall: WallStatement::Temperature(celsius(n("mould_temperature_c"))),
        heat_transfer: HeatTransfer(film),
        packed_heat_transfer: ((packed - film).abs() > 0.0).then_some(HeatTransfer(packed)),
        air_temperature: Temperature(air_temperature),
        vent: vent(header, air_temperature),
        vent_coefficient: n("vent_coefficient"),
        ..MouldStatement::default()
    }
}

fn vent(header: &Header, air_temperature: f64) -> VentStatement {
    let area = header.number("vent_area_m2");
    let [gap, width, length] =
        ["slit_thickness_m", "slit_width_m", "slit_length_m"].map(|key| header.length(key));
    match header.word("vent_kind").as_str() {
        "area" => VentStatement::Area(Area(area)),
        "slit" => {
            header.check("slit vent", "air_viscosity_pa_s", air_viscosity(air_temperature));
            VentStatement::Slit { gap, width, length }
        }
        kind => panic!("no such vent: {kind}"),
    }
}

fn metal(header: &Header) -> MetalStatement {
    let n = |key: &str| header.number(key);
    // The reference has one conductivity for solid and liquid.
    let conductivity = n("solid_conductivity_w_m_k");
    MetalStatement {
        density: Density(n("metal_density_kg_m3")),
        viscosity: Viscosity(n("metal_viscosity_pa_s")),
        liquidus: celsius(n("liquidus_c")),
        solidus: celsius(n("solidus_c")),
        latent_heat: LatentHeat(n("latent_heat_j_kg")),
        specific_heat: SpecificHeat(n("specific_heat_j_kg_k")),
        conductivity_liquid: Conductivity(conductivity),
        conductivity_solid: Conductivity(conductivity),
        sealing_fraction: n("sealing_fraction"),
        pot_temperature: celsius(n("pot_temperature_c")),
        ..MetalStatement::default()
    }
}
