//! Small switches and everything that can be soldered to them: every partition of their lugs and the leads into nets, each with
//! its table read off its circuit. None of it is shared with the search.

use std::collections::{BTreeMap, BTreeSet};

use dryfit_dsp::circuit::{combinations, joined};
use dryfit_dsp::document::{Assembly, DocumentKind, Guitar, KnobAction, Library, Mix, Sound, Sounds};
use dryfit_dsp::find::{Effect, read_row};

/// A switch as its document describes it.
#[derive(Debug, Clone)]
pub struct Small {
    /// Lugs by pole, the common one first.
    pub poles: Vec<Vec<String>>,
    /// By position the groups of lugs that are joined.
    pub positions: Vec<Vec<Vec<String>>>,
}

/// `small("a a1 a2, b b1", &["a-a1 b-b1", "a-a2"])`: poles, and for each position what is joined.
pub fn small(poles: &str, positions: &[&str]) -> Small {
    let words = |text: &str, apart: char| text.split(apart).map(|word| word.trim().to_string()).collect::<Vec<_>>();
    let groups = |text: &&str| text.split_whitespace().map(|group| words(group, '-')).collect();
    Small {
        poles: poles.split(',').map(|pole| pole.split_whitespace().map(str::to_string).collect()).collect(),
        positions: positions.iter().map(groups).collect(),
    }
}

impl Small {
    pub fn lugs(&self) -> impl Iterator<Item = &String> {
        self.poles.iter().flatten()
    }

    fn document(&self, kind: &str) -> String {
        let list = |lugs: &[String]| lugs.iter().map(|lug| format!("\"{lug}\"")).collect::<Vec<_>>().join(", ");
        let poles = ('a'..).zip(&self.poles).map(|(name, lugs)| format!("{name} = [{}]", list(lugs)));
        let poles = poles.collect::<Vec<_>>().join(", ");
        let mut text = format!("format = 1\ntitle = \"small\"\nkind = \"{kind}\"\npoles = {{ {poles} }}\n");
        for (number, joined) in self.positions.iter().enumerate() {
            let groups = joined.iter().map(|lugs| format!("[{}]", list(lugs))).collect::<Vec<_>>().join(", ");
            let name = if kind == "toggle" { format!("name = \"{}\"\n", STANDS[number]) } else { String::new() };
            text.push_str(&format!("[[positions]]\n{name}joined = [{groups}]\n"));
        }
        text
    }

    /// The groups of a pole by position, as places on the pole; none where a group leads to another pole.
    fn shape(&self, pole: usize) -> Option<Vec<BTreeSet<BTreeSet<usize>>>> {
        let lugs = &self.poles[pole];
        let place = |lug: &String| lugs.iter().position(|known| known == lug);
        let mut shape = Vec::new();
        for joined in &self.positions {
            let touching = joined.iter().filter(|group| group.iter().any(|lug| place(lug).is_some()));
            shape.push(touching.map(|group| group.iter().map(place).collect()).collect::<Option<BTreeSet<_>>>()?);
        }
        Some(shape)
    }

    /// Whether each throw of a pole is joined to the common lug in one position at most, and to nothing else.
    fn is_separate(&self, pole: usize) -> bool {
        let Some(shape) = self.shape(pole) else { return false };
        let groups: Vec<&BTreeSet<usize>> = shape.iter().flatten().collect();
        let once = |place: usize| groups.iter().filter(|group| group.contains(&place)).count() <= 1;
        groups.iter().all(|group| group.len() == 2 && group.contains(&0)) && (1..self.poles[pole].len()).all(once)
    }
}

/// What the toggle's positions are called; no preset switch calls them so.
const STANDS: [&str; 3] = ["left", "right", "between"];

/// Switches, and what is wished for beside sounds.
#[derive(Debug, Clone)]
pub struct Job {
    pub selector: Small,
    pub toggle: Option<Small>,
    /// What the knob beside the volume does where it acts; none without such a knob.
    pub knob: Option<KnobAction>,
}

