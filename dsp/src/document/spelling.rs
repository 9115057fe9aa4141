//! Texts and keys as TOML spells them.

/// A text in quotes.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_string()).to_string()
}

/// A key, in quotes only where it needs them.
pub(crate) fn key(name: &str) -> String {
    let bare = !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'));
    if bare { name.to_string() } else { quoted(name) }
}
