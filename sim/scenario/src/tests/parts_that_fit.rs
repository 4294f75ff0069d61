//! Parts that do not go together.

use super::{LARGE_INITIALS, SMALL_TYPE, attempt, mistakes, small_type_with};

/// The one mistake of a text.
fn only(text: &str, given: &[&str]) -> String {
    let found = mistakes(text, given);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.concat()
}

#[test]
fn a_spring_that_does_not_go_into_the_other_is_refused_with_numbers() {
    let nested = |inner: &str| {
        let second = format!(
            "[[spring]]\nwire = \"1/8 in\"\noutside_coil = \"{inner}\"\nactive_coils = 14\nfree_length = \"5 3/4 in\"\n\n[stack]\n"
        );
        LARGE_INITIALS.replacen("[stack]\n", &second, 1)
    };
    let found = only(&nested("1 5/8 in"), &[]);
    assert!(found.contains("spring 2 does not go into spring 1: it is 1.625 in over its coils, and there is room for 1.3563 in"), "{found}");
    assert!(attempt(&nested("1 1/4 in"), &[]).is_ok());
    // Whichever of them stands first.
    let found = only(&nested("1 7/8 in"), &[]);
    assert!(found.contains("spring 1 does not go into spring 2"), "{found}");
}

#[test]
fn a_spring_as_long_solid_as_free_is_named_at_its_wire() {
    let text = LARGE_INITIALS.replace("solid_length = \"60 mm\"\n", "");
    let found = only(&text, &["spring[1].wire=14 mm"]);
    assert!(found.starts_with("--set spring[1].wire=14 mm: spring 1 is 6.6142 in long with its coils touching, 12 coils of 14 mm wire, and only 5 3/4 in long when free"), "{found}");
}

/// What follows from an alloy is not what is wrong: the value beside it is, which its owner gave.
#[test]
fn what_does_not_go_with_an_alloy_is_named_where_it_is_stated() {
    let found = only(SMALL_TYPE, &["metal.liquidus=230 degC"]);
    assert!(found.starts_with("--set metal.liquidus=230 degC: `liquidus` is 230 degC, below `solidus`, which is 240 °C in this alloy"), "{found}");
    assert!(found.contains("or tin and antimony are not as stated"), "{found}");
}

/// Every mistake at once: what cannot be together is told beside what cannot be read, and not of values that could not.
#[test]
fn what_cannot_be_is_told_beside_what_cannot_be_read() {
    let given = ["nozzle.bore=20 mm", "rod.mass=3 lbf", "metal.pot_temperature=warm", "mould.depth=0 mm"];
    let found = mistakes(SMALL_TYPE, &given);
    assert_eq!(found.len(), 4, "{found:#?}");
    assert!(found[3].contains("wider than that of the channel"), "{found:#?}");
}

/// A remembered cast from a pot of its own, which must have been molten too, whether or not the liquidus is stated.
#[test]
fn a_frozen_pot_of_a_remembered_cast_is_named_in_its_own_entry() {
    let cast = "\n[[experience]]\nbody = \"10 pt\"\npace = \"60 turns/min\"\nlatch = \"aside\"\nresult = \"sound\"\npot_temperature = \"450 degF\"\n";
    let found = only(&format!("{SMALL_TYPE}{cast}"), &[]);
    assert!(
        found.contains("`pot_temperature` is 450 degF, below `liquidus`, which is 513.85 °F in this alloy"),
        "{found}"
    );
    assert!(!found.starts_with("t.toml:91"), "{found}");
}

#[test]
fn a_nozzle_wider_than_its_channel_is_refused() {
    let found = only(SMALL_TYPE, &["nozzle.bore=20 mm"]);
    assert!(
        found.contains("the bore of the nozzle is 20 mm, wider than that of the channel, which is 8 mm"),
        "{found}"
    );
    let found = only(SMALL_TYPE, &["nozzle.bore=20 mm", "nozzle.length=2.6 mm"]);
    assert!(found.contains("are bore and length (2.6 mm) of the nozzle exchanged?"), "{found}");
}

#[test]
fn a_skin_of_half_the_type_is_refused() {
    let found = only(LARGE_INITIALS, &["job.accepted_skin=4.5 mm"]);
    assert!(
        found.contains("`accepted_skin` is 4.5 mm, and a type of 24 pt is frozen through at 4.2175 mm"),
        "{found}"
    );
    let found = only(LARGE_INITIALS, &["job.accepted_skin=2 mm", "job.set=3 mm"]);
    assert!(found.contains("a type of 3 mm is frozen through at 1.5 mm"), "{found}");
}

#[test]
fn a_mould_out_of_the_metals_reach_is_remarked_on() {
    let remarks = |priming: &str| {
        let text = small_type_with("[mould]", &format!("[mould]\npriming_volume = \"{priming}\""));
        let text = text.replacen("\npriming_volume = \"0.15 cm3\"", "", 1);
        let scenario = attempt(&text, &[]).unwrap_or_else(|found| panic!("{found}"));
        scenario.remarks().iter().map(|remark| remark.message.clone()).collect::<Vec<_>>()
    };
    assert!(remarks("0.2 cm3").is_empty());
    let said = remarks("15 cm3");
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].contains("no more than the `priming_volume` of 15 cm3: metal never reaches the mould"),
        "{said:?}"
    );
}
