//! What must not be in the page.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use super::page::Page;
use super::workplace::{Workplace, demo_page, playing};

#[test]
fn a_clients_name_that_is_markup_stays_text() {
    let place = Workplace::new();
    place.take("t.wav", 48_000, &playing(48_000, 1.1));
    let evil = "<script>alert(1)</script><!--sound-->\"'&{{ id }}";
    let arguments = ["t.wav", "--option", "volume-only", "--client", evil, "--title", evil, "--name", evil];
    place.audition(&arguments).success();
    let page = Page::read(&place.path("audition.html"));
    assert!(!page.text.contains("<script>alert") && !page.text.contains("<!--sound-->"));
    assert!(page.text.contains("&lt;script&gt;alert(1)"));
    assert_eq!(page.data["takes"][0]["name"], evil, "and reads as it was written");
    assert_eq!(page.data["title"], evil);
}

#[test]
fn no_path_and_nothing_of_the_machine_gets_into_the_page() {
    let place = Workplace::new();
    std::fs::create_dir(place.path("secretfolder")).unwrap();
    place.take("secretfolder/secretname.wav", 48_000, &playing(48_000, 1.1));
    let wiring =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../presets/wirings/volume-only.toml")).unwrap();
    std::fs::write(place.path("secretfolder/secretwiring.toml"), wiring).unwrap();
    let arguments = ["secretfolder/secretname.wav", "--option", "./secretfolder/secretwiring.toml", "-o", "p.html"];
    place.audition(&arguments).success();
    let page = Page::read(&place.path("p.html"));
    let machine = std::env::var("HOSTNAME").ok().filter(|name| name.len() > 3);
    let home = std::env::var("HOME").ok().filter(|home| home.len() > 1);
    let folder = place.path("").display().to_string();
    for word in ["secret".to_string(), folder].into_iter().chain(machine).chain(home) {
        assert!(!page.text.contains(&word), "the page holds `{word}`");
    }
}

/// Source: W3C, Content Security Policy Level 3: a hash is over the element's text in UTF-8.
#[test]
fn the_policy_lets_nothing_in_or_out_but_the_pages_own_script_and_style() {
    use sha2::Digest;
    let page = Page::read(demo_page());
    let hash = |tag: &str| {
        let start = page.text.rfind(&format!("<{tag}>")).unwrap() + tag.len() + 2;
        let text = &page.text[start..start + page.text[start..].find(&format!("</{tag}>")).unwrap()];
        STANDARD.encode(sha2::Sha256::digest(text))
    };
    let policy = format!(
        "content=\"default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'\"",
        hash("script"),
        hash("style")
    );
    let unescaped = page.text.replace("&#x27;", "'").replace("&#x2f;", "/");
    assert!(unescaped.contains(&policy), "{policy}");
    let addresses: Vec<&str> = page.text.match_indices("http").map(|(at, _)| &page.text[at..at + 26]).collect();
    assert!(
        addresses
            .iter()
            .all(|address| address.starts_with("http-equiv") || address.starts_with("http://www.w3.org/2000/svg")),
        "{addresses:?}"
    );
}
