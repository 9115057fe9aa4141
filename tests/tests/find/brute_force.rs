//! On switches with three or four lugs every wiring there is can be tried: each is written down, its table read off its circuit, and
//! the search has to agree on every table, whether it can be had and with how few wires.

use std::collections::BTreeMap;

use dryfit_dsp::circuit::check;
use dryfit_dsp::document::{Assembly, DocumentKind, Library, ProblemKind, Sounds};
use dryfit_dsp::find::{Effort, Outcome, find, read_off};

/// A selector with one pole, by its lugs and what each position joins.
struct Small {
    lugs: &'static [&'static str],
    joined: &'static [&'static [&'static str]],
}

const CHANGEOVER: Small = Small { lugs: &["a", "a1", "a2"], joined: &[&["a", "a1"], &["a", "a2"]] };
const BOTH_BETWEEN: Small =
    Small { lugs: &["a", "a1", "a2"], joined: &[&["a", "a1"], &["a", "a1", "a2"], &["a", "a2"]] };
const THREE_THROWS: Small =
    Small { lugs: &["a", "a1", "a2", "a3"], joined: &[&["a", "a1"], &["a", "a2"], &["a", "a3"]] };

const LEADS: [&str; 4] = ["volume.3", "jack.sleeve", "bridge.hot", "neck.hot"];
const SOUNDS: [&str; 4] = ["silent", "bridge", "neck", "bridge + neck"];

fn library(small: &Small) -> Library {
    let mut library = Library::presets();
    let list = |lugs: &[&str]| lugs.iter().map(|lug| format!("\"{lug}\"")).collect::<Vec<_>>().join(", ");
    let positions: String =
        small.joined.iter().map(|lugs| format!("[[positions]]\njoined = [[{}]]\n", list(lugs))).collect();
    let head =
        format!("format = 1\ntitle = \"small\"\nkind = \"selector\"\npoles = {{ a = [{}] }}\n", list(small.lugs));
    library.insert(DocumentKind::Switch, "small", "small", &(head + &positions));
    library
}

/// Every partition of so many elements: by element the number of its net.
fn partitions(count: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..count {
        let longer = |nets: &Vec<usize>| {
            let next = nets.iter().max().map_or(0, |last| last + 1);
            (0..=next).map(|net| [&nets[..], &[net]].concat()).collect::<Vec<_>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}

/// The table of a wiring, as words by position; none for one that shorts something or is no document.
fn table_of(library: &mut Library, small: &Small, nets: &[usize]) -> Option<Vec<String>> {
    let elements: Vec<String> =
        LEADS.iter().map(ToString::to_string).chain(small.lugs.iter().map(|lug| format!("selector.{lug}"))).collect();
    let ground = nets[1];
    let mut wires = String::new();
    for net in 0..=*nets.iter().max()? {
        let mut lugs: Vec<String> =
            elements.iter().zip(nets).filter(|(_, at)| **at == net).map(|(name, _)| format!("\"{name}\"")).collect();
        if net == ground {
            lugs.push("\"volume.1\"".into());
            // A pickup with nothing on its hot lead stays out altogether: half of one is an error of the document.
            let used = |lead: usize| nets.iter().filter(|net| **net == nets[lead]).count() > 1;
            lugs.extend(used(2).then(|| "\"bridge.ground\"".into()));
            lugs.extend(used(3).then(|| "\"neck.ground\"".into()));
        }
        if lugs.len() > 1 {
            wires.push_str(&format!("net{net} = [{}]\n", lugs.join(", ")));
        }
    }
    let text = format!(
        "format = 1\ntitle = \"t\"\n[selector]\nswitch = \"small\"\n[pots.volume]\nvalue = \"250k\"\ntaper = \"audio\"\ncontrol = \
         \"volume\"\n[wires]\n{wires}jack = [\"volume.2\", \"jack.tip\"]\n"
    );
    library.insert(DocumentKind::Wiring, "tried", "tried", &text);
    let guitar = library.guitar("two-single-coils").unwrap();
    let assembly = Assembly::new(&library.wiring("tried").ok()?, &guitar, library).ok()?;
    // Every sound comes from what is open: a pickup that is shorted to be silent is not searched for either.
    if check(&assembly).0.iter().any(|problem| problem.kind == ProblemKind::ShortedPickup) {
        return None;
    }
    let words = read_off(&assembly).rows.into_iter().map(|row| row.words);
    Some(words.map(|words| if words == "neck + bridge" { "bridge + neck".into() } else { words }).collect())
}

fn agrees(small: &Small) {
    let mut library = library(small);
    let count = LEADS.len() + small.lugs.len();
    let mut fewest: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    for nets in partitions(count) {
        let wires = count - 1 - nets.iter().max().unwrap();
        if let Some(table) = table_of(&mut library, small, &nets) {
            let known = fewest.entry(table).or_insert(wires);
            *known = (*known).min(wires);
        }
    }
    let positions = small.joined.len();
    let guitar = library.guitar("two-single-coils").unwrap();
    let mut possible = 0;
    for number in 0..SOUNDS.len().pow(positions as u32) {
        let sound = |place: u32| SOUNDS[number / SOUNDS.len().pow(place) % SOUNDS.len()].to_string();
        let table: Vec<String> = (0..positions as u32).map(sound).collect();
        if table.iter().all(|sound| sound == "silent") {
            continue;
        }
        let lines: String = (1..).zip(&table).map(|(n, sound)| format!("{n} = \"{sound}\"\n")).collect();
        let text = format!("format = 1\ntitle = \"t\"\n[positions]\n{lines}[knobs]\nvolume = \"volume\"\n");
        let wish = Sounds::read("table.toml", &text).unwrap();
        let outcome = find(&library, &wish, &guitar, Some("small"), Effort::default(), &mut |_, _| {}).unwrap();
        match (fewest.get(&table), outcome) {
            (Some(&wires), Outcome::Found(found)) => {
                assert_eq!((found.wires, found.at_least), (wires, wires), "{table:?}\n{}", found.wiring);
                possible += 1;
            }
            (None, Outcome::Impossible(_)) => {}
            (tried, outcome) => panic!("{table:?}: by brute force {tried:?}, by the search {outcome:?}"),
        }
    }
    assert!(possible > 3, "only {possible} tables were possible");
}

#[test]
fn a_changeover_gives_by_search_what_it_gives_by_brute_force() {
    agrees(&CHANGEOVER);
}

#[test]
fn a_pole_that_joins_both_throws_between_gives_by_search_what_it_gives_by_brute_force() {
    agrees(&BOTH_BETWEEN);
}

#[test]
fn three_throws_give_by_search_what_they_give_by_brute_force() {
    agrees(&THREE_THROWS);
}