/// What is wished for in one combination of selector and toggle: the sound in the words of a sounds table, and whether the knob acts.
pub type Cell = (String, bool);

/// Pickups of the guitar, in its order.
const PICKUPS: [&str; 2] = ["bridge", "neck"];

pub fn blend_neck() -> KnobAction {
    KnobAction::Blend { pickup: "neck".into() }
}

impl Job {
    pub fn new(selector: Small) -> Self {
        Self { selector, toggle: None, knob: None }
    }

    /// Presets and the job's switches: the selector is called `small`, the toggle `flip`.
    pub fn library(&self) -> Library {
        let mut library = Library::presets();
        library.insert(DocumentKind::Switch, "small", "small", &self.selector.document("selector"));
        if let Some(toggle) = &self.toggle {
            library.insert(DocumentKind::Switch, "flip", "flip", &toggle.document("toggle"));
        }
        library
    }

    /// Two single coils of which either may be reversed.
    pub fn guitar(&self) -> Guitar {
        let mut guitar = Library::presets().guitar("two-single-coils").unwrap();
        assert_eq!(guitar.pickups.iter().map(|pickup| pickup.name.as_str()).collect::<Vec<_>>(), PICKUPS);
        guitar.pickups.iter_mut().for_each(|pickup| pickup.grounded_cover = false);
        guitar
    }

    /// Combinations of selector and toggle; the selector varies slowest.
    pub fn combinations(&self) -> usize {
        self.selector.positions.len() * self.toggle_positions()
    }

    fn toggle_positions(&self) -> usize {
        self.toggle.as_ref().map_or(1, |toggle| toggle.positions.len())
    }

    /// The table of these cells as a document, if it is none that contradicts itself.
    pub fn wish(&self, cells: &[Cell]) -> Option<Sounds> {
        let settings = self.toggle_positions();
        let rows = |setting: usize| (1..).zip(cells.iter().skip(setting).step_by(settings));
        let knob = |setting: usize| {
            let places: String = rows(setting).filter(|(_, cell)| cell.1).map(|(n, _)| format!(" {n}")).collect();
            match &self.knob {
                None => String::new(),
                Some(_) if places.is_empty() => "knob = \"nothing\"\n".into(),
                Some(KnobAction::Blend { pickup }) => format!("knob = \"blend {pickup} in{places}\"\n"),
                Some(_) => format!("knob = \"tone in{places}\"\n"),
            }
        };
        let sounds =
            |setting: usize| rows(setting).map(|(n, cell)| format!("{n} = \"{}\"\n", cell.0)).collect::<String>();
        let mut text = format!("format = 1\ntitle = \"t\"\n[positions]\n{}", sounds(0));
        text.push_str(&format!("[knobs]\nvolume = \"volume\"\n{}", knob(0)));
        for (setting, name) in (1..settings).zip(&STANDS[1..]) {
            let (sounds, knob) = (sounds(setting), knob(setting));
            text.push_str(&format!("[switches.flip.{name}]\n{sounds}[switches.flip.{name}.knobs]\n{knob}"));
        }
        Sounds::read("table.toml", &text).ok()
    }

    /// Leads, then lugs; of the leads the hot joint, ground, the pickups' hot leads, those ground leads that are `lifted`, and the
    /// knob's end. Each with what is soldered there.
    fn elements(&self, lifted: [bool; 2]) -> Vec<Vec<String>> {
        let lugs = |lugs: &[&str]| lugs.iter().map(ToString::to_string).collect::<Vec<_>>();
        let mut elements = vec![lugs(&["volume.3"]), lugs(&["volume.1", "jack.sleeve"])];
        for pickup in PICKUPS {
            elements.push(vec![format!("{pickup}.hot")]);
        }
        match &self.knob {
            Some(KnobAction::Blend { .. }) => elements[3].push("knob.1".into()),
            Some(_) => elements[1].push("cap.2".into()),
            None => {}
        }
        for (pickup, lifted) in PICKUPS.iter().zip(lifted) {
            let ground = format!("{pickup}.ground");
            if lifted { elements.push(vec![ground]) } else { elements[1].push(ground) }
        }
        elements.extend(self.knob.is_some().then(|| lugs(&["knob.2"])));
        elements.extend(self.selector.lugs().map(|lug| vec![format!("selector.{lug}")]));
        elements.extend(self.toggle.iter().flat_map(Small::lugs).map(|lug| vec![format!("flip.{lug}")]));
        elements
    }

