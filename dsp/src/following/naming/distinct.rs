//! Several pitches at once sound on as many strings.

/// Strings for which subsets are counted; guitars with more have their pitches named one by one.
pub(in crate::following) const MOST_STRINGS: usize = 8;
/// Pitches that are named together.
pub(in crate::following) const MOST_PITCHES: usize = 6;
const SUBSETS: usize = 1 << MOST_STRINGS;

/// Replaces the likelihoods of each pitch's strings (`weights[pitch][string]`) by the posterior under which no two pitches are
/// on one string: a sum over all assignments, by dynamic programming over the subsets of strings that are taken.
/// Left as they are when no assignment is possible.
pub(super) fn make_distinct(weights: &mut [[f32; MOST_STRINGS]], strings: usize) {
    let (pitches, subsets) = (weights.len().min(MOST_PITCHES), 1usize << strings.min(MOST_STRINGS));
    // before[i][taken]: of all ways to give the first i pitches the strings of `taken`; after: of all ways for the others.
    let mut before = [[0.0f32; SUBSETS]; MOST_PITCHES + 1];
    let mut after = [[0.0f32; SUBSETS]; MOST_PITCHES + 1];
    before[0][0] = 1.0;
    after[pitches] = [1.0; SUBSETS];
    for (i, weights) in weights.iter().enumerate().take(pitches) {
        for taken in 0..subsets {
            for (string, weight) in weights.iter().enumerate().take(strings).filter(|(s, _)| taken >> s & 1 == 0) {
                before[i + 1][taken | 1 << string] += before[i][taken] * weight;
            }
        }
    }
    for i in (0..pitches).rev() {
        for taken in 0..subsets {
            let free = (0..strings).filter(|s| taken >> s & 1 == 0);
            after[i][taken] = free.map(|s| weights[i][s] * after[i + 1][taken | 1 << s]).sum();
        }
    }
    if after[0][0] <= f32::MIN_POSITIVE {
        return;
    }
    for i in 0..pitches {
        let mut posterior = [0.0; MOST_STRINGS];
        for taken in 0..subsets {
            for string in (0..strings).filter(|s| taken >> s & 1 == 0) {
                posterior[string] += before[i][taken] * weights[i][string] * after[i + 1][taken | 1 << string];
            }
        }
        let sum: f32 = posterior.iter().sum();
        if sum > 0.0 {
            weights[i] = posterior.map(|value| value / sum);
        }
    }
}
