//! The name that was probably meant.

use super::limits;

/// `; did you mean ..?` for the known name that is nearest to `name`, or nothing when none is near.
///
/// Near is a name with few letters wrong, and a name of which `name` is the beginning, even with a letter wrong.
pub fn suggestion<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(name, known).map(|near| format!("; did you mean `{near}`?")).unwrap_or_default()
}

/// Share of the letters that must be right in a name that is written out.
const LIKE: f64 = 0.5;
/// Share of the letters that must be right in the beginning of a name. More, because any name begins like some other.
const LIKE_BEGINNING: f64 = 0.75;
/// Shorter beginnings say nothing.
const SHORTEST_BEGINNING: usize = 3;

/// The known name that is nearest to `name`, if one is near.
pub(crate) fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if name.len() > limits::NAME {
        return None;
    }
    let likeness = |candidate: &str| {
        let whole = strsim::normalized_damerau_levenshtein(name, candidate);
        let beginning = likeness_to_beginning(name, candidate);
        let near = whole >= LIKE || beginning >= LIKE_BEGINNING;
        // Of two names that begin alike, the one that is not much longer.
        near.then_some((whole.max(beginning), whole))
    };
    known
        .into_iter()
        .filter(|candidate| candidate.len() <= limits::NAME)
        .filter_map(|candidate| likeness(candidate).map(|likeness| (likeness, candidate)))
        .max_by(|(a, _), (b, _)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
        .map(|(_, candidate)| candidate)
}

/// Share of the letters of `name` that are right in the beginning of `candidate` that is as long.
fn likeness_to_beginning(name: &str, candidate: &str) -> f64 {
    let letters = name.chars().count();
    if letters < SHORTEST_BEGINNING {
        return 0.0;
    }
    let beginning: String = candidate.chars().take(letters).collect();
    strsim::normalized_damerau_levenshtein(name, &beginning)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 5] =
        ["five-way-bridge-only-neck-blend", "five-way-bridge-tone", "five-way-two-tones", "tone", "tone-cap"];

    #[test]
    fn a_name_with_a_letter_wrong_finds_the_right_one() {
        assert_eq!(nearest("five-way-two-tnoes", NAMES), Some("five-way-two-tones"));
        assert_eq!(nearest("tome", NAMES), Some("tone"));
    }

    #[test]
    fn the_beginning_of_a_name_finds_it_even_with_a_letter_wrong() {
        assert_eq!(nearest("five-way-brige-only", NAMES), Some("five-way-bridge-only-neck-blend"));
        assert_eq!(nearest("five-way-bridge-o", NAMES), Some("five-way-bridge-only-neck-blend"));
        assert_eq!(nearest("tone-c", NAMES), Some("tone-cap"));
    }

    #[test]
    fn of_names_that_begin_alike_the_shortest_is_nearest() {
        assert_eq!(nearest("ton", NAMES), Some("tone"));
    }

    #[test]
    fn a_name_like_no_other_finds_none() {
        assert_eq!(nearest("hum", NAMES), None);
        assert_eq!(nearest("", NAMES), None);
        assert_eq!(suggestion("x", []), "");
    }
}
