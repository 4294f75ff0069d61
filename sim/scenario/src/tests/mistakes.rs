//! Every mistake at its line and column, all at once, and how they look.

use super::{mistakes, small_type_with};

/// Edits of a good file, and the one line the listing then has: place as line
/// and column from 1, columns in characters.
const SINGLE: [(&str, &str, &str); 44] = [
    (
        "lift = \"30 mm\"",
        "lift = 30",
        "t.toml:14:8: `30` has no unit: a length is wanted; write \"30 mm\", if its unit is that of its neighbours",
    ),
    ("lift = \"30 mm\"", "lift = 30 mm", "t.toml:14:8: `30 mm` stands without quotes; write \"30 mm\""),
    ("lift = \"30 mm\"", "lift = \"30 ± ½ mmm\"", "t.toml:14:16: there is no unit `mmm`; did you mean mm?"),
    ("lift = \"30 mm\"", "lift = \"1 3/4\\\" x\"", "t.toml:14:14: there is no unit `\" x`"),
    ("lift = \"30 mm\"", "lift = \"\\u0033 x\"", "t.toml:14:16: there is no unit `x`"),
    (
        "lift = \"30 mm\"",
        "lift = \"30 N\"",
        "t.toml:14:12: this wants a length, and `N` is a force; write a length in mm",
    ),
    (
        "lift = \"30 mm\"",
        "lift = \"7 in\"",
        "t.toml:14:9: `7 in` is out of range for `lift`; from 0.04 in to 5.9 in: a pump cam",
    ),
    (
        "lift = \"30 mm\"",
        "lift = true",
        "t.toml:14:8: `lift` wants a length, and this is true or false; write lift = \"30 mm\"",
    ),
    ("lift = \"30 mm\"", "lfit = \"30 mm\"", "t.toml:14:1: [cam] has no key `lfit`; did you mean `lift`?"),
    (
        "lift = \"30 mm\"",
        "lift = \"30 mm\"\nbody = \"8 pt\"",
        "t.toml:15:1: [cam] has no key `body`; `body` belongs in [job]",
    ),
    (
        "lift = \"30 mm\"",
        "lift = \"30 mm\"\nlift = \"31 mm\"",
        "t.toml:15:1: `lift` is given twice; keep the one that holds",
    ),
    ("lift = \"30 mm\"", "", "t.toml:12:1: [cam] needs `lift`; add lift = \"30 mm\": the law shapes"),
    ("lift = \"30 mm\"", "lift \"30 mm\"", "t.toml:14:1: this line gives no value; write key = \"value\""),
    ("lift = \"30 mm\"", "lift: 30 mm", "t.toml:14:1: this line gives no value; write key = \"value\""),
    ("lift = \"30 mm\"", "lift =", "t.toml:14:1: this line gives no value; write key = \"value\""),
    ("lift = \"30 mm\"", "lift = 'thirty", "t.toml:14:8: this text has no quote at its end"),
    ("lift = \"30 mm\"", "lift = \"30 mm", "t.toml:14:8: this text has no quote at its end"),
    (
        "lift = \"30 mm\"",
        "lift = 1 3/16\"",
        "t.toml:14:8: `1 3/16\"` stands without quotes; write \"1 3/16 in\"",
    ),
    ("lift = \"30 mm\"", "lift = 1,5", "t.toml:14:8: `1,5` is not a number; write a point"),
    ("lift = \"30 mm\"", "lift = \"30 mm\" high", "t.toml:14:8: something follows"),
    (
        "return = \"90 deg\"",
        "return = \"200 deg\"",
        "t.toml:17:10: rise_start, rise, dwell and return together take 380°; they can take at most 360°, one turn",
    ),
    (
        "law = \"modified-sine\"",
        "law = \"Modified sine\"",
        "t.toml:13:8: `Modified sine` is not among the choices; did you mean \"modified-sine\"?",
    ),
    (
        "[machine]",
        "lift = \"3 mm\"\n[machine]",
        "t.toml:8:1: `lift` stands outside any section; move it under [cam]",
    ),
    (
        "[machine]",
        "machin = 3\n[machine]",
        "t.toml:8:1: there is no section `machin`; did you mean `machine`?",
    ),
    ("[well]", "[[well]]", "t.toml:59:1: [[well]] has two brackets, and there is only one; write [well]"),
    ("[channel]", "[channel", "t.toml:63:1: the section header `[channel` is not closed; write [channel]"),
    (
        "[channel]\nbore = \"8 mm\"\nlength = \"120 mm\"\n",
        "",
        "t.toml: the section [channel] is missing; add [channel] with bore = \"8 mm\", length = \"120 mm\"",
    ),
    (
        "rate = \"34 lbf/in\"",
        "rate = \"34 lbf/in\"\nactive_coils = 9",
        "t.toml:29:16: `rate` and `active_coils` are both given; keep one of them",
    ),
    (
        "preload = \"55 lbf\"",
        "",
        "t.toml:27:1: spring 1 needs its preload; add preload = \"79 lbf\" here, or free_length",
    ),
    (
        "solid_length = \"65 mm\"",
        "solid_length = \"150 mm\"",
        "t.toml:32:16: `solid_length` is 150 mm, not below `free_length`, which is 150 mm; it must be less than 150 mm",
    ),
    (
        "mass = \"9 oz\"",
        "mass = \"9 oz\"\nwire = \"5 mm\"\noutside_coil = \"9 mm\"",
        "t.toml:31:16: `outside_coil` is 9 mm, too small for wire of 5 mm; it must be more than 10 mm",
    ),
    (
        "trip_lift = \"14 mm\"",
        "",
        "t.toml:42:1: [latch] needs `prong_travel` or `trip_lift`; add prong_travel = \"6 mm\" or trip_lift",
    ),
    (
        "trip_lift = \"14 mm\"",
        "prong_travel = \"6 mm\"",
        "t.toml: [stack] needs `bare_clearance`; add bare_clearance = \"76 mm\"",
    ),
    (
        "loss = 1",
        "loss = 0x1",
        "t.toml:70:8: `loss` wants a plain number, and this is a bare number; write loss = 0.5",
    ),
    (
        "tin = \"7 %\"",
        "tin = \"7 %\"\nliquidus = \"520 degF\"\nsolidus = \"530 degF\"",
        "t.toml:90:11: `solidus` is 530 degF, above `liquidus`, which is 520 degF; it must be no more than 520 °F: freezing begins",
    ),
    (
        "inlet_temperature = \"15 degC\"",
        "inlet_temperature = \"450 degF\"",
        "t.toml:83:22: `450 degF` is out of range for `inlet_temperature`; from 32 °F to 212 °F",
    ),
    (
        "depth = \"0.92 in\"",
        "depth = \"0.92 in\"\nwall_temperature = \"60 degC\"",
        "t.toml:74:20: `wall_temperature` and [cooling_water] are both given; keep one of them",
    ),
    (
        "mould_mass = \"1.5 kg\"",
        "",
        "t.toml:81:1: [cooling_water] needs `mould_mass`; add mould_mass = \"3 kg\"",
    ),
    (
        "antimony = \"16 %\"",
        "",
        "t.toml:87:1: [metal] needs `antimony`; add antimony = 0.16: an alloy is known by both",
    ),
    (
        "antimony = \"16 %\"",
        "antimony = \"25 %\"",
        "t.toml:89:12: tin 7.0 % with antimony 25.0 % is outside the table of melting ranges; give tin from 3",
    ),
    (
        "antimony = \"16 %\"",
        "antimony = 16",
        "t.toml:89:12: `16` is out of range for `antimony`; from 0 to 0.3: it is a share of the alloy",
    ),
    (
        "pot_temperature = \"660 degF\"",
        "pot_temperature = \"500 degF\"",
        "t.toml:91:19: `pot_temperature` is 500 degF, below `liquidus`, which is 513.85 °F in this alloy; it must be no less than",
    ),
    (
        "sealing_fraction = \"35 %\"",
        "sealing_fraction = \"35 %\"\nlatent_heat = \"50 kJ/kg\"\nfreezing_path = \"eutectic\"",
        "t.toml:91:15: `latent_heat` is not wanted here; leave it out: on the eutectic path",
    ),
    (
        "paces = [\"60 turns/min\"",
        "paces = [60",
        "t.toml:99:10: `60` has no unit: a pace is wanted; write \"60 turns/min\", if its unit",
    ),
];

