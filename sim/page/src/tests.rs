//! The page's conversation, as its script has it.

use super::*;

const DEMO: &str = include_str!("../../../scenarios/large_initials.toml");

fn setting(text: &str, moves: &Value, real: bool) -> Value {
    json!({ "name": "demo.toml", "text": text, "sets": [], "units": null, "moves": moves, "real": real })
}

fn ask(session: &mut Session, request: &Value) -> Value {
    let answer = session.answer(request.to_string().as_bytes());
    serde_json::from_slice(&answer).unwrap_or_else(|error| panic!("{error}"))
}

fn look() -> Value {
    json!({ "dark": false, "width": 1200 })
}

#[test]
fn property_a_move_is_the_command_lines_own_override() {
    let mut session = Session::default();
    let moves = json!([["pace", "15"], ["body", "18 pt"], ["pot", "360 degC"], ["sleeve", "2 1/2 in"]]);
    let asked =
        json!({ "ask": "judge", "setting": setting(DEMO, &moves, false), "look": look(), "charts": [] });
    let answer = ask(&mut session, &asked);
    let options = "--pace \"15 turns/min\" --body \"18 pt\" --set \"metal.pot_temperature=360 degC\" --set \"stack.sleeve=2 1/2 in\" --set \"stack.extension=2.5 in\"";
    assert_eq!(answer["options"], options);
    assert!(answer["headline"].as_str().is_some_and(|text| text.starts_with("18 pt at 15 turns/min: ")));
    let body = answer["dials"].as_array().and_then(|dials| dials.iter().find(|dial| dial["id"] == "body"));
    assert_eq!(body.map(|dial| &dial["told"]), Some(&json!("18 pt")));
}

#[test]
fn property_a_mistake_on_a_dial_is_told_there_and_one_in_the_text_at_its_line() {
    let mut session = Session::default();
    let moves = json!([["pot", "hot"]]);
    let asked =
        json!({ "ask": "judge", "setting": setting(DEMO, &moves, false), "look": look(), "charts": [] });
    let answer = ask(&mut session, &asked);
    assert_eq!(answer["mistakes"][0]["dial"], "pot");
    let text = DEMO.replace("law = \"cycloidal\"", "law = \"cicloidal\"");
    let asked =
        json!({ "ask": "judge", "setting": setting(&text, &json!([]), false), "look": look(), "charts": [] });
    let answer = ask(&mut session, &asked);
    let line = text.lines().position(|line| line.contains("cicloidal")).map(|line| line + 1);
    assert_eq!(answer["mistakes"][0]["line"], json!(line));
    assert!(answer["mistakes"][0]["right"].as_str().is_some_and(|right| right.contains("cycloidal")));
}

#[test]
fn property_every_dial_has_a_strip_whose_stretches_cover_it() {
    let mut session = Session::default();
    for text in [DEMO, include_str!("../../../scenarios/first_evening.toml")] {
        let asked = json!({ "ask": "judge", "setting": setting(text, &json!([]), false), "look": look(), "charts": [] });
        let answer = ask(&mut session, &asked);
        let dials = answer["dials"].as_array().cloned().unwrap_or_default();
        assert!(dials.len() >= 9, "{answer}");
        // One dial of each kind is enough here: the pace, and the one that moves two values.
        for dial in dials.iter().filter(|dial| dial["id"] == "pace" || dial["id"] == "sleeve") {
            let asked = json!({ "ask": "sweep", "setting": setting(text, &json!([]), false), "look": look(), "dial": dial["id"] });
            let answer = ask(&mut session, &asked);
            let stretches = answer["stretches"].as_array().cloned().unwrap_or_default();
            let number = |of: &Value| of.as_f64().expect("a number");
            let (low, step, last) = (number(&dial["low"]), number(&dial["step"]), number(&dial["last"]));
            let ends = (number(&stretches[0]["from"]), number(&stretches[stretches.len() - 1]["to"]));
            assert!(
                (ends.0 - low).abs() + (ends.1 - low - step * last).abs() < 1e-9 * step * last,
                "{answer}"
            );
            assert!(stretches.windows(2).all(|pair| pair[0]["to"] == pair[1]["from"]));
        }
    }
}

#[test]
fn property_what_is_no_request_has_an_answer_too() {
    let mut session = Session::default();
    for request in ["", "{", "[]", "{\"ask\":\"everything\"}", "\u{fffd}"] {
        let answer: Value = serde_json::from_slice(&session.answer(request.as_bytes())).expect("JSON");
        assert!(answer["error"].is_string(), "{request}");
    }
}

#[test]
fn property_a_name_is_never_markup() {
    let hostile = "</script><script>alert(1)</script><img src=x onerror=alert(1)>{{module}}";
    let text = DEMO.replace("Alder caster", hostile);
    let given = html::Given {
        machine: hostile,
        name: hostile,
        file: Some(hostile),
        text: &text,
        sets: &[],
        units: None,
    };
    let page = html::page(&given);
    assert!(!page.contains("<img") && !page.contains("<script>alert"), "markup");
    assert_eq!(page.matches("</script>").count(), 4);
    assert_eq!(page, html::page(&given));
    let mut session = Session::default();
    let asked = json!({ "ask": "frames", "setting": setting(&text, &json!([]), false), "look": look(), "from": 0, "count": 1 });
    assert!(!session.answer(asked.to_string().as_bytes()).windows(4).any(|bytes| bytes == b"<img"));
}
