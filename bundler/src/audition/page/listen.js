// The open part: a button for every sound, and what is known of the one that is lit.

class Listening {
  constructor(player) {
    this.player = player;
    this.knobs = new KnobBoard(player);
    this.before = null;
    this.buttons = [];
    this.build();
  }

  build() {
    const choices = byId("choices");
    this.add(choices, RECORDED, "0", "As recorded");
    data.options.forEach((option, index) => {
      const changes = option.changes.length ? ` (${option.changes.join(", ")})` : "";
      choices.append(make("h3", { textContent: option.title + changes }));
      data.variants.forEach((variant, number) => {
        if (variant.option === index) this.add(choices, number + 1, variant.position ?? "•", variant.sound);
      });
    });
  }

  add(parent, clip, mark, words) {
    const button = make("button", { type: "button", className: "sound", "aria-pressed": "false" },
      make("span", { className: "mark", textContent: String(mark) }),
      make("span", { textContent: words }),
      make("span", { className: "louder" }));
    button.addEventListener("click", () => this.choose(clip));
    this.buttons[clip] = button;
    parent.append(button);
  }

  choose(clip) {
    if (clip !== this.player.lit) this.before = this.player.lit;
    this.player.light(clip);
    this.show();
  }

  back() {
    if (this.before !== null) this.choose(this.before);
  }

  step(by) {
    const count = this.buttons.length;
    this.choose((this.player.lit + by + count) % count);
  }

  // The position of that number in the wiring that is lit, or in the first.
  position(number) {
    const lit = variantOf(this.player.lit);
    const option = lit ? lit.option : 0;
    const found = data.variants.findIndex((variant) => variant.option === option && variant.position === number);
    if (found >= 0) this.choose(found + 1);
  }

  // The same position in another wiring.
  otherOption(by) {
    const lit = variantOf(this.player.lit);
    const option = lit ? (lit.option + by + data.options.length) % data.options.length : 0;
    const same = data.variants.findIndex((variant) => variant.option === option && variant.position === (lit ? lit.position : 1));
    const first = data.variants.findIndex((variant) => variant.option === option);
    this.choose((same >= 0 ? same : first) + 1);
  }

  taken() {
    this.knobs.stands.clear();
    this.before = null;
    this.buttons.forEach((button, clip) => {
      const { louder } = this.player.take.clips[clip];
      const words = clip === RECORDED || louder === null ? "" : `${louder >= 0 ? "+" : "−"}${Math.abs(louder).toFixed(1)} dB`;
      button.querySelector(".louder").textContent = words;
    });
    this.show();
  }

  show() {
    const clip = this.player.lit;
    this.buttons.forEach((button, other) => {
      button.setAttribute("aria-pressed", String(other === clip));
      button.classList.toggle("before", other === this.before);
    });
    const variant = variantOf(clip);
    byId("lit-name").textContent = nameOf(clip);
    byId("lit-stand").textContent = variant ? variant.controls : data.recorded;
    const badge = byId("badge");
    badge.className = `badge ${variant ? variant.trust : "exact"}`;
    badge.textContent = variant ? variant.trust : "as it is";
    byId("trust").textContent = variant ? variant.trust_sentence : "The take itself, unchanged.";
    this.knobs.show(clip);
    showCurve(this.player.take, clip, this.before);
    this.showFacts(variant);
    this.showOption(variant);
  }

  showFacts(variant) {
    const facts = variant ? variant.facts : [];
    byId("facts").hidden = !facts.length;
    byId("facts").replaceChildren(...facts.flatMap(([name, value]) =>
      [make("dt", { textContent: name }), make("dd", { textContent: value })]));
  }

  showOption(variant) {
    const place = byId("option");
    place.replaceChildren();
    if (!variant) return;
    const option = data.options[variant.option];
    if (option.about) place.append(make("h3", { textContent: "What it is for" }), make("p", { textContent: option.about }));
    place.append(make("h3", { textContent: "How it is wired: what carries this sound is lit" }), drawingOf(option, variant));
    const rows = option.parts.map((part) => make("tr", {},
      make("th", { scope: "row", textContent: part.name }),
      make("td", { textContent: part.what }),
      make("td", { textContent: part.special || "" })));
    place.append(make("h3", { textContent: "What it takes" }), make("table", {}, make("tbody", {}, ...rows)));
  }
}

// The drawing with the wires lit that carry the signal. It comes from the wiring, every text in it escaped.
function drawingOf(option, variant) {
  const { svg, wires, glow } = option.drawing;
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml");
  const drawing = document.importNode(parsed.documentElement, true);
  const lights = variant.live.map((wire) => draw("polyline", { points: wires[wire], stroke: glow, "stroke-width": 2.2 }));
  drawing.querySelector("rect").after(...lights);
  return make("div", { className: "drawing" }, drawing);
}
