"use strict";
// All takes of a stretch start together and run on one clock; a change only moves their gains, so that it has no gap.
const firstHeard = 0.1; // of the peak: as the lesson was made by
const fade = 0.012; // s, long enough for no click
let context, current;

const bytes = text => Uint8Array.from(atob(text), c => c.charCodeAt(0)).buffer;

// onset is when a sound is first heard, s.
function onset(buffer) {
  const channels = Array.from({length: buffer.numberOfChannels}, (_, i) => buffer.getChannelData(i));
  let peak = 0;
  for (const c of channels) for (const x of c) peak = Math.max(peak, Math.abs(x));
  for (let i = 0; i < buffer.length; i++) if (channels.some(c => Math.abs(c[i]) >= firstHeard * peak)) return i / buffer.sampleRate;
  return 0;
}

class Stretch {
  constructor(section) {
    this.section = section;
    this.length = +section.dataset.length;
    this.takes = [...section.querySelectorAll(".take")];
    this.bars = [...section.querySelectorAll(".bar[data-at]")].filter(b => b.tagName === "BUTTON");
    this.playButton = section.querySelector(".play");
    this.again = section.querySelector(".again");
    this.now = section.querySelector(".now");
    this.taken = 0;
    this.from = 0;
    this.to = this.length;
    this.started = null;
    this.takes.forEach((b, i) => b.addEventListener("click", () => { this.attend(); this.take(i); }));
    this.playButton.addEventListener("click", () => { this.attend(); this.toggle(); });
    this.again.addEventListener("change", () => { this.attend(); if (this.started) this.play(this.place()); });
    section.querySelectorAll(".jump").forEach(b => b.addEventListener("click", () => { this.attend(); this.whole(); this.play(+b.dataset.at); }));
    section.querySelector(".score").addEventListener("click", e => {
      const cell = e.target.closest("[data-at]");
      if (!cell) return;
      this.attend();
      if (e.shiftKey) this.select(+cell.dataset.at, +cell.dataset.at + +cell.dataset.length);
      else { this.whole(); this.first = +cell.dataset.at; this.play(this.first); }
    });
  }

  attend() {
    if (current && current !== this) current.stop();
    current = this;
  }

  // select has bars played over and over, from the one that was chosen last.
  select(at, end) {
    const first = this.first ?? at;
    this.from = Math.min(first, at);
    this.to = Math.max(end, this.bars.map(b => +b.dataset.at + +b.dataset.length).find(e => e > first + 1e-6) ?? end);
    this.again.checked = true;
    this.mark();
    this.play(this.from);
  }

  whole() {
    this.from = 0;
    this.to = this.length;
    this.mark();
  }

  mark() {
    const part = this.from > 0 || this.to < this.length;
    for (const b of this.bars) b.classList.toggle("in", part && +b.dataset.at >= this.from - 1e-6 && +b.dataset.at < this.to - 1e-6);
  }

  async sounds() {
    if (this.buffers) return this.buffers;
    context ??= new AudioContext();
    const texts = this.takes.map((_, i) => document.getElementById(`${this.section.id}-${i}`).textContent);
    const buffers = await Promise.all(texts.map(t => context.decodeAudioData(bytes(t))));
    this.lead = Math.min(Math.max(onset(buffers[0]) - +this.section.dataset.onset, 0), 0.2); // what the decoder puts before
    return this.buffers = buffers;
  }

  async play(at) {
    const asked = this.asked = Symbol("the last to ask plays");
    this.silence();
    this.playButton.textContent = "Stop";
    const buffers = await this.sounds();
    await context.resume();
    if (this.asked !== asked) return;
    const when = context.currentTime + 0.03;
    this.gains = [];
    this.sources = buffers.map((buffer, i) => {
      const source = new AudioBufferSourceNode(context, {buffer});
      const gain = new GainNode(context, {gain: i === this.taken ? 1 : 0});
      source.connect(gain).connect(context.destination);
      if (this.again.checked) Object.assign(source, {loop: true, loopStart: this.lead + this.from, loopEnd: this.lead + this.to});
      source.start(when, this.lead + at);
      this.gains.push(gain);
      return source;
    });
    this.looping = this.again.checked;
    this.started = {when, at};
    this.now.hidden = false;
    requestAnimationFrame(() => this.draw());
  }

  // place is where the music is, s.
  place() {
    if (!this.started) return this.from;
    let at = this.started.at + Math.max(context.currentTime - this.started.when, 0);
    if (this.looping && at > this.to) at = this.from + (at - this.from) % (this.to - this.from);
    return at;
  }

  silence() {
    for (const s of this.sources ?? []) s.stop();
    this.sources = [];
    this.started = null;
  }

  stop() {
    this.asked = null;
    this.silence();
    this.now.hidden = true;
    this.playButton.textContent = "Play";
    this.section.querySelector(".where").textContent = "";
  }

  toggle() { if (this.asked) this.stop(); else this.play(this.from); }

  take(i) {
    if (!this.takes[i]) return;
    this.taken = i;
    this.takes.forEach((b, n) => b.setAttribute("aria-pressed", n === i));
    this.section.querySelector(".says").textContent = this.takes[i].dataset.says;
    if (!this.started) return;
    this.gains.forEach((g, n) => {
      g.gain.cancelScheduledValues(context.currentTime);
      g.gain.setValueAtTime(g.gain.value, context.currentTime);
      g.gain.linearRampToValueAtTime(n === i ? 1 : 0, context.currentTime + fade);
    });
  }

  draw() {
    if (!this.started) return;
    const at = this.place();
    if (at > this.length + 2) { this.stop(); return; }
    const strip = this.section.querySelector(".head .strip"), score = this.section.querySelector(".score");
    const left = strip.getBoundingClientRect().left - score.getBoundingClientRect().left;
    this.now.style.transform = `translateX(${left + strip.clientWidth * Math.min(at / this.length, 1)}px)`;
    const bar = this.bars.filter(b => +b.dataset.at <= at + 1e-6).pop();
    const text = bar ? `${document.querySelector(".head .name").textContent} ${bar.textContent}` : "";
    const where = this.section.querySelector(".where");
    if (where.textContent !== text) where.textContent = text;
    requestAnimationFrame(() => this.draw());
  }
}

const stretches = [...document.querySelectorAll("section[data-length]")].map(s => new Stretch(s));
current = stretches[0];
document.addEventListener("keydown", e => {
  if (e.ctrlKey || e.metaKey || e.altKey || !current) return;
  if (e.key === " " && !e.target.closest("button, input, a")) { e.preventDefault(); current.toggle(); }
  if (e.key >= "1" && e.key <= "9") current.take(+e.key - 1);
});