    /// Any wiring of these parts, only to have them assembled.
    fn assembly(&self, elements: &[Vec<String>]) -> Assembly {
        let mut text = String::from(
            "format = 1\ntitle = \"t\"\n[selector]\nswitch = \"small\"\n[pots.volume]\nvalue = \"250k\"\ntaper = \"audio\"\n\
             control = \"volume\"\n",
        );
        if self.toggle.is_some() {
            text.push_str("[switches.flip]\nswitch = \"flip\"\ncontrol = \"flip\"\n");
        }
        if let Some(action) = &self.knob {
            let no_load = if matches!(action, KnobAction::Blend { .. }) { "no-load = true\n" } else { "" };
            text.push_str(&format!("[pots.knob]\nvalue = \"250k\"\ntaper = \"audio\"\n{no_load}control = \"knob\"\n"));
            if no_load.is_empty() {
                text.push_str("[capacitors.cap]\nvalue = \"47n\"\n");
            }
        }
        let lugs = |elements: &mut dyn Iterator<Item = &Vec<String>>| {
            elements.flatten().map(|lug| format!("\"{lug}\"")).collect::<Vec<_>>().join(", ")
        };
        let hot = lugs(&mut elements.iter().enumerate().filter(|(place, _)| *place != 1).map(|(_, lugs)| lugs));
        let ground = lugs(&mut elements[1..2].iter());
        let cap = if self.knob == Some(KnobAction::Tone) { "tone = [\"knob.1\", \"cap.1\"]\n" } else { "" };
        text.push_str(&format!(
            "[wires]\nhot = [{hot}]\nground = [{ground}]\njack = [\"volume.2\", \"jack.tip\"]\n{cap}"
        ));
        let mut library = self.library();
        library.insert(DocumentKind::Wiring, "all", "all", &text);
        let wiring = library.wiring("all").unwrap_or_else(|problems| panic!("{problems}\n{text}"));
        Assembly::new(&wiring, &self.guitar(), &library).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
    }
}

/// Every wiring of a job in which the pickups' ground leads are on ground, but for those that are lifted.
pub struct Wirings {
    job: Job,
    first_lug: usize,
    /// By table the fewest wires, and every wiring with so few: by element the number of its net.
    fewest: BTreeMap<Vec<Cell>, (usize, Vec<Vec<usize>>)>,
}

impl Wirings {
    pub fn new(job: &Job, lifted: [bool; 2]) -> Self {
        let elements = job.elements(lifted);
        let mut assembly = job.assembly(&elements);
        let own = assembly.joints.len();
        assembly.joints.extend(elements.iter().map(|lugs| lugs[0].clone()));
        let element = |lug: &str| elements.iter().position(|lugs| lugs.iter().any(|known| known == lug));
        let mut places = Vec::new();
        for (part, assembled) in assembly.parts.iter().enumerate() {
            for (lug, name) in assembled.lugs.iter().enumerate() {
                places.extend(element(&format!("{}.{name}", assembled.name)).map(|element| (part, lug, element)));
            }
        }
        let first_lug = elements.len() - job.selector.lugs().count() - job.toggle.iter().flat_map(Small::lugs).count();
        let mut this = Self { job: job.clone(), first_lug, fewest: BTreeMap::new() };
        each_partition(elements.len(), &mut |nets| {
            for &(part, lug, element) in &places {
                let net = nets[element];
                assembly.parts[part].joints[lug] = if net == nets[1] { Assembly::GROUND } else { own + net };
            }
            if let Some(table) = read(&assembly, job) {
                this.add(table, nets);
            }
        });
        this
    }

