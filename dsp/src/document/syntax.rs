//! What is wrong with a text that is not TOML, in a technician's words.

use super::problem::shortened;

/// What the parser stumbled over and what would mend it; `line` is the text of the line, `key` what it points at.
pub(super) fn explain(message: &str, line: &str, key: &str) -> (String, &'static str) {
    let (what, mend) = match message {
        _ if message.starts_with("duplicate key") => {
            return (format!("`{}` is written twice", shortened(key)), "keep one of the two");
        }
        _ if message.contains("recurs") => ("lists or tables lie too deep in each other", "write them flat"),
        _ if message.contains("must be quoted") => ("a text stands without quotes", "put it in quotes"),
        _ if message.contains("basic string") || message.contains("literal string") => {
            ("a text in quotes is cut off or holds a stray quote", "begin and end it with a quote on the same line")
        }
        _ if message.starts_with("unclosed array table") => ("a heading does not end", "close it with ]]"),
        _ if message.starts_with("unclosed table") => ("a heading does not end", "close it with ]"),
        _ if message.starts_with("unclosed array") => ("a list does not end", "close it with ]"),
        _ if message.starts_with("unclosed inline table") => ("a table in braces does not end", "close it with }"),
        _ if message.contains("comma") => ("commas and entries do not alternate", "put one comma between two entries"),
        _ if message.contains("unquoted key") => {
            ("a key holds a character that it must not", "use letters, digits, - and _, or put the key in quotes")
        }
        _ if message.contains("no value") || message.contains("missing value") => {
            ("there is a key without a value", "write it as key = value")
        }
        _ if message.contains("unexpected") => {
            ("there is something behind the value", "put texts and values with units in quotes, one entry a line")
        }
        _ => return (format!("{message}: {}", shortened(line.trim())), "write it as TOML, texts and values in quotes"),
    };
    (format!("{what}: {}", shortened(line.trim())), mend)
}
