//! What comes out of the page's loudspeaker, and which clip it is at which place.

use super::browser::Visit;
use super::page::Page;

/// Hears what goes to the destination, in blocks with their time, on the audio thread, so that a busy page loses nothing; and keeps what
/// was decoded. The page's policy forbids such a module; [`with_ear`] has the browser leave the policy aside.
pub const EAR: &str = r#"
(() => {
  window.heard = [];
  window.decoded = [];
  const module = `registerProcessor("ear", class extends AudioWorkletProcessor {
    constructor() { super(); this.block = new Float32Array(4096); this.filled = 0; }
    process([input]) {
      if (this.filled === 0) this.at = currentFrame;
      if (input.length) this.block.set(input[0], this.filled); else this.block.fill(0, this.filled, this.filled + 128);
      this.filled += 128;
      if (this.filled === 4096) { this.port.postMessage({ at: this.at, samples: this.block.slice() }); this.filled = 0; }
      return true;
    }
  });`;
  const url = "data:text/javascript;base64," + btoa(module);
  const connect = AudioNode.prototype.connect;
  const earOf = (context, destination) => {
    if (!context.ear) {
      context.ear = context.createGain();
      window.earReady = false;
      context.audioWorklet.addModule(url).then(() => {
        const node = new AudioWorkletNode(context, "ear", { channelCount: 1, channelCountMode: "explicit", outputChannelCount: [1] });
        node.port.onmessage = ({ data }) => window.listening && window.heard.push(data);
        connect.call(context.ear, node);
        connect.call(node, destination);
        window.earReady = true;
      }).catch((error) => (document.title = String(error)));
    }
    return context.ear;
  };
  AudioNode.prototype.connect = function (to, ...rest) {
    if (to instanceof AudioDestinationNode) connect.call(this, earOf(this.context, to));
    return connect.call(this, to, ...rest);
  };
  const decode = BaseAudioContext.prototype.decodeAudioData;
  BaseAudioContext.prototype.decodeAudioData = function (...all) {
    return decode.apply(this, all).then((buffer) => (window.decoded.push(buffer), buffer));
  };
})();
"#;

/// The page with an ear, ready to play.
pub fn with_ear(page: &std::path::Path) -> Option<Visit> {
    let visit = Visit::open_unguarded(page, super::browser::DESKTOP, EAR)?;
    visit.until("document.getElementById('play').textContent === 'Play' && window.earReady");
    Some(visit)
}

/// A block that was heard.
pub struct Block {
    /// When, in samples.
    pub at: i64,
    pub samples: Vec<f32>,
}

/// What was heard since the last time, and from now on nothing.
pub fn heard(visit: &Visit) -> Vec<Block> {
    let taken = "(() => {
        window.listening = false;
        const all = window.heard.map(({ at, samples }) => ({ at, samples: [...samples] }));
        window.heard = [];
        return all;
    })()";
    let blocks = visit.value(taken);
    let block = |block: &serde_json::Value| Block {
        at: block["at"].as_i64().unwrap(),
        samples: block["samples"].as_array().unwrap().iter().map(|sample| sample.as_f64().unwrap() as f32).collect(),
    };
    blocks.as_array().unwrap().iter().map(block).collect()
}

/// The block that tells most: the loudest of those after a cross-fade, which fills the first two.
pub fn telling(blocks: &[Block]) -> &Block {
    let power = |block: &Block| block.samples.iter().map(|sample| sample * sample).sum::<f32>();
    blocks[2..].iter().max_by(|a, b| power(a).total_cmp(&power(b))).unwrap()
}

/// Listens for so many blocks.
pub fn listen(visit: &Visit, blocks: usize) -> Vec<Block> {
    visit.value("(window.heard = [], window.listening = true)");
    visit.until(&format!("window.heard.length >= {blocks}"));
    heard(visit)
}

/// Which clip a block is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Match {
    pub clip: usize,
    /// Place in the clip less the time it was heard at, in samples.
    pub shift: i64,
    pub gain: f64,
}

/// Samples at both ends of a clip that the page fades, 5 ms, with a few to spare.
pub const SEAM: i64 = 256;

/// Knows the clips of a take, and finds them again.
pub struct Recogniser {
    clips: Vec<Vec<f32>>,
}

/// A block is a clip when what is left beside it is under this share of its power, -50 dB: no two of the clips are that near, and single
/// precision and 24 bits leave far less.
const LEFT: f64 = 1e-5;

impl Recogniser {
    pub fn new(page: &Page, take: usize) -> Self {
        Self { clips: (0..page.clips(take).len()).map(|clip| page.samples(take, clip)).collect() }
    }

    /// The clip and place that a block comes from, wherever it is; slow.
    pub fn anywhere(&self, block: &Block) -> Option<Match> {
        let found = (0..self.clips.len()).flat_map(|clip| (0..self.clips[clip].len()).map(move |place| (clip, place)));
        self.first(block, found.map(|(clip, place)| (clip, place as i64 - block.at)))
    }

    /// The same among shifts near one.
    pub fn near(&self, block: &Block, shift: i64) -> Option<Match> {
        let clips = 0..self.clips.len();
        self.first(block, clips.flat_map(|clip| (shift - 3..=shift + 3).map(move |shift| (clip, shift))))
    }

    fn first(&self, block: &Block, mut candidates: impl Iterator<Item = (usize, i64)>) -> Option<Match> {
        // A glance first, where the block is loudest: most places are not even alike.
        let power = |part: &[f32]| part.iter().map(|sample| sample * sample).sum::<f32>();
        let parts = block.samples.chunks(64).enumerate();
        let (loudest, glance) = parts.max_by(|a, b| power(a.1).total_cmp(&power(b.1)))?;
        candidates.find_map(|(clip, shift)| {
            let length = self.clips[clip].len() as i64;
            let place = (block.at + shift).rem_euclid(length) as usize;
            (self.left(glance, clip, place + 64 * loudest).1 < 0.1).then_some(())?;
            let (gain, left) = self.left(&block.samples, clip, place);
            (left < LEFT).then_some(Match { clip, shift, gain })
        })
    }

    /// The gain at which the clip explains most, and the share of power that is left.
    fn left(&self, samples: &[f32], clip: usize, place: usize) -> (f64, f64) {
        let clip = &self.clips[clip];
        // Both ends of the clip are faded where it begins again.
        let kept = |at: usize| (SEAM as usize..clip.len() - SEAM as usize).contains(&at);
        let pairs = || {
            let placed = samples.iter().enumerate().map(|(i, &heard)| (heard, (place + i) % clip.len()));
            placed.filter(|(_, at)| kept(*at)).map(|(heard, at)| (f64::from(heard), f64::from(clip[at])))
        };
        let (mut both, mut own, mut heard) = (0.0, 0.0, 0.0);
        for (sample, stored) in pairs() {
            both += sample * stored;
            own += stored * stored;
            heard += sample * sample;
        }
        if own == 0.0 || heard == 0.0 {
            return (0.0, 1.0);
        }
        let gain = both / own;
        (gain, 1.0 - gain * both / heard)
    }
}
