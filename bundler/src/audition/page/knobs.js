// Knobs of the lit sound, turned while it plays.

class KnobBoard {
  constructor(player) {
    this.player = player;
    this.stands = new Map();
  }

  // What can be turned in a clip at the take's rate, or nothing.
  of(clip) {
    const variant = variantOf(clip);
    if (!variant || !this.player.native) return null;
    return variant.knobs.find((knobs) => knobs.rate === this.player.take.rate) || null;
  }

  show(clip) {
    const knobs = this.of(clip);
    byId("knobs").hidden = !knobs;
    byId("dials").replaceChildren();
    if (!knobs) return;
    knobs.axes.forEach((axis, index) => byId("dials").append(this.dial(clip, knobs, axis, index)));
    byId("knobs-note").textContent = noteOn(knobs);
  }

  stand(clip, knobs) {
    if (!this.stands.has(clip)) this.stands.set(clip, knobs.axes.map((axis) => axis.at));
    return this.stands.get(clip);
  }

  dial(clip, knobs, axis, index) {
    const stand = this.stand(clip, knobs);
    const shown = make("output", { className: "number", textContent: String(stand[index]) });
    const range = make("input", { type: "range", min: 0, max: 10, step: 0.1, value: stand[index], "aria-label": axis.label });
    range.addEventListener("input", () => {
      stand[index] = Number(range.value);
      shown.textContent = range.value;
      this.turn(clip, knobs);
    });
    return make("label", { className: "dial" }, make("span", { textContent: axis.label }), range, shown);
  }

  turn(clip, knobs) {
    const stand = this.stand(clip, knobs);
    const rendered = knobs.axes.every((axis, index) => axis.at === stand[index]);
    this.player.voices[clip].turn(rendered ? null : mixed(knobs, stand));
  }

  // Everything as rendered: in blind comparisons nothing is turned.
  reset() {
    for (const clip of this.stands.keys()) this.player.voices[clip]?.turn(null);
    this.stands.clear();
  }
}

function noteOn(knobs) {
  const exact = knobs.axes.filter((axis) => axis.exact).map((axis) => axis.label);
  const others = knobs.axes.filter((axis) => !axis.exact).map((axis) => axis.label);
  const parts = ["Turn while it plays. The loudness is not matched again, so you hear what the knob does to the level too."];
  if (exact.length) parts.push(`${exact.join(" and ")}: exact against the sound at the top of this sheet, since only the circuit changes.`);
  if (others.length) parts.push(`${others.join(" and ")}: estimated, since another pickup comes in.`);
  parts.push(`On whole numbers it is within ${knobs.error.toFixed(2)} dB of a full rendering, between them within ${knobs.between.toFixed(1)} dB.`);
  return parts.join(" ");
}

// The two neighbours of a value and the share of the second.
function between(values, value) {
  const right = Math.max(1, values.findIndex((other) => other >= value));
  const share = (value - values[right - 1]) / (values[right] - values[right - 1]);
  return [[right - 1, 1 - share], [right, share]];
}

// The filter where the knobs stand: neighbours on the grid, mixed.
function mixed(knobs, stand) {
  const filters = filtersOf(knobs);
  let weights = [[0, 1]];
  knobs.axes.forEach((axis, index) => {
    weights = weights.flatMap(([place, weight]) =>
      between(axis.values, stand[index]).map(([along, share]) => [place * axis.values.length + along, weight * share]));
  });
  const taps = new Float32Array(Math.max(...knobs.lengths));
  for (const [place, weight] of weights) {
    if (weight === 0) continue;
    const worth = weight * knobs.scales[place];
    const first = knobs.lengths.slice(0, place).reduce((sum, length) => sum + length, 0);
    for (let tap = 0; tap < knobs.lengths[place]; tap++) taps[tap] += worth * filters.getInt16(2 * (first + tap), true);
  }
  return taps;
}

const unpackedFilters = new Map();

function filtersOf(knobs) {
  if (!unpackedFilters.has(knobs.filters)) {
    const bytes = bytesOf(`filters-${knobs.filters}`);
    unpackedFilters.set(knobs.filters, new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength));
  }
  return unpackedFilters.get(knobs.filters);
}
