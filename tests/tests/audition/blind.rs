//! Blind comparison: nothing tells, and chance is fair.

use serde_json::Value;

use super::browser::{DESKTOP, Visit};
use super::capture::{EAR, Recogniser, listen, telling};
use super::page::Page;
use super::workplace::demo_page;

/// Chance that always draws the same: `drawn` is what every random number is.
fn loaded(drawn: u32) -> String {
    format!("{EAR}; crypto.getRandomValues = (box) => box.fill({drawn});")
}

/// All that is in the page beside the data it came with, and all that it keeps: what somebody who looks could see.
fn seen(visit: &Visit) -> String {
    let expression = "(() => {
        const page = document.documentElement.cloneNode(true);
        page.querySelectorAll('script, #time, #outline .needle').forEach((element) => element.remove());
        // How far it has played is time, not key.
        page.querySelector('#seek').removeAttribute('aria-valuetext');
        const fields = [...document.querySelectorAll('input:not(#seek), select, textarea')].map((field) => [field.value, field.checked]);
        const styles = [...document.querySelectorAll('.letter, .letter *')].map((element) => element.getBoundingClientRect().toJSON());
        return [page.outerHTML, document.title, location.href, fields, styles, {...localStorage}, {...sessionStorage}, document.cookie,
            window.name, history.length, history.state, Object.keys(window).length, document.activeElement.matches('button') ? document.activeElement.textContent : document.activeElement.tagName];
    })()";
    visit.value(expression).to_string()
}

/// Opens the page with a loaded chance, starts a comparison of three sounds and notes what is seen at every step and which clips are heard.
fn steps(drawn: u32) -> Option<(Vec<String>, Vec<Value>)> {
    let visit = Visit::open_unguarded(demo_page(), DESKTOP, &loaded(drawn))?;
    visit.until("document.getElementById('play').textContent === 'Play' && window.earReady");
    let page = Page::read(demo_page());
    let recogniser = Recogniser::new(&page, 0);
    // Whatever was lit before must leave no trace either.
    visit.click("#choices button:nth-of-type(4)");
    visit.press(" ");
    for sound in [2, 4, 6] {
        visit.click(&format!("#blind-choice label:nth-of-type({sound}) input"));
    }
    for ticked in [2, 7] {
        let ticked = format!("#blind-choice label:nth-of-type({ticked}) input:checked");
        if visit.value(&format!("!!document.querySelector('{ticked}')")) == Value::Bool(true) {
            visit.click(&ticked);
        }
    }
    visit.click("#blind-choice label:nth-of-type(11) input");
    visit.click("#rate-start");
    let (mut seen_at, mut clips) = (vec![seen(&visit)], Vec::new());
    for letter in 1..=3 {
        visit.click(&format!(".letter:nth-of-type({letter}) .play"));
        seen_at.push(seen(&visit));
        clips.push(
            page.clips(0)[recogniser.anywhere(telling(&listen(&visit, 5))).expect("a clip").clip]["sound"].clone(),
        );
        visit.click(&format!(".letter:nth-of-type({letter}) .stars button:nth-of-type({})", 6 - letter));
        seen_at.push(seen(&visit));
    }
    visit.click("#blind-done");
    let result = visit.text("#blind-result");
    assert!(result.contains("P, 5: ") && result.contains("R, 3: "), "{result}");
    Some((seen_at, clips))
}

/// Two keys, one page: whatever differs could be read. The sounds differ, all that is seen does not.
#[test]
fn nothing_on_the_page_depends_on_the_key_before_the_end() {
    let Some((first, first_clips)) = steps(0) else { return };
    let Some((second, second_clips)) = steps(1) else { return };
    assert_ne!(first_clips, second_clips, "the two keys must put other sounds under the letters");
    let sorted = |mut clips: Vec<Value>| {
        clips.sort_by_key(Value::as_u64);
        clips
    };
    assert_eq!(sorted(first_clips), sorted(second_clips), "but the same three sounds");
    for (step, (first, second)) in first.iter().zip(&second).enumerate() {
        let differs =
            first.bytes().zip(second.bytes()).position(|(a, b)| a != b).unwrap_or(first.len().min(second.len()));
        let around = |text: &str| {
            String::from_utf8_lossy(&text.as_bytes()[differs.saturating_sub(200)..])
                .chars()
                .take(300)
                .collect::<String>()
        };
        assert!(first == second, "step {step}:\n{}\n\n{}", around(first), around(second));
    }
}

/// Sources: the binomial distribution. 9 or more of 10: 11 / 1024; 8 or more of 8: 1 / 256; 10 of 16 or more: 14893 / 65536.
#[test]
fn the_probability_of_a_result_by_guessing_is_the_exact_binomial_tail() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    let source = include_str!("../../../bundler/src/audition/page/binomial.js");
    let found = visit.value(&format!(
        "(() => {{ {source}; return [atLeast(9, 10), atLeast(8, 8), atLeast(10, 16), atLeast(0, 12), atLeast(100, 100)]; }})()"
    ));
    let wanted = [11.0 / 1024.0, 1.0 / 256.0, 14893.0 / 65536.0, 1.0, 2f64.powi(-100)];
    for (found, wanted) in found.as_array().unwrap().iter().zip(wanted) {
        assert!((found.as_f64().unwrap() / wanted - 1.0).abs() < 1e-12, "{found} {wanted}");
    }
}

/// Pearson's chi-square over the six orders of three things, 6000 draws: 5 degrees of freedom, 27.9 is passed with a probability of 4e-5
/// (value from memory of the table: 25.7 for 1e-4).
#[test]
fn every_order_is_as_likely_as_any_other() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    let source = include_str!("../../../bundler/src/audition/page/binomial.js");
    let counts = visit.value(&format!(
        "(() => {{ {source}; const counts = {{}};
            for (let i = 0; i < 6000; i++) {{ const order = shuffled([1, 2, 3]).join(''); counts[order] = (counts[order] || 0) + 1; }}
            return Object.values(counts); }})()"
    ));
    let counts: Vec<f64> = counts.as_array().unwrap().iter().map(|count| count.as_f64().unwrap()).collect();
    assert_eq!(counts.len(), 6);
    let chi_square: f64 = counts.iter().map(|count| (count - 1000.0).powi(2) / 1000.0).sum();
    assert!(chi_square < 27.9, "{counts:?}");
}

#[test]
fn what_cannot_be_compared_is_said() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    visit.click("#blind-choice label:nth-of-type(4) input");
    visit.click("#abx-start");
    assert!(visit.text("#blind-refusal").contains("exactly two"));
    assert_eq!(visit.value("document.getElementById('open').hidden"), Value::Bool(false));
}
