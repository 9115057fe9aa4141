//! How the page looks and is reached: sizes, contrast, names, keys, and what it says where it cannot work.

use serde_json::Value;

use super::browser::{DESKTOP, PHONE, View, Visit};
use super::workplace::demo_page;

/// The least contrast of text, and of what must be seen to use a control. Source: WCAG 2.1, 1.4.3 and 1.4.11, level AA.
const TEXT: f64 = 4.5;

/// Every text with the contrast against what it stands on, worst first.
const CONTRASTS: &str = "(() => {
    const parse = (colour) => (colour.match(/[\\d.]+/g) || []).map(Number);
    const luminance = (colour) => {
        const [r, g, b] = parse(colour).map((level) => {
            const share = level / 255;
            return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const ground = (element) => {
        for (let at = element; at; at = at.parentElement) {
            const colour = getComputedStyle(at).backgroundColor;
            if (!/, 0\\)$/.test(colour) && colour !== 'transparent') return colour;
        }
        return 'rgb(255, 255, 255)';
    };
    const found = [];
    for (const element of document.querySelectorAll('body *')) {
        const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
        const field = element.matches('input[type=text], input[type=number], select, textarea');
        if ((!own && !field) || element.closest('script, svg, noscript, .skip') || !element.checkVisibility()) continue;
        const [one, other] = [getComputedStyle(element).color, ground(element)].map(luminance);
        const contrast = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
        found.push([contrast, element.tagName + '#' + element.id + '.' + element.className + ': ' + element.textContent.slice(0, 30)]);
    }
    return found.sort((a, b) => a[0] - b[0]);
})()";

fn contrasts_hold(visit: &Visit, what: &str) {
    let found = visit.value(CONTRASTS);
    let all = found.as_array().unwrap();
    assert!(all.len() > 12, "{what}: only {} texts were found", all.len());
    let (worst, place) = (all[0][0].as_f64().unwrap(), &all[0][1]);
    assert!(worst >= TEXT, "{what}: {worst:.2} at {place}");
}

/// The measure itself, before it measures anything. Source: WCAG 2.1: black on white is 21 to 1.
#[test]
fn the_measure_of_contrast_knows_black_on_white_and_sees_faint_text() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    let set = "(document.body.style.background = 'rgb(255, 255, 255)', document.getElementById('recorded').style.color = 'rgb(COLOUR)')";
    let at = |colour: &str| {
        visit.value(&set.replace("COLOUR", colour));
        let all = visit.value(CONTRASTS);
        let mine =
            all.as_array().unwrap().iter().find(|entry| entry[1].as_str().unwrap().starts_with("P#recorded")).unwrap();
        mine[0].as_f64().unwrap()
    };
    assert!((at("0, 0, 0") - 21.0).abs() < 1e-9);
    assert!((at("119, 119, 119") - 4.48).abs() < 0.01, "grey 119 is the well-known 4.48 (value from memory)");
}

#[test]
fn every_text_meets_aa_in_light_and_dark_on_desktop_and_phone() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    for (name, view) in [("desktop", DESKTOP), ("phone", PHONE)] {
        for dark in [false, true] {
            visit.look(View { dark, height: 2300, ..view });
            let wanted =
                format!("document.documentElement.dataset.theme === '{}'", if dark { "dark" } else { "light" });
            if visit.value(&wanted) != Value::Bool(true) {
                visit.click("#theme");
            }
            visit.click("#choices button:nth-of-type(8)");
            let what = format!("{name}-{}", if dark { "dark" } else { "light" });
            contrasts_hold(&visit, &what);
            visit.picture(&what);
            visit.click("#help-open");
            contrasts_hold(&visit, &format!("{what}-help"));
            visit.click("#help-open");
            visit.click("#rate-start");
            contrasts_hold(&visit, &format!("{what}-blind"));
            visit.picture(&format!("{what}-blind"));
            visit.click("#blind-done");
            contrasts_hold(&visit, &format!("{what}-result"));
        }
    }
}

/// Source: WCAG 2.1, 1.4.10 (reflow at 320 CSS pixels, tested at 320 and at a small phone's 360) and 2.2, 2.5.8 (targets of 24 pixels).
#[test]
fn nothing_runs_out_of_a_phones_screen_and_everything_can_be_touched() {
    let Some(visit) = Visit::ready(demo_page(), PHONE, "") else { return };
    for width in [320, 360, 1280] {
        visit.look(View { width, ..PHONE });
        visit.click("#choices button:nth-of-type(8)");
        let wide = visit.value("document.documentElement.scrollWidth").as_u64().unwrap();
        assert!(wide <= u64::from(width), "{wide} pixels at {width}");
        let small = visit.value(
            "[...document.querySelectorAll('button, select, input:not([type=checkbox]), textarea, label.choice')]
                .filter((element) => element.checkVisibility()).map((element) => [element.id || element.textContent, element.getBoundingClientRect()])
                .filter(([, { width, height }]) => width < 24 || height < 24).map(([name]) => name)",
        );
        assert_eq!(small, serde_json::json!([]), "at {width}");
    }
}