    fn add(&mut self, table: Vec<Cell>, nets: &[usize]) {
        let wires = nets.len() - 1 - nets.iter().max().unwrap();
        let (fewest, known) = self.fewest.entry(table).or_insert((wires, Vec::new()));
        if wires < *fewest {
            (*fewest, *known) = (wires, Vec::new());
        }
        if wires == *fewest {
            known.push(nets.to_vec());
        }
    }

    /// Every table that there is a wiring for; series sounds as `top over bottom`.
    pub fn tables(&self) -> impl Iterator<Item = &Vec<Cell>> {
        self.fewest.keys()
    }

    /// The fewest wires for a table, and how many wirings have so few: those that swap alike poles, or contacts that alike poles
    /// close together between the same two nets, count once; those that join throws of one switch to nothing else do not count,
    /// because a wire from the one to the other's common lug does the same.
    fn fewest(&self, table: &[Cell]) -> Option<(usize, usize)> {
        let (wires, all) = self.fewest.get(table)?;
        let useful = all.iter().filter(|nets| !self.joins_throws_alone(nets)).cloned();
        let mut rest: BTreeSet<Vec<usize>> = useful.collect();
        let mut count = 0;
        while let Some(first) = rest.pop_first() {
            count += 1;
            let mut new = vec![first];
            while let Some(nets) = new.pop() {
                new.extend(self.alike(&nets).into_iter().filter(|other| rest.remove(other)));
            }
        }
        Some((*wires, count))
    }

    fn joins_throws_alone(&self, nets: &[usize]) -> bool {
        let poles: Vec<Pole> = self.poles().collect();
        let switch = |lug: usize| {
            let pole = poles.iter().find(|pole| pole.is_separate && pole.lugs[1..].contains(&lug));
            pole.map(|pole| pole.switch)
        };
        // By net: how many are on it, and the switch whose throws all of them are.
        let mut by_net: BTreeMap<usize, (usize, Option<usize>)> = BTreeMap::new();
        for (element, &net) in nets.iter().enumerate() {
            let (size, all) = by_net.entry(net).or_insert((0, switch(element)));
            (*size, *all) = (*size + 1, all.filter(|all| switch(element) == Some(*all)));
        }
        by_net.values().any(|(size, all)| *size > 1 && all.is_some())
    }

    fn poles(&self) -> impl Iterator<Item = Pole> {
        let mut next = self.first_lug;
        let switches = std::iter::once(&self.job.selector).chain(&self.job.toggle).enumerate();
        let poles =
            switches.flat_map(|(number, switch)| (0..switch.poles.len()).map(move |pole| (number, switch, pole)));
        poles.map(move |(number, switch, pole)| {
            let lugs = (next..next + switch.poles[pole].len()).collect();
            next += switch.poles[pole].len();
            Pole { switch: number, lugs, shape: switch.shape(pole), is_separate: switch.is_separate(pole) }
        })
    }

    /// Wirings that are the same but for one swap.
    fn alike(&self, nets: &[usize]) -> Vec<Vec<usize>> {
        let poles: Vec<Pole> = self.poles().collect();
        let mut alike = Vec::new();
        let mut swap = |pairs: &mut dyn Iterator<Item = (&usize, &usize)>| {
            let mut swapped = nets.to_vec();
            pairs.for_each(|(&one, &other)| swapped.swap(one, other));
            alike.push(renumbered(&swapped));
        };
        for (i, pole) in poles.iter().enumerate() {
            for other in poles[..i].iter().filter(|other| pole.is_alike(other)) {
                let pairs = || pole.lugs.iter().zip(&other.lugs);
                swap(&mut pairs());
                if pole.is_separate && nets[pole.lugs[0]] == nets[other.lugs[0]] {
                    pairs().skip(1).for_each(|pair| swap(&mut std::iter::once(pair)));
                }
            }
        }
        alike
    }
}

