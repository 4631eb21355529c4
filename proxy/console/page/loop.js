// Which bars of a file are played over and over: by dragging over them, or by their numbers.
import { el, put } from "./words.js";

let act, box, strip, chosen, here, numbers, first, last, said, onward, bars = 0, drag = null;

export function make(section, ask) {
  act = ask;
  chosen = el("b");
  here = el("i");
  numbers = el("div");
  strip = el("div", { class: "strip", "aria-hidden": "true", onpointerdown: begin, onpointermove: move, onpointerup: end, onpointercancel: () => { drag = null; } }, chosen, here, numbers);
  const number = (label) => el("label", {}, label, el("input", { inputmode: "numeric", size: 4, autocomplete: "off" }));
  const [one, other] = [number("First bar"), number("Last bar")];
  first = one.lastChild;
  last = other.lastChild;
  said = el("p", { role: "status" });
  onward = el("button", { type: "button", onclick: () => act("loop", { first: 0, last: 0 }) }, "On to the end");
  box = el("div", { class: "bars", hidden: true },
    el("h3", {}, "Which bars"),
    el("p", { class: "quiet" }, "Drag over the bars to hear them over and over, and switch sides meanwhile."),
    strip,
    el("form", { class: "beside", onsubmit: (e) => { e.preventDefault(); play(Number(first.value), Number(last.value || first.value)); } },
      one, other, el("button", {}, "These bars over and over"), el("button", { type: "button", onclick: () => play(1, bars) }, "All of them"), onward),
    said);
  section.append(box);
}

// count writes the numbers of some bars over the strip: every first, second, fifth, tenth and so on, so that there is room.
function count(n) {
  bars = n;
  const apart = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].find((step) => n / step <= 12) || n;
  numbers.replaceChildren();
  for (let bar = apart === 1 ? 1 : apart; bar <= n; bar += apart) {
    const e = el("span", {}, String(bar));
    e.style.left = `${(100 * (bar - 1)) / n}%`;
    numbers.append(e);
  }
}

const play = (a, b) => act("loop", { first: a, last: b });

export function told(s) {
  const p = s.playing;
  box.hidden = !p;
  if (!p) return;
  if (bars !== p.bars) count(p.bars);
  onward.hidden = !p.loop || s.simulated; // at its end the demonstration would be over
  put(said, p.loop ? `Bars ${p.loop.first}–${p.loop.last} of ${bars}, over and over.` : `Once to the end, bar ${bars}.`);
  if (!drag) show(p.loop);
  if (p.loop && !box.contains(document.activeElement)) {
    first.value = p.loop.first;
    last.value = p.loop.last;
  }
}

export function moved(n) {
  here.hidden = !n.bar || !bars;
  if (n.bar && bars) here.style.left = `${(100 * Math.min(n.bar - 1, bars - 1)) / bars}%`;
  here.style.width = `${100 / (bars || 1)}%`;
}

function show(loop) {
  chosen.hidden = !loop;
  if (!loop) return;
  chosen.style.left = `${(100 * (loop.first - 1)) / bars}%`;
  chosen.style.width = `${(100 * (loop.last - loop.first + 1)) / bars}%`;
}

const at = (e) => {
  const r = strip.getBoundingClientRect();
  return Math.min(Math.max(Math.floor(((e.clientX - r.left) / r.width) * bars), 0), bars - 1) + 1;
};

const dragged = () => ({ first: Math.min(drag.from, drag.to), last: Math.max(drag.from, drag.to) });

function begin(e) {
  strip.setPointerCapture(e.pointerId);
  drag = { from: at(e), to: at(e) };
  show(dragged());
}

function move(e) {
  if (!drag) return;
  drag.to = at(e);
  show(dragged());
  put(said, `Bars ${dragged().first}–${dragged().last}`);
}

function end() {
  if (!drag) return;
  const { first: a, last: b } = dragged();
  drag = null;
  play(a, b);
}
