//! Answers: given in the browser, read by the command, and refused when they are not what a page saved.

use super::browser::{DESKTOP, Visit};
use super::workplace::{Workplace, demo_page};

fn out(place: &Workplace, arguments: &[&str]) -> String {
    String::from_utf8(place.audition(arguments).success().get_output().stdout.clone()).unwrap()
}

fn err(place: &Workplace, arguments: &[&str]) -> String {
    String::from_utf8(place.audition(arguments).failure().code(1).get_output().stderr.clone()).unwrap()
}

/// Answers as a listener gives them: X is always drawn to be P, and he says P, P, P, Q.
fn answered() -> Option<(String, Visit)> {
    let visit = Visit::ready(demo_page(), DESKTOP, "crypto.getRandomValues = (box) => box.fill(0);")?;
    visit.click("#rate-start");
    visit.click(".letter:nth-of-type(1) .stars button:nth-of-type(4)");
    visit.click("#blind-done");
    visit.value("(document.getElementById('trials').value = '4')");
    visit.click("#abx-start");
    for said in ["#x-is-1", "#x-is-1", "#x-is-1", "#x-is-2"] {
        visit.click(said);
    }
    assert!(visit.text("#blind-result").contains("3 of 4 right"), "{}", visit.text("#blind-result"));
    visit.type_into("#who", "Zoë <b>& Ko");
    visit.type_into("#comment", "The second \"sings\" – 5/5");
    visit.click("#save");
    let text = std::fs::read_to_string(visit.saved()).unwrap();
    Some((text, visit))
}

/// Source of the probability: 3 or more of 4 by guessing, (4 + 1) / 16.
#[test]
fn answers_saved_in_the_browser_are_read_and_tabulated() {
    let Some((text, visit)) = answered() else { return };
    let place = Workplace::new();
    std::fs::write(place.path("a.json"), &text).unwrap();
    let table = out(&place, &["--answers", "a.json", "--page", demo_page().to_str().unwrap()]);
    for word in [
        "Zoë <b>& Ko",
        "“Two wirings”",
        "whole, and of the page given",
        "4  P  ",
        "-  Q  ",
        "3 of 4 right",
        "p = 0.3125",
        "The second \"sings\" – 5/5",
    ] {
        assert!(table.contains(word), "{word}: {table}");
    }
    visit.click("#copy");
    let copied = visit.value("document.getElementById('answers-text').value").as_str().unwrap().to_string();
    for word in ["Zoë <b>& Ko", "3 of 4 right", "31.3 %", "4  P  "] {
        assert!(copied.contains(word), "{word}: {copied}");
    }
}

#[test]
fn answers_that_were_changed_are_refused() {
    let Some((text, _visit)) = answered() else { return };
    let place = Workplace::new();
    for (from, to) in
        [("\"said\": [\n     1", "\"said\": [\n     2"), ("Zoë", "Zoe"), ("\"rating\": 4", "\"rating\": 5")]
    {
        assert!(text.contains(from), "{from}: {text}");
        std::fs::write(place.path("a.json"), text.replace(from, to)).unwrap();
        let said = err(&place, &["--answers", "a.json"]);
        assert!(said.contains("a.json") && said.contains("changed after the page saved it"), "{said}");
    }
}

#[test]
fn answers_to_another_page_are_refused_and_the_pages_are_named() {
    let Some((text, _visit)) = answered() else { return };
    let place = Workplace::new();
    place.audition(&["--seconds", "1", "--option", "volume-only"]).success();
    std::fs::write(place.path("a.json"), text).unwrap();
    let said = err(&place, &["--answers", "a.json", "--page", "audition.html"]);
    assert!(said.contains("not to page"), "{said}");
}

#[test]
fn what_is_no_answers_file_is_refused_with_what_to_ask_for() {
    let place = Workplace::new();
    let whole = r#"{"dryfit-answers":1,"answers":{"page":"0","title":"","name":"","comment":"","ratings":[],"comparisons":[CMP]}}"#;
    let impossible = whole.replace("CMP", r#"{"take":"t","first":"a","second":"b","x":[1,2],"said":[1]}"#);
    let newer = r#"{"dryfit-answers":2}"#;
    let cases = [
        ("", "not an answers file"),
        ("[]", "not an answers file"),
        ("{\"a\":1}", "not an answers file"),
        (newer, "newer"),
        (&impossible, "do not match"),
    ];
    for (text, word) in cases {
        std::fs::write(place.path("a.json"), text).unwrap();
        let said = err(&place, &["--answers", "a.json"]);
        assert!(said.contains(word) && said.contains("mend: "), "{text}: {said}");
    }
    std::fs::write(place.path("p.html"), "<html>").unwrap();
    assert!(err(&place, &["--answers", "a.json", "--page", "p.html"]).contains("not an audition page"));
    assert!(err(&place, &["--answers", "none.json"]).contains("none.json"));
    // Without a check sum, as from a browser that can make none, it is read and said.
    std::fs::write(place.path("a.json"), whole.replace("CMP", "")).unwrap();
    assert!(out(&place, &["--answers", "a.json"]).contains("without check sum"));
}
