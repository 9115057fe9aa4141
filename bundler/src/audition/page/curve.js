// The change against the recording, over the take's spectrum.

const PLOT = { left: 44, right: 632, top: 10, bottom: 230, highest: 18, lowest: -42 };

function across(hertz) {
  const [low, high] = [data.hertz[0], data.hertz[data.hertz.length - 1]];
  return PLOT.left + (PLOT.right - PLOT.left) * Math.log(hertz / low) / Math.log(high / low);
}

function down(decibels) {
  const inside = Math.min(PLOT.highest, Math.max(PLOT.lowest, decibels));
  return PLOT.top + (PLOT.bottom - PLOT.top) * (PLOT.highest - inside) / (PLOT.highest - PLOT.lowest);
}

function line(values) {
  return values.map((value, i) => `${i ? "L" : "M"}${across(data.hertz[i]).toFixed(1)} ${down(value).toFixed(1)}`).join("");
}

function gridLines() {
  const parts = [];
  for (const hertz of [50, 100, 200, 500, 1000, 2000, 5000, 10000]) {
    const x = across(hertz);
    parts.push(draw("line", { class: "grid", x1: x, x2: x, y1: PLOT.top, y2: PLOT.bottom }));
    parts.push(draw("text", { x, y: PLOT.bottom + 18, "text-anchor": "middle" }, hertz < 1000 ? String(hertz) : `${hertz / 1000}k`));
  }
  for (let decibels = -36; decibels <= 12; decibels += 12) {
    const y = down(decibels);
    parts.push(draw("line", { class: decibels ? "grid" : "zero", x1: PLOT.left, x2: PLOT.right, y1: y, y2: y }));
    parts.push(draw("text", { x: PLOT.left - 6, y: y + 4, "text-anchor": "end" }, decibels > 0 ? `+${decibels}` : String(decibels)));
  }
  return parts;
}

function curveOf(clip) {
  const variant = variantOf(clip);
  return variant ? variant.curve : data.hertz.map(() => 0);
}

// `now` is drawn whole, `before` (may be null) dashed.
function showCurve(take, now, before) {
  // The loudest band touches the top.
  const spectrum = `${line(take.spectrum.map((value) => value * 0.75 + PLOT.highest))}L${PLOT.right} ${PLOT.bottom}L${PLOT.left} ${PLOT.bottom}Z`;
  const parts = [draw("path", { class: "spectrum", d: spectrum }), ...gridLines()];
  if (before !== null) parts.push(draw("path", { class: "before", d: line(curveOf(before)) }));
  parts.push(draw("path", { class: "now", d: line(curveOf(now)) }));
  byId("curve").replaceChildren(...parts);
  const words = [
    make("span", { className: "key-now", textContent: `— ${nameOf(now)}` }),
    " against the recording, in dB by frequency in Hz; behind it what the take holds.",
  ];
  if (before !== null) words.push(make("br"), make("span", { className: "key-before", textContent: `- - ${nameOf(before)}` }), " heard before it.");
  byId("curve-text").replaceChildren(...words);
}
