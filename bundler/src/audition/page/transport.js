// Play, place, loop, take, loudness.

class Transport {
  constructor(player, taken) {
    this.player = player;
    this.taken = taken;
    data.takes.forEach((take, index) => byId("take").append(make("option", { value: index, textContent: take.name })));
    byId("play").addEventListener("click", () => this.toggle());
    byId("take").addEventListener("change", () => this.open(Number(byId("take").value)));
    byId("seek").addEventListener("input", () => {
      player.seek(Number(byId("seek").value));
      this.showPlace();
    });
    byId("loop-in").addEventListener("click", () => this.loopFrom());
    byId("loop-out").addEventListener("click", () => this.loopTo());
    byId("loop-all").addEventListener("click", () => this.loopAll());
    byId("matched").addEventListener("click", () => this.match(true));
    byId("real").addEventListener("click", () => this.match(false));
  }

  async open(index) {
    const again = this.player.playing;
    byId("play").disabled = true;
    try {
      const done = await this.player.load(index, (at, of) => (byId("play").textContent = `Loading ${at + 1}/${of}`));
      if (!done) return;
    } catch (error) {
      notice(`This browser cannot decode the sound of this page (${error.message}). Open it in a current browser: any that was updated in the last two years will do.`);
      return;
    }
    byId("play").disabled = false;
    byId("seek").max = this.player.length;
    this.drawOutline();
    this.showLoop();
    this.showPlaying();
    this.taken();
    if (again) this.toggle();
  }

  async toggle() {
    if (byId("play").disabled) return;
    if (this.player.playing) this.player.pause();
    else await this.player.play();
    this.showPlaying();
    this.run();
  }

  showPlaying() {
    byId("play").textContent = this.player.playing ? "Pause" : "Play";
    byId("play").classList.toggle("on", this.player.playing);
    this.showPlace();
  }

  // Ten times a second says as much as sixty, and leaves a phone cool.
  run() {
    clearInterval(this.timer);
    if (this.player.playing) this.timer = setInterval(() => this.showPlace(), 100);
  }

  showPlace() {
    const place = this.player.position;
    byId("time").textContent = `${clock(place)} / ${clock(this.player.length)}`;
    if (document.activeElement !== byId("seek") || this.player.playing) byId("seek").value = place;
    byId("seek").setAttribute("aria-valuetext", clock(place));
    const x = 480 * place / this.player.length;
    this.needle?.setAttribute("x1", x);
    this.needle?.setAttribute("x2", x);
  }

  by(seconds) {
    this.player.seek(this.player.position + seconds);
    this.showPlace();
  }

  loopFrom() {
    const from = this.player.position;
    const to = this.player.loop.to > from + 0.3 ? this.player.loop.to : this.player.length;
    this.repeat(Math.min(from, this.player.length - 0.3), to);
  }

  loopTo() {
    const to = this.player.position;
    const from = this.player.loop.from < to - 0.3 ? this.player.loop.from : 0;
    this.repeat(from, Math.max(to, 0.3));
  }

  loopAll() {
    this.repeat(0, this.player.length);
  }

  repeat(from, to) {
    this.player.repeat(from, to);
    this.showLoop();
    this.showPlace();
  }

  showLoop() {
    const { from, to } = this.player.loop;
    const whole = from === 0 && to === this.player.length;
    byId("loop-text").textContent = whole ? "" : `repeats ${clock(from)} to ${clock(to)}`;
    this.band?.setAttribute("x", 480 * from / this.player.length);
    this.band?.setAttribute("width", 480 * (to - from) / this.player.length);
  }

  match(matched) {
    this.player.matched = matched;
    this.player.balance();
    byId("matched").setAttribute("aria-pressed", String(matched));
    byId("real").setAttribute("aria-pressed", String(!matched));
  }

  // The take as recorded, whatever is lit: the picture tells nothing about the sounds.
  drawOutline() {
    const { outline } = this.player.take;
    const width = 480 / outline.length;
    const top = outline.map((peak, i) => `L${(i * width).toFixed(1)} ${(30 - 28 * peak).toFixed(1)}`).join("");
    const bottom = outline.map((peak, i) => `L${(i * width).toFixed(1)} ${(30 + 28 * peak).toFixed(1)}`).reverse().join("");
    this.band = draw("rect", { class: "loop", x: 0, y: 0, width: 480, height: 60 });
    this.needle = draw("line", { class: "needle", x1: 0, x2: 0, y1: 0, y2: 60 });
    byId("outline").replaceChildren(this.band, draw("path", { class: "wave", d: `M0 30${top}L480 30${bottom}Z` }), this.needle);
  }
}
