//! How mistakes look, and that no text upsets the reader.

use proptest::prelude::*;

use super::super::mistakes::{Location, Look};
use super::mistakes::MANY;
use super::{LARGE_INITIALS, SMALL_TYPE, attempt, example, mistakes, small_type_with};

#[test]
fn plain_listing_shows_the_owners_line_underlined() {
    let text = small_type_with("lift = \"30 mm\"", "lift = \"30 ± ½ mmm\"");
    let shown = attempt(&text, &[]).err().map(|found| found.render(Look::Plain, 80));
    let expected = "  x there is no unit `mmm`
    ,-[t.toml:14:16]
 14 | lift = \"30 ± ½ mmm\"
    :                ^^^
    `----
  help: did you mean mm? Otherwise write a length in mm, cm, in, thou, ft, pt,
        pica, didot, cicero, um, m

1 mistake in t.toml
";
    assert_eq!(shown.as_deref(), Some(expected));
}

#[test]
fn plain_listing_has_no_colour_and_the_other_has() {
    let found = attempt(MANY, &[]).err();
    let plain = found.as_ref().map(|found| found.render(Look::Plain, 80)).unwrap_or_default();
    let colour = found.map(|found| found.render(Look::Colour, 80)).unwrap_or_default();
    assert!(!plain.contains('\u{1b}'));
    assert!(colour.contains('\u{1b}'));
    assert!(plain.ends_with("18 mistakes in t.toml\n"), "{plain}");
}

#[test]
fn mistakes_found_after_reading_point_at_the_value() {
    let scenario = super::good(SMALL_TYPE);
    let found = scenario.mistake_at("job.pace", "too fast".to_owned(), "slower".to_owned());
    assert!(matches!(found.location, Location::File { line: 96, column: 8, .. }), "{found:?}");
    let found = scenario.mistake_at("job.margin", "too small".to_owned(), "more".to_owned());
    // What the owner did not write is shown at its section.
    assert!(matches!(found.location, Location::File { line: 93, column: 1, .. }), "{found:?}");
}

proptest! {
    #[test]
    fn property_no_text_upsets_the_reader(text in r#"([\[\]a-z_ ."'=#±½,0-9\n]|\[cam\]|lift|"30 mm"|\PC){0,80}"#) {
        if let Err(found) = attempt(&text, &[&text]) {
            found.render(Look::Plain, 80);
        }
    }

    #[test]
    fn property_no_mutilated_file_upsets_the_reader(
        start in 0..LARGE_INITIALS.len(),
        length in 0..40_usize,
        patch in r#"[\[\]"'=,\n a½]{0,4}"#,
    ) {
        let start = LARGE_INITIALS.floor_char_boundary(start);
        let end = LARGE_INITIALS.floor_char_boundary(start + length);
        let text = format!("{}{patch}{}", &LARGE_INITIALS[..start], &LARGE_INITIALS[end.max(start)..]);
        if let Err(found) = attempt(&text, &[]) {
            prop_assert!(!found.list().is_empty());
            for mistake in found.list() {
                prop_assert!(!mistake.right.is_empty());
                if let Location::File { span, .. } = &mistake.location {
                    prop_assert!(text.get(span.clone()).is_some());
                }
            }
            found.render(Look::Plain, 80);
            found.render(Look::Colour, 80);
        }
    }

    #[test]
    fn property_a_dropped_line_of_the_template_is_one_mistake_or_none(line in 0..400_usize) {
        let template = example();
        let is_value = |text: &str| text.contains(" = ") && !text.starts_with('#');
        let kept: Vec<&str> = template.lines().enumerate()
            .filter(|(number, text)| *number != line || !is_value(text))
            .map(|(_, text)| text)
            .collect();
        let found = mistakes(&kept.join("\n"), &[]);
        prop_assert!(found.len() <= 1, "{:#?}", found);
    }
}