#[test]
fn each_mistake_is_reported_once_at_its_line_and_column() {
    let mut wrong = Vec::new();
    for (old, new, expected) in SINGLE {
        let found = mistakes(&small_type_with(old, new), &[]);
        if found.len() != 1 || !found[0].starts_with(expected) {
            wrong.push(format!("`{new}` gives {found:#?}, not {expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// One fault of each kind, in one file.
pub(super) const MANY: &str = "\
[machine]
name = \"Übungsmaschine\"
[cam]
law = \"cyclodal\"
lift = 30
rise = 80 deg
dwell = \"200 degC\"
retrun = \"90 deg\"
dwell = \"3 deg\"
[cross_block]
mass = \"½ kgg\"
train_stiffness = \"4000 N/mm\"
train_damping = \"1500 N s/m\"
closure = \"one-way\"
[[spring]]
rate = \"9 N/mm\"
active_coils = 10
mass = \"350 g\"
preload = \"350 lb\"
[latch]
trip_lift = \"−½ in\"
[frame]
width = \"3 m\"
";

#[test]
fn all_mistakes_come_at_once_in_the_order_of_the_file() {
    let found = mistakes(MANY, &["cam.lift=3 N"]);
    let expected = [
        "t.toml:4:8: `cyclodal` is not among",
        "t.toml:5:8: `30` has no unit",
        "t.toml:6:8: `80 deg` stands without quotes",
        "t.toml:7:14: this wants an angle",
        "t.toml:8:1: [cam] has no key `retrun`; did you mean `return`?",
        "t.toml:9:1: `dwell` is given twice",
        "t.toml:10:1: [cross_block] needs `return_force`",
        "t.toml:11:11: there is no unit `kgg`",
        "t.toml:17:16: `rate` and `active_coils` are both given",
        "t.toml:19:16: this wants a force, and `lb` is a mass; did you mean lbf?",
        "t.toml:21:14: `−½ in` is out of range",
        "t.toml:22:2: there is no section `frame`",
        "t.toml: the section [rod] is missing",
        "t.toml: the section [piston] is missing",
        "t.toml: the section [channel] is missing",
        "t.toml: the section [nozzle] is missing",
        "t.toml: the section [mould] is missing",
        "t.toml: the section [job] is missing",
        "--set cam.lift=3 N: this wants a length",
    ];
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (line, start) in found.iter().zip(expected) {
        assert!(line.starts_with(start), "{line}\nwanted {start}");
    }
}

#[test]
fn an_empty_file_lacks_every_section_that_is_needed() {
    let found = mistakes("", &[]);
    // Cam, spring, latch, rod, piston, channel, nozzle, mould and job: all else may be left out.
    assert_eq!(found.len(), 9, "{found:#?}");
    assert!(found.iter().all(|line| line.starts_with("t.toml: the section [")));
}

#[test]
fn an_unclosed_list_does_not_make_the_rest_missing() {
    let text = small_type_with("\"10 pt\", \"12 pt\"]", "\"10 pt\"");
    let found = mistakes(&text, &[]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("this list is not closed"), "{found:?}");
}

#[test]
fn readings_must_go_round_the_turn() {
    let stated = "law = \"modified-sine\"\nlift = \"30 mm\"\nrise = \"80 deg\"\ndwell = \"100 deg\"\nreturn = \"90 deg\"";
    let new = "law = \"measured\"\nreadings = [\n  [\"0 deg\", \"0 mm\"],\n  [\"20 deg\", \"200 mm\"],\n  \
               [\"20 deg\", \"3 mm\"],\n  [\"360 deg\", \"1 mm\"],\n  [40, \"1 mm\"],\n]";
    let found = mistakes(&small_type_with(stated, new), &[]);
    let expected = [
        "t.toml:14:12: there are 5 readings; give at least 6",
        "t.toml:15:4: the angles of these readings have no units; say once for all what they are",
        "t.toml:16:14: a lift of `200 mm` is impossible",
    ];
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (line, start) in found.iter().zip(expected) {
        assert!(line.starts_with(start), "{line}\nwanted {start}");
    }
}
