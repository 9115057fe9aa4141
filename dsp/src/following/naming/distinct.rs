//! Several pitches at once sound on as many strings.

/// Strings for which subsets are counted; guitars with more have their pitches named one by one.
pub const MOST_STRINGS: usize = 8;
/// Pitches that are named together.
pub(in crate::following) const MOST_PITCHES: usize = 6;
const SUBSETS: usize = 1 << MOST_STRINGS;

/// How likely a pitch is on each string; and on none, when what is heard there belongs to the other pitches. Of sum 1.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places {
    pub(super) on: [f32; MOST_STRINGS],
    pub(super) nowhere: f32,
}

impl Places {
    pub(super) const UNKNOWN: Self = Self { on: [0.0; MOST_STRINGS], nowhere: 0.0 };

    /// Brought to a sum of 1.
    pub(super) fn new(on: [f32; MOST_STRINGS], nowhere: f32) -> Self {
        let sum = (on.iter().sum::<f32>() + nowhere).max(f32::MIN_POSITIVE);
        Self { on: on.map(|value| value / sum), nowhere: nowhere / sum }
    }
}

/// Replaces what is likely of each pitch alone by the posterior under which no two pitches are on one string: a sum over all
/// assignments, by dynamic programming over the subsets of strings that are taken. At most [`MOST_PITCHES`] pitches.
/// Left as they are when no assignment is possible.
pub(super) fn make_distinct(pitches: &mut [Places], strings: usize) {
    let (count, subsets) = (pitches.len(), 1usize << strings.min(MOST_STRINGS));
    // before[i][taken]: of all ways to give the first i pitches the strings of `taken`; after: of all ways for the others.
    let mut before = [[0.0f32; SUBSETS]; MOST_PITCHES + 1];
    let mut after = [[0.0f32; SUBSETS]; MOST_PITCHES + 1];
    before[0][0] = 1.0;
    after[count] = [1.0; SUBSETS];
    for (i, places) in pitches.iter().enumerate() {
        for taken in 0..subsets {
            before[i + 1][taken] += before[i][taken] * places.nowhere;
            for string in free(taken, strings) {
                before[i + 1][taken | 1 << string] += before[i][taken] * places.on[string];
            }
        }
    }
    for (i, places) in pitches.iter().enumerate().rev() {
        for taken in 0..subsets {
            let on = free(taken, strings).map(|string| places.on[string] * after[i + 1][taken | 1 << string]);
            after[i][taken] = on.sum::<f32>() + places.nowhere * after[i + 1][taken];
        }
    }
    if after[0][0] <= f32::MIN_POSITIVE {
        return;
    }
    for (i, places) in pitches.iter_mut().enumerate() {
        let mut posterior = Places::UNKNOWN;
        for taken in 0..subsets {
            posterior.nowhere += before[i][taken] * places.nowhere * after[i + 1][taken];
            for string in free(taken, strings) {
                posterior.on[string] += before[i][taken] * places.on[string] * after[i + 1][taken | 1 << string];
            }
        }
        *places = Places::new(posterior.on, posterior.nowhere);
    }
}

fn free(taken: usize, strings: usize) -> impl Iterator<Item = usize> {
    (0..strings).filter(move |string| taken >> string & 1 == 0)
}
