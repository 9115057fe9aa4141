//! What a search came to, in words.

use super::finder::Found;
use super::proof::Impossible;

impl Found {
    /// How many such wirings there are, and whether fewer wires are ruled out: `one of 2 wirings with so few`.
    pub fn how_many(&self) -> String {
        match (self.solutions, self.all_counted) {
            _ if self.at_least < self.wires => "perhaps fewer would do".into(),
            (1, true) => "the only wiring with so few".into(),
            (count, true) => format!("one of {count} wirings with so few"),
            (count, false) => format!("one of {count} wirings or more with so few"),
        }
    }
}

impl Impossible {
    /// Which contact of the selector is closed in which positions: `a-a1 in 1 2; a-a2 in 2 3`.
    pub fn closed_contacts(&self) -> String {
        let contact = |(contact, positions): &(String, Vec<u8>)| {
            let positions: Vec<String> = positions.iter().map(u8::to_string).collect();
            format!("{contact} in {}", positions.join(" "))
        };
        self.contacts.iter().map(contact).collect::<Vec<_>>().join("; ")
    }
}
