//! From the channels of a recording to the one signal that is the guitar.

use super::{Channel, ReadError, Recording, SILENCE, db, peak};

/// Two channels count as one signal when their difference is weaker than this against the louder one, in dB; that is the rounding of a
/// 16-bit file. Common practice, no source.
const EQUAL_DB: f64 = -90.0;

/// A mix that is weaker than its louder channel by more than this, in dB, has lost something to cancellation: two unrelated
/// signals of one level lose 3 dB, one channel alone loses 6.
const CANCELLED_DB: f64 = -7.0;

/// A dry recording of the guitar through its jack.
#[derive(Debug, Clone, PartialEq)]
pub struct Take {
    /// In hertz.
    pub sample_rate: u32,
    /// Finite, full scale 1.
    pub samples: Vec<f32>,
}

impl Recording {
    /// Takes the channel that was `asked` for, or else the one that the recording suggests, and says which in a sentence:
    ///
    /// - one channel: that one;
    /// - two that are equal: the left; one of them silent: the other; otherwise their mean;
    /// - more: the first that is not silent.
    ///
    /// # Errors
    ///
    /// [`ReadError::ChannelMissing`] and [`ReadError::ChannelSilent`].
    pub fn take(self, asked: Option<Channel>) -> Result<(Take, String), ReadError> {
        let (channel, reason) = match asked {
            Some(channel) => (channel, "as asked for".to_owned()),
            None => suggested(&self.channels),
        };
        let samples = self.channel(channel)?;
        let sentence = self.sentence(channel, &reason, &samples);
        Ok((Take { sample_rate: self.sample_rate, samples }, sentence))
    }

    fn channel(&self, channel: Channel) -> Result<Vec<f32>, ReadError> {
        let samples = match channel.index() {
            None => mean(&self.channels),
            Some(index) => self.channels.get(index).cloned().ok_or_else(|| ReadError::ChannelMissing {
                path: self.path.clone(),
                asked: channel,
                channels: self.channels.len(),
            })?,
        };
        let peak_db = db(peak(&samples));
        if peak_db >= db(SILENCE) {
            return Ok(samples);
        }
        let loud = self.channels.iter().position(|channel| peak(channel) >= SILENCE).map_or(1, |index| index + 1);
        Err(ReadError::ChannelSilent { path: self.path.clone(), asked: channel, peak_db, loud })
    }

    fn sentence(&self, channel: Channel, reason: &str, samples: &[f32]) -> String {
        let count = self.channels.len();
        let which = match channel.index() {
            _ if count == 1 => {
                return format!("{} ({}): taken as it is", self.path.display(), self.note);
            }
            None => format!("the mean of all {count} channels"),
            Some(index) => format!("channel {} of {count}", index + 1),
        };
        let loudest = self.channels.iter().map(|channel| power(channel)).fold(0.0, f64::max);
        let lost_db = 10.0 * (power(samples) / loudest).log10();
        let caution = if channel == Channel::Mix && lost_db < CANCELLED_DB {
            format!("; the channels cancel one another ({lost_db:.0} dB): choose one with --channel")
        } else {
            String::new()
        };
        format!("{} ({}): takes {which}, {reason}{caution}", self.path.display(), self.note)
    }
}

/// The channel that a recording suggests, and why.
fn suggested(channels: &[Vec<f32>]) -> (Channel, String) {
    let sounding: Vec<usize> = (0..channels.len()).filter(|&index| peak(&channels[index]) >= SILENCE).collect();
    match (channels, sounding.as_slice()) {
        ([_], _) => (Channel::Left, "the only one".to_owned()),
        ([_, _], [0]) => (Channel::Left, "because the right is silent".to_owned()),
        ([_, _], [1]) => (Channel::Right, "because the left is silent".to_owned()),
        ([left, right], _) if are_equal(left, right) => (Channel::Left, "because both are equal".to_owned()),
        ([_, _], _) => (Channel::Mix, "because they differ".to_owned()),
        (_, [first, ..]) => (numbered(*first), "the first that is not silent".to_owned()),
        (_, []) => (Channel::Left, "the first".to_owned()),
    }
}

fn numbered(index: usize) -> Channel {
    Channel::Number(std::num::NonZeroUsize::MIN.saturating_add(index))
}

fn are_equal(left: &[f32], right: &[f32]) -> bool {
    let difference: Vec<f32> = left.iter().zip(right).map(|(left, right)| left - right).collect();
    power(&difference) <= power(left).max(power(right)) * 10f64.powf(EQUAL_DB / 10.0)
}

/// The mean over the channels, sample by sample.
fn mean(channels: &[Vec<f32>]) -> Vec<f32> {
    let frames = channels.first().map_or(0, Vec::len);
    let sum = |frame: usize| channels.iter().map(|channel| f64::from(channel[frame])).sum::<f64>();
    (0..frames).map(|frame| (sum(frame) / channels.len() as f64) as f32).collect()
}

/// The sum of the squares.
fn power(samples: &[f32]) -> f64 {
    samples.iter().map(|&sample| f64::from(sample).powi(2)).sum()
}