/// One pole of a job's switches.
struct Pole {
    /// 0 for the selector.
    switch: usize,
    lugs: Vec<usize>,
    shape: Option<Vec<BTreeSet<BTreeSet<usize>>>>,
    is_separate: bool,
}

impl Pole {
    fn is_alike(&self, other: &Self) -> bool {
        self.switch == other.switch && self.shape.is_some() && self.shape == other.shape
    }
}

/// Nets numbered in the order in which they come up.
fn renumbered(nets: &[usize]) -> Vec<usize> {
    let mut numbers: Vec<usize> = Vec::new();
    let mut number = |net: usize| {
        numbers.iter().position(|known| *known == net).unwrap_or_else(|| {
            numbers.push(net);
            numbers.len() - 1
        })
    };
    nets.iter().map(|&net| number(net)).collect()
}

/// Calls with every partition of so many elements, numbered in the order in which nets come up; the first two are never one.
fn each_partition(count: usize, found: &mut dyn FnMut(&[usize])) {
    fn extend(nets: &mut Vec<usize>, used: usize, count: usize, found: &mut dyn FnMut(&[usize])) {
        if nets.len() == count {
            return found(nets);
        }
        for net in 0..=used {
            if nets.len() == 1 && net == 0 {
                continue;
            }
            nets.push(net);
            extend(nets, used.max(net + 1), count, found);
            nets.pop();
        }
    }
    extend(&mut Vec::new(), 0, count, found);
}

/// The table of a wiring; none where it shorts the jack or a pickup in some position, or does what the job has no words for.
fn read(assembly: &Assembly, job: &Job) -> Option<Vec<Cell>> {
    let hot = assembly.part("volume").unwrap().joints[2];
    for controls in combinations(&assembly.controls) {
        let sets = joined(assembly, &controls);
        let is_one = |a: usize, b: usize| sets[a] == sets[b];
        let pickups = PICKUPS.iter().map(|name| &assembly.part(name).unwrap().joints);
        if is_one(hot, Assembly::GROUND) || pickups.into_iter().any(|joints| is_one(joints[0], joints[1])) {
            return None;
        }
    }
    let wanted = match &job.knob {
        Some(KnobAction::Blend { .. }) => Some(Effect::Blend(1)),
        Some(_) => Some(Effect::Tone),
        None => None,
    };
    let row = |controls| {
        let row = read_row(assembly, &controls);
        let does = job.knob.as_ref().and_then(|_| assembly.controls.knob("knob")).map(|knob| &row.knobs[knob]);
        let acts = does.is_some() && does == wanted.as_ref();
        if !acts && does.is_some_and(|does| *does != Effect::Nothing) {
            return None;
        }
        let sound = Sound::parse(&row.words).ok()?;
        let words = ordered(&chains(&sound), assembly, hot, &joined(assembly, &controls));
        Some((words, acts))
    };
    combinations(&assembly.controls).map(row).collect()
}

/// A pickup as it sounds.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Voice {
    pickup: String,
    reversed: bool,
}

impl std::fmt::Display for Voice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{}", if self.reversed { "reversed " } else { "" }, self.pickup)
    }
}

/// Pickups in series, one chain per branch of what is in parallel: no jobs here have more.
fn chains(sound: &Sound) -> Vec<Vec<Voice>> {
    let chain = |mix: &Mix<String>| {
        let voices = mix.voices().into_iter();
        voices.map(|(pickup, reversed)| Voice { pickup: pickup.clone(), reversed }).collect()
    };
    match &sound.mix {
        None => Vec::new(),
        Some(Mix::Parallel(branches)) => branches.iter().map(chain).collect(),
        Some(other) => vec![chain(other)],
    }
}

