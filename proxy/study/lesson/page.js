"use strict";
// All takes of a stretch start together and run on one clock; a change only moves their gains, so that it has no gap.
const firstHeard = 0.1; // of the peak: as the lesson was made by
const fade = 0.012; // s, long enough for no click
let context, current, ear;

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
    ear?.stop();
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

// Ear asks the questions one after another.
class Ear {
  constructor(section, questions) {
    this.section = section;
    this.questions = questions;
    const on = (of, what) => section.querySelectorAll(of).forEach(b => b.addEventListener("click", () => what(b)));
    on(".begin", () => this.begin());
    on(".hear", b => this.hear(+b.dataset.take));
    on(".answer", b => this.answer(b.dataset.answer));
    on(".next", () => this.ask(this.at + 1));
    on(".copy", async () => {
      const box = this.part("#code");
      box.select();
      try { await navigator.clipboard.writeText(box.value); } catch { document.execCommand("copy"); } // a page from a file has no clipboard everywhere
    });
  }

  part(of) { return this.section.querySelector(of); }

  begin() {
    this.answers = [];
    this.part(".asks").hidden = true;
    this.part(".result").hidden = true;
    this.part(".asked").hidden = false;
    this.ask(0);
  }

  ask(i) {
    this.stop();
    if (i === this.questions.length) { this.end(); return; }
    this.at = i;
    const q = this.questions[i];
    this.part(".count").textContent = `Question ${i + 1} of ${this.questions.length}: ${q.about}`;
    this.part(".words-asked").textContent = q.words[0].toUpperCase() + q.words.slice(1);
    this.part(".verdict").textContent = "";
    this.part(".next").hidden = true;
    this.section.querySelectorAll(".answer").forEach(b => { b.disabled = false; b.setAttribute("aria-pressed", "false"); });
    this.part(".hear").focus();
  }

  async hear(take) {
    current?.stop();
    this.stop();
    context ??= new AudioContext();
    await context.resume();
    const asked = this.wanted = Symbol("the last to ask plays");
    const buffer = await context.decodeAudioData(bytes(document.getElementById(`q${this.at}-${take}`).textContent));
    if (this.wanted !== asked) return;
    this.source = new AudioBufferSourceNode(context, {buffer});
    this.source.connect(context.destination);
    this.source.start();
  }

  stop() {
    this.wanted = null;
    this.source?.stop();
    this.source = null;
  }

  answer(letter) {
    const q = this.questions[this.at], right = letter === q.answer;
    this.answers.push({skill: q.skill, amount: q.amount, unit: q.unit, right});
    this.section.querySelectorAll(".answer").forEach(b => { b.disabled = true; b.setAttribute("aria-pressed", b.dataset.answer === letter); });
    this.part(".verdict").textContent = `${right ? "Right." : "No."} ${q.explanation}`;
    const next = this.part(".next");
    next.textContent = this.at + 1 < this.questions.length ? "Next" : "See the result";
    next.hidden = false;
    next.focus();
  }

  end() {
    this.part(".asked").hidden = true;
    this.part(".result").hidden = false;
    const body = this.part("tbody");
    body.replaceChildren();
    for (const skill of new Set(this.answers.map(a => a.skill))) {
      const own = this.answers.filter(a => a.skill === skill).sort((a, b) => b.amount - a.amount);
      const missed = own.findIndex(a => !a.right), told = own[(missed < 0 ? own.length : missed) - 1];
      const row = body.insertRow();
      const name = document.createElement("th");
      name.scope = "row";
      name.textContent = this.questions.find(q => q.skill === skill).about;
      row.append(name);
      row.insertCell().textContent = `${own.filter(a => a.right).length} of ${own.length}`;
      row.insertCell().textContent = told ? `${told.amount} ${told.unit}` : "not the greatest yet";
    }
    this.part("#code").value = code({lesson: document.querySelector("h1").textContent, answers: this.answers});
    this.part("#code").focus();
  }
}

// code is a result as text: JSON and its CRC-32 as base64 for names of files.
function code(result) {
  const body = new TextEncoder().encode(JSON.stringify(result));
  let crc = ~0;
  for (const b of body) {
    crc ^= b;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? crc >>> 1 ^ 0xEDB88320 : crc >>> 1;
  }
  crc = ~crc;
  const all = [...body, crc >>> 24 & 255, crc >>> 16 & 255, crc >>> 8 & 255, crc & 255];
  return "ear1:" + btoa(String.fromCharCode(...all)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

const asks = document.getElementById("ear");
if (asks) ear = new Ear(asks, JSON.parse(document.getElementById("questions").textContent));

document.addEventListener("keydown", e => {
  if (e.ctrlKey || e.metaKey || e.altKey || !current) return;
  if (e.key === " " && !e.target.closest("button, input, a")) { e.preventDefault(); current.toggle(); }
  if (e.key >= "1" && e.key <= "9") current.take(+e.key - 1);
});
