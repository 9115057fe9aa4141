// Plays all clips of a take at once and lets one of them through.

// Ahead of the clock, so that every source is asked before its time comes.
const AHEAD_SECONDS = 0.06;
// Fades at the seam of a loop: shorter than any attack, longer than a click.
const SEAM_SECONDS = 0.005;
// Gains need no more samples, and every browser takes buffers of this rate.
const SEAM_RATE = 8000;

class Player {
  constructor() {
    this.context = null;
    this.voices = [];
    this.take = null;
    this.lit = RECORDED;
    this.matched = true;
    this.playing = false;
    this.loop = { from: 0, to: 0 };
    this.began = 0;
    this.offset = 0;
  }

  // Decodes every clip of a take. `progress` is told how many of how many are there.
  async load(index, progress) {
    this.close();
    const take = data.takes[index];
    this.take = take;
    this.context = contextAt(take.rate);
    // A browser may refuse the take's rate; the clips are then brought to its own, and the knobs stay away.
    this.native = this.context.sampleRate === take.rate;
    for (let clip = 0; clip < take.clips.length; clip++) {
      progress(clip, take.clips.length);
      const { sound } = take.clips[clip];
      const carried = sound < clip ? this.voices[sound].buffer : null;
      const buffer = carried || await this.context.decodeAudioData(bytesOf(`sound-${index}-${sound}`).buffer);
      if (this.take !== take) return false;
      this.voices.push(new Voice(this.context, buffer, this.context.destination));
    }
    this.loop = { from: 0, to: this.length };
    this.offset = 0;
    this.balance();
    return true;
  }

  close() {
    if (!this.context) return;
    this.voices.forEach((voice) => voice.end());
    this.context.close();
    this.voices = [];
    this.playing = false;
  }

  get length() {
    return this.voices.length ? this.voices[0].buffer.duration : 0;
  }

  get position() {
    if (!this.playing) return this.offset;
    const passed = this.offset + Math.max(0, this.context.currentTime - this.began);
    const { from, to } = this.loop;
    return passed < to ? passed : from + ((passed - from) % (to - from));
  }

  async play() {
    await this.context.resume();
    this.begin(this.offset);
  }

  pause() {
    this.offset = this.position;
    this.playing = false;
    const now = this.context.currentTime;
    this.voices.forEach((voice) => voice.stop(now));
  }

  seek(seconds) {
    const { from, to } = this.loop;
    const inside = Math.min(Math.max(seconds, from), Math.max(from, to - 0.05));
    if (this.playing) this.begin(inside);
    else this.offset = inside;
  }

  repeat(from, to) {
    const place = this.position;
    this.loop = { from, to };
    this.seek(place);
  }

  // Every voice begins in the same instant: that is what keeps them together to the sample.
  begin(offset) {
    const when = this.context.currentTime + AHEAD_SECONDS;
    const seam = seamOf(this.context, this.loop);
    this.voices.forEach((voice) => voice.start(when, offset, this.loop, seam));
    this.began = when;
    this.offset = offset;
    this.playing = true;
  }

  light(clip) {
    this.lit = clip;
    this.balance();
  }

  balance() {
    this.voices.forEach((voice, clip) => {
      const { matched, real } = this.take.clips[clip];
      voice.fade(clip === this.lit ? (this.matched ? matched : real) : 0);
    });
  }
}

// One round of a loop as a gain: its end is faded out and its beginning in, because the two do not belong together. It is played
// beside the clip, so that no timer has to be in time.
function seamOf(context, { from, to }) {
  const length = (to - from) * SEAM_RATE;
  const fade = SEAM_SECONDS * SEAM_RATE;
  const seam = context.createBuffer(1, Math.ceil(length) + 1, SEAM_RATE);
  const gain = seam.getChannelData(0);
  for (let i = 0; i < gain.length; i++) gain[i] = Math.max(0, Math.min(1, i / fade, (length - i) / fade));
  return seam;
}

function contextAt(rate) {
  const Context = window.AudioContext || window.webkitAudioContext;
  try {
    return new Context({ sampleRate: rate, latencyHint: "interactive" });
  } catch {
    return new Context();
  }
}
