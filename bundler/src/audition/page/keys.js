// Single keys for everything that is done often. All else is reached with Tab.

class Keys {
  constructor(player, listening, transport, blind) {
    const open = (act) => () => { if (!blind.running) act(); };
    const letter = (place) => blind.letters[place]?.click();
    this.table = [
      [" ", "Space", "play or pause, unless a button has the focus", () => transport.toggle()],
      ["p", "p", "play or pause, wherever the focus is", () => transport.toggle()],
      ["ArrowLeft", "←", "back a second", () => transport.by(-1)],
      ["ArrowRight", "→", "on a second", () => transport.by(1)],
      ["Home", "Home", "to the beginning of the loop", () => transport.by(-1e6)],
      ["0", "0", "the take as recorded", open(() => listening.choose(RECORDED))],
      ["ArrowUp", "↑", "the sound above", open(() => listening.step(-1))],
      ["ArrowDown", "↓", "the sound below", open(() => listening.step(1))],
      ["o", "o", "the same position of the next wiring", open(() => listening.otherOption(1))],
      ["x", "x", "back and forth between the last two sounds", open(() => listening.back())],
      ["i", "i", "loop from here", () => transport.loopFrom()],
      ["u", "u", "loop to here", () => transport.loopTo()],
      ["l", "l", "whole take", () => transport.loopAll()],
      ["m", "m", "equally loud, or real levels", open(() => transport.match(!player.matched))],
      ["k", "k", "to the knobs", open(() => byId("dials").querySelector("input")?.focus())],
      ["b", "b", "to the blind comparison", open(() => byId("rate-start").focus())],
      ["?", "?", "these keys", toggleHelp],
    ];
    this.digits = (number) => (blind.running ? letter(number - 1) : listening.position(number));
    this.describe();
    document.addEventListener("keydown", (event) => this.press(event));
    byId("help-open").addEventListener("click", toggleHelp);
    // After a click with the pointer the space bar plays again; with the keyboard the focus stays where it is needed.
    document.addEventListener("click", (event) => {
      const button = event.target.closest("button");
      if (event.detail > 0 && button && button === document.activeElement) button.blur();
    });
  }

  describe() {
    const lines = [...this.table.map(([, sign, does]) => [sign, does]), ["1 to 9", "a position of the lit wiring; a letter when blind"]];
    byId("keys").append(...lines.flatMap(([sign, does]) =>
      [make("dt", {}, make("kbd", { textContent: sign })), make("dd", { textContent: does })]));
  }

  press(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || !byId("keys-on").checked || belongsElsewhere(event)) return;
    const entry = this.table.find(([key]) => key === event.key);
    const digit = /^[1-9]$/.test(event.key) ? Number(event.key) : 0;
    if (!entry && !digit) return;
    event.preventDefault();
    if (entry) entry[3]();
    else this.digits(digit);
  }
}

// Fields keep what is typed into them, sliders and lists their arrows, buttons their space.
function belongsElsewhere({ target, key }) {
  if (target.matches("textarea, select, input[type=text], input[type=number]")) return true;
  if (target.matches("input[type=range]")) return key.startsWith("Arrow") || key === "Home";
  return key === " " && target.matches("button, input[type=checkbox]");
}

function toggleHelp() {
  const help = byId("help");
  help.hidden = !help.hidden;
  byId("help-open").setAttribute("aria-expanded", String(!help.hidden));
}
