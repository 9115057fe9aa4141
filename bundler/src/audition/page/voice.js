// One clip as it sounds: source -> plain, or one of two filters -> gain. All voices of a take run all the time.

// Long enough to hide any step, short enough to hear a difference at once.
const FADE_SECONDS = 0.015;
const KNOB_FADE_SECONDS = 0.03;

function ramp(parameter, to, at, seconds) {
  parameter.cancelScheduledValues(at);
  parameter.setValueAtTime(parameter.value, at);
  parameter.linearRampToValueAtTime(to, at + seconds);
}

class Voice {
  constructor(context, buffer, output) {
    this.context = context;
    this.buffer = buffer;
    this.input = context.createGain();
    this.level = context.createGain();
    this.level.gain.value = 0;
    this.plain = context.createGain();
    this.input.connect(this.plain).connect(this.level).connect(output);
    this.filters = null;
    this.heard = this.plain;
    this.source = null;
    this.wanted = null;
    this.turning = false;
  }

  // Begins at `when`, `offset` seconds into the clip, and repeats `loop`; `seam` is the gain of one round.
  start(when, offset, loop, seam) {
    this.stop(when);
    const gate = this.context.createGain();
    gate.gain.setValueAtTime(0, when);
    gate.gain.linearRampToValueAtTime(1, when + FADE_SECONDS);
    const rounds = this.context.createGain();
    rounds.gain.value = 0;
    const source = this.repeating(this.buffer, loop.from, loop.to);
    const gain = this.repeating(seam, 0, loop.to - loop.from);
    source.connect(rounds).connect(gate).connect(this.input);
    gain.connect(rounds.gain);
    source.start(when, offset);
    gain.start(when, Math.max(0, offset - loop.from));
    this.source = { source, gain, gate };
  }

  repeating(buffer, from, to) {
    const source = this.context.createBufferSource();
    source.buffer = buffer;
    source.loop = true;
    source.loopStart = from;
    source.loopEnd = to;
    return source;
  }

  stop(when) {
    if (!this.source) return;
    const { source, gain, gate } = this.source;
    ramp(gate.gain, 0, when, FADE_SECONDS);
    source.stop(when + 2 * FADE_SECONDS);
    gain.stop(when + 2 * FADE_SECONDS);
    source.onended = () => gate.disconnect();
    this.source = null;
  }

  fade(to) {
    ramp(this.level.gain, to, this.context.currentTime, FADE_SECONDS);
  }

  // Hears the clip through `taps`, or plain for null. Of several wishes in a hurry the last counts.
  turn(taps) {
    this.wanted = { taps };
    if (!this.turning) this.turnOn();
  }

  turnOn() {
    const { taps } = this.wanted;
    this.wanted = null;
    this.turning = true;
    const next = taps === null ? this.plain : this.filterWith(taps);
    // A filter that begins has no past; it has one after its own length.
    const filling = taps === null ? 0 : taps.length / this.context.sampleRate;
    const before = this.heard;
    this.heard = next;
    setTimeout(() => {
      const now = this.context.currentTime;
      ramp(next.gain, 1, now, KNOB_FADE_SECONDS);
      if (before !== next) ramp(before.gain, 0, now, KNOB_FADE_SECONDS);
      setTimeout(() => {
        this.turning = false;
        if (this.wanted) this.turnOn();
      }, 1000 * KNOB_FADE_SECONDS + 10);
    }, 1000 * filling + 5);
  }

  filterWith(taps) {
    if (!this.filters) {
      this.filters = [0, 1].map(() => {
        const convolver = this.context.createConvolver();
        convolver.normalize = false;
        const gain = this.context.createGain();
        gain.gain.value = 0;
        this.input.connect(convolver).connect(gain).connect(this.level);
        gain.convolver = convolver;
        return gain;
      });
    }
    const idle = this.filters.find((gain) => gain !== this.heard);
    const buffer = this.context.createBuffer(1, taps.length, this.context.sampleRate);
    buffer.copyToChannel(taps, 0);
    idle.convolver.buffer = buffer;
    return idle;
  }

  end() {
    this.stop(this.context.currentTime);
    this.level.disconnect();
  }
}