/// A sound in words; in series as `top over bottom`, the top being what has a lead on the hot joint.
fn ordered(chains: &[Vec<Voice>], assembly: &Assembly, hot: usize, sets: &[usize]) -> String {
    let [chain] = chains else { return in_order(chains) };
    let [one, other] = &chain[..] else { return in_order(chains) };
    let on_hot =
        |voice: &Voice| assembly.part(&voice.pickup).unwrap().joints.iter().any(|&joint| sets[joint] == sets[hot]);
    if on_hot(one) { format!("{one} over {other}") } else { format!("{other} over {one}") }
}

/// Pickups in parallel, in the order of their names.
fn in_order(chains: &[Vec<Voice>]) -> String {
    let words = |chain: &Vec<Voice>| chain.iter().map(ToString::to_string).collect::<Vec<_>>().join(" over ");
    let mut words: Vec<String> = chains.iter().map(words).collect();
    words.sort_by_key(|words| words.trim_start_matches("reversed ").to_string());
    if words.is_empty() { "silent".into() } else { words.join(" + ") }
}

/// Everything that can be soldered for a job, whichever ground leads are lifted.
pub struct Truth<'a> {
    job: &'a Job,
    by_lifted: BTreeMap<[bool; 2], Wirings>,
}

impl<'a> Truth<'a> {
    pub fn new(job: &'a Job) -> Self {
        Self { job, by_lifted: BTreeMap::new() }
    }

    /// Wirings with these ground leads lifted.
    pub fn wirings(&mut self, lifted: [bool; 2]) -> &Wirings {
        self.by_lifted.entry(lifted).or_insert_with(|| Wirings::new(self.job, lifted))
    }

    /// The fewest wires for a wish and the number of wirings with so few, as far as a search goes that lifts a ground lead only of
    /// a pickup that is reversed somewhere or stands above another, and that strings a chain in one order wherever it sounds.
    pub fn fewest(&mut self, wish: &[Cell]) -> Option<(usize, usize)> {
        let sounds: Vec<Vec<Vec<Voice>>> =
            wish.iter().map(|(words, _)| chains(&Sound::parse(words).unwrap())).collect();
        let mut pairs: Vec<Vec<Voice>> = Vec::new();
        for chain in sounds.iter().flatten().filter(|chain| chain.len() == 2) {
            let mut chain = chain.clone();
            chain.sort();
            if !pairs.contains(&chain) {
                pairs.push(chain);
            }
        }
        let mut best: Option<(usize, usize)> = None;
        for turned in 0..1usize << pairs.len() {
            let strung = |chain: &Vec<Voice>| {
                let mut chain = chain.clone();
                chain.sort();
                let known = pairs.iter().position(|known| *known == chain);
                if known.is_some_and(|known| turned >> known & 1 == 1) {
                    chain.reverse();
                }
                chain
            };
            let sounds: Vec<Vec<Vec<Voice>>> = sounds.iter().map(|sound| sound.iter().map(strung).collect()).collect();
            let lifts = |pickup: &&str| {
                let chains = || sounds.iter().flatten();
                let is = |voice: &Voice| voice.pickup == **pickup;
                chains().flatten().any(|voice| is(voice) && voice.reversed)
                    || chains().any(|chain| chain.len() == 2 && is(&chain[0]))
            };
            let lifted = [lifts(&PICKUPS[0]), lifts(&PICKUPS[1])];
            let table: Vec<Cell> = sounds.iter().zip(wish).map(|(sound, (_, acts))| (in_order(sound), *acts)).collect();
            let found = self.wirings(lifted).fewest(&table);
            best = match (best, found) {
                (Some((wires, count)), Some((same, more))) if wires == same => Some((wires, count + more)),
                (Some(known), Some(found)) => Some(known.min(found)),
                (known, found) => known.or(found),
            };
        }
        best
    }
}
