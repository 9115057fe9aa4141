// Puts the page together.

function setTheme(dark) {
  document.documentElement.dataset.theme = dark ? "dark" : "light";
  byId("theme").textContent = dark ? "Light" : "Dark";
  byId("theme").setAttribute("aria-pressed", String(dark));
}

function begin() {
  byId("recorded").textContent = data.recorded;
  setTheme(window.matchMedia("(prefers-color-scheme: dark)").matches);
  byId("theme").addEventListener("click", () => setTheme(document.documentElement.dataset.theme !== "dark"));
  if (!window.AudioContext && !window.webkitAudioContext) {
    byId("play").textContent = "No sound";
    notice("This browser cannot play sound that can be switched without a gap (it has no Web Audio). Save this file and open it in a current browser, on a phone or a computer; it needs no network.");
    return;
  }
  const player = new Player();
  const listening = new Listening(player);
  const transport = new Transport(player, () => listening.taken());
  const answers = new Answers();
  const blind = new Blind(player, listening, transport, answers);
  new Keys(player, listening, transport, blind);
  transport.open(0);
}

begin();
