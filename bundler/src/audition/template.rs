//! The page's own files, put together.

use std::io;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use minijinja::{Environment, Value, context};
use sha2::{Digest, Sha256};

use super::page::Page;

const PAGE: &str = include_str!("page/page.html");
const STYLE: &str = concat!(include_str!("page/palette.css"), include_str!("page/style.css"));
/// One script, so that one hash names it. Its files share one scope.
const SCRIPT: &str = concat!(
    "\"use strict\";\n(() => {\n",
    include_str!("page/dom.js"),
    include_str!("page/voice.js"),
    include_str!("page/player.js"),
    include_str!("page/knobs.js"),
    include_str!("page/curve.js"),
    include_str!("page/listen.js"),
    include_str!("page/transport.js"),
    include_str!("page/binomial.js"),
    include_str!("page/answers.js"),
    include_str!("page/blind.js"),
    include_str!("page/keys.js"),
    include_str!("page/main.js"),
    "})();\n"
);
/// Where the sound goes. No text of an order can hold it, since `<` is escaped.
const SOUND: &str = "<!--sound-->";

pub(super) struct Template;

impl Template {
    /// What comes before and after the sound.
    pub(super) fn render(page: &Page) -> io::Result<(String, String)> {
        let mut environment = Environment::new();
        // A name that ends in .html has everything escaped.
        environment.add_template("page.html", PAGE).map_err(io::Error::other)?;
        // Inside a script element `<` could end it; in JSON it can always be written so.
        let data = serde_json::to_string(page)?.replace('<', "\\u003c");
        let values = context! {
            title => page.title.as_str(),
            id => page.id.as_str(),
            client => page.client.as_deref(),
            policy => policy(),
            data => Value::from_safe_string(data),
            style => Value::from_safe_string(STYLE.into()),
            script => Value::from_safe_string(SCRIPT.into()),
        };
        let template = environment.get_template("page.html").map_err(io::Error::other)?;
        let text = template.render(values).map_err(io::Error::other)?;
        let (head, foot) =
            text.split_once(SOUND).ok_or_else(|| io::Error::other("the template has no place for sound"))?;
        Ok((head.into(), foot.into()))
    }
}

/// Nothing is fetched, sent, framed or run but the page's own script and style. Source: W3C, Content Security Policy Level 3.
fn policy() -> String {
    let hash = |text: &str| STANDARD.encode(Sha256::digest(text));
    format!(
        "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        hash(SCRIPT),
        hash(STYLE)
    )
}