#[test]
fn every_control_has_a_name_and_tab_reaches_it() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    visit.click("#choices button:nth-of-type(8)");
    let nameless = visit.value(
        "[...document.querySelectorAll('button, select, input, textarea')].filter((element) =>
            !(element.getAttribute('aria-label') || element.labels?.[0]?.textContent.trim() || element.textContent.trim()))
            .map((element) => element.outerHTML)",
    );
    assert_eq!(nameless, serde_json::json!([]));
    let wanted = visit.value(
        "[...document.querySelectorAll('button, select, input, textarea')].filter((element) => element.checkVisibility() && !element.disabled).length",
    );
    visit.value("(window.reached = new Set(), addEventListener('focusin', ({ target }) => window.reached.add(target)), document.activeElement.blur())");
    for _ in 0..wanted.as_u64().unwrap() + 12 {
        visit.press("Tab");
    }
    let missed = visit.value(
        "[...document.querySelectorAll('button, select, input, textarea')].filter((element) =>
            element.checkVisibility() && !element.disabled && !window.reached.has(element)).map((element) => element.outerHTML)",
    );
    assert_eq!(missed, serde_json::json!([]));
}

#[test]
fn keys_do_what_the_help_says_and_can_be_switched_off() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    let lit = || visit.text("#lit-name");
    visit.press("?");
    assert!(visit.text("#help").contains("play or pause"));
    visit.press("3");
    assert_eq!(lit(), "Ordinary five-way with two tones, position 3: middle");
    visit.press("o");
    assert_eq!(lit(), "Bridge-only neck blend, position 3: middle");
    visit.press("x");
    assert_eq!(lit(), "Ordinary five-way with two tones, position 3: middle");
    visit.press("ArrowDown");
    assert!(lit().contains("position 4"));
    visit.press("0");
    assert_eq!(lit(), "As recorded");
    visit.press("m");
    assert_eq!(visit.value("document.getElementById('real').ariaPressed"), "true");
    visit.press(" ");
    visit.until("document.getElementById('play').textContent === 'Pause'");
    visit.click("#keys-on");
    visit.press("3");
    assert_eq!(lit(), "As recorded");
    visit.click("#keys-on");
    visit.type_into("#comment", "3");
    assert_eq!(lit(), "As recorded", "what is typed into a field is text");
}

#[test]
fn reduced_motion_moves_nothing() {
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, "") else { return };
    let moving = "[...document.querySelectorAll('*')].filter((element) => parseFloat(getComputedStyle(element).transitionDuration) > 0).length";
    visit.media(&[("prefers-reduced-motion", "no-preference")]);
    assert!(visit.value(moving).as_u64().unwrap() > 0);
    visit.media(&[("prefers-reduced-motion", "reduce")]);
    assert_eq!(visit.value(moving), 0);
}

#[test]
fn the_dark_room_is_dark_without_being_asked() {
    let Some(visit) = Visit::ready(demo_page(), View { dark: true, ..DESKTOP }, "") else { return };
    assert_eq!(visit.value("document.documentElement.dataset.theme"), "dark");
}

#[test]
fn a_browser_without_web_audio_says_what_to_do() {
    let prelude = "delete window.AudioContext; delete window.webkitAudioContext;";
    let Some(visit) = Visit::open(demo_page(), DESKTOP, prelude) else { return };
    let notice = visit.text("#notice");
    assert!(notice.contains("current browser") && notice.contains("no network"), "{notice}");
}

#[test]
fn a_browser_that_cannot_decode_says_what_to_do() {
    let prelude = "BaseAudioContext.prototype.decodeAudioData = () => Promise.reject(new Error('no FLAC'));";
    let Some(visit) = Visit::open(demo_page(), DESKTOP, prelude) else { return };
    visit.until("!document.getElementById('notice').hidden");
    assert!(visit.text("#notice").contains("no FLAC"));
}

/// The network is cut in every visit; here nothing was even tried, and the policy was never offended.
#[test]
fn from_a_file_with_the_network_cut_nothing_is_asked_of_anybody() {
    let prelude = "window.offences = []; addEventListener('securitypolicyviolation', (event) => window.offences.push(event.violatedDirective));
        window.errors = []; addEventListener('error', (event) => window.errors.push(event.message));";
    let Some(visit) = Visit::ready(demo_page(), DESKTOP, prelude) else { return };
    for key in [" ", "2", "5", "o", "?", "b"] {
        visit.press(key);
    }
    visit.click("#rate-start");
    visit.click("#blind-done");
    visit.click("#copy");
    assert_eq!(visit.value("location.protocol"), "file:");
    assert_eq!(visit.value("performance.getEntriesByType('resource').length"), 0);
    assert_eq!(visit.value("[window.offences, window.errors]"), serde_json::json!([[], []]));
}
