// Blind comparison. What stands under which letter is known to one closure of this script and to nothing on the page: no
// element, attribute, order, storage or picture depends on it before the end.

const LETTERS = ["P", "Q", "R", "S", "T", "U", "V", "W"];

class Blind {
  constructor(player, listening, transport, answers) {
    Object.assign(this, { player, listening, transport, answers });
    this.running = false;
    this.letters = [];
    byId("rate-start").addEventListener("click", () => this.start("rate"));
    byId("abx-start").addEventListener("click", () => this.start("abx"));
    this.offer();
  }

  offer() {
    const first = data.variants[0].position;
    this.boxes = this.listening.buttons.map((_, clip) => {
      const variant = variantOf(clip);
      const box = make("input", { type: "checkbox", checked: variant !== null && variant.position === first });
      byId("blind-choice").append(make("label", { className: "choice" }, box, make("span", { textContent: nameOf(clip) })));
      return box;
    });
  }

  start(kind) {
    const chosen = this.boxes.flatMap((box, clip) => (box.checked ? [clip] : []));
    const refusal = this.refusal(kind, chosen);
    byId("blind-refusal").textContent = refusal;
    if (refusal || byId("play").disabled) return;
    this.hide(true);
    this.listening.knobs.reset();
    this.transport.match(true);
    if (kind === "rate") this.rate(shuffled(chosen));
    else this.tellApart(shuffled(chosen));
  }

  refusal(kind, chosen) {
    if (!window.crypto || !crypto.getRandomValues) return "This browser has no fair chance to draw from; open the page in a current one.";
    if (chosen.some((clip) => this.player.take.clips[clip].louder === null)) return "One of these is silent here; take it out.";
    if (kind === "abx" && chosen.length !== 2) return "Tick exactly two sounds to tell apart.";
    if (chosen.length < 2 || chosen.length > LETTERS.length) return `Tick two to ${LETTERS.length} sounds.`;
    return "";
  }

  // Takes away what could tell, and brings it back.
  hide(hidden) {
    this.running = hidden;
    byId("open").hidden = hidden;
    byId("blind-setup").hidden = hidden;
    byId("blind-run").hidden = !hidden;
    byId("blind-result").hidden = true;
    for (const id of ["matched", "real", "take"]) byId(id).disabled = hidden;
    if (hidden) for (const id of ["lit-name", "lit-stand", "trust", "badge", "knobs-note"]) byId(id).textContent = "";
    if (hidden) for (const id of ["curve", "curve-text", "option", "dials", "facts"]) byId(id).replaceChildren();
    if (hidden) this.listening.buttons.forEach((button) => {
      button.setAttribute("aria-pressed", "false");
      button.classList.remove("before");
    });
  }

  // A button that lets a hidden sound through; `clipOf` knows which.
  letter(letter, clipOf) {
    const button = make("button", { type: "button", className: "play", "aria-pressed": "false", textContent: letter });
    button.addEventListener("click", () => {
      this.letters.forEach((other) => other.setAttribute("aria-pressed", String(other === button)));
      this.player.light(clipOf());
    });
    this.letters.push(button);
    return button;
  }

  rate(order) {
    const ratings = order.map(() => 0);
    this.letters = [];
    const cards = order.map((_, place) => make("div", { className: "letter" },
      this.letter(LETTERS[place], () => order[place]),
      stars(LETTERS[place], (rating) => (ratings[place] = rating))));
    const done = make("button", { type: "button", id: "blind-done", textContent: "Done: show what they were" });
    done.addEventListener("click", () => {
      const sounds = order.map((clip, place) => ({ letter: LETTERS[place], sound: nameOf(clip), rating: ratings[place] }));
      this.answers.ratings.push({ take: this.player.take.name, sounds });
      const best = [...sounds].sort((a, b) => b.rating - a.rating);
      this.finish(best.map(({ letter, sound, rating }) => `${letter}, ${rating || "not rated"}: ${sound}`));
    });
    byId("blind-run").replaceChildren(
      make("p", { textContent: "Listen to each letter and rate it, 5 is best. All are equally loud." }),
      make("div", { className: "letters" }, ...cards), this.ends(done));
    this.letters[0].click();
    this.letters[0].focus();
  }

  tellApart([first, second]) {
    const trials = Math.min(100, Math.max(4, Math.round(Number(byId("trials").value)) || 12));
    const x = [];
    const said = [];
    let hidden = 1 + fair(2);
    const count = make("p", { role: "status" });
    const say = () => (count.textContent = `Trial ${said.length + 1} of ${trials}: is X the sound P or the sound Q?`);
    this.letters = [];
    const cards = [["P", () => first], ["Q", () => second], ["X", () => (hidden === 1 ? first : second)]]
      .map(([letter, clipOf]) => make("div", { className: "letter" }, this.letter(letter, clipOf)));
    const answer = (one) => {
      x.push(hidden);
      said.push(one);
      hidden = 1 + fair(2);
      if (said.length === trials) return this.apart({ take: this.player.take.name, first: nameOf(first), second: nameOf(second), x, said });
      say();
      this.letters[2].click();
      this.letters[2].focus();
    };
    const choose = [1, 2].map((one) => {
      const button = make("button", { type: "button", id: `x-is-${one}`, textContent: `X is ${one === 1 ? "P" : "Q"}` });
      button.addEventListener("click", () => answer(one));
      return button;
    });
    byId("blind-run").replaceChildren(count, make("div", { className: "letters" }, ...cards), this.ends(...choose));
    say();
    this.letters[2].click();
    this.letters[2].focus();
  }

  apart(comparison) {
    this.answers.comparisons.push(comparison);
    const [, first, second, outcome] = told(comparison);
    this.finish([`P was ${first.slice(5)}`, `Q was ${second.slice(5)}`, outcome.trim()]);
  }

  ends(...buttons) {
    const leave = make("button", { type: "button", id: "blind-leave", textContent: "Leave without a result" });
    leave.addEventListener("click", () => this.leave());
    return make("div", { className: "row" }, ...buttons, leave);
  }

  leave() {
    byId("blind-run").replaceChildren();
    this.letters = [];
    this.hide(false);
    this.listening.before = null;
    this.listening.choose(RECORDED);
  }

  finish(lines) {
    this.leave();
    const result = byId("blind-result");
    result.replaceChildren(make("h3", { textContent: "Result" }), ...lines.map((line) => make("p", { textContent: line })),
      make("p", { className: "faint", textContent: "It is kept for your answers below." }));
    result.hidden = false;
  }
}

function stars(letter, rated) {
  const row = make("div", { className: "stars", role: "group", "aria-label": `Rating of ${letter}` });
  const buttons = [1, 2, 3, 4, 5].map((rating) => {
    const button = make("button", { type: "button", "aria-pressed": "false", textContent: String(rating) });
    button.addEventListener("click", () => {
      buttons.forEach((other) => other.setAttribute("aria-pressed", String(other === button)));
      rated(rating);
    });
    return button;
  });
  row.append(...buttons);
  return row;
}
