// The parts, a line each: how loud they are raw and shaped, and what they do.
import { calm, drawn, el, number, many, put } from "./words.js";

// The lines go from soft to loud, dB re full of the sampler.
const softest = -60;

let act, list, rows = [], latest = null, state = null, width = 1, drawing = false, spoken = 0;

export function make(section, ask) {
  act = ask;
  const mark = (kind) => drawn("svg", { viewBox: "0 0 12 12", "aria-hidden": "true" }, drawn("circle", { cx: 6, cy: 6, r: 5, class: kind }));
  list = el("ul", { class: "parts" });
  section.append(
    el("p", { class: "key" }, el("span", {}, mark("ring"), " raw, as it came in"), el("span", {}, mark("dot"), " shaped"), el("span", {}, "each at its loudest note, from soft (left) to the sampler’s full level"), el("span", {}, el("span", { class: "passage", "aria-hidden": "true" }), " how much of its phrase is over")),
    el("div", { class: "scale", "aria-hidden": "true" }, el("div", {}, ...[-60, -48, -36, -24, -12, 0].map((db) => el("span", {}, number(db) + (db ? "" : " dB"))))),
    list);
  new ResizeObserver(() => { width = rows.length ? rows[0].line.clientWidth : 1; draw(); }).observe(list);
}

export function told(s) {
  state = s;
  while (rows.length > s.parts.length) rows.pop().item.remove();
  s.parts.forEach((p, i) => {
    const row = (rows[i] ??= add(i));
    put(row.name, p.name);
    const doubt = p.doubt ? ` Guessed: ${p.doubt}${p.else ? ` It may be ${p.else.join(" or ")}.` : ""}` : "";
    put(row.who, `${p.profile}, ${many(p.players, "player")}${p.place === "hall" ? "" : ", studio"}.${doubt}${p.fault ? " " + p.fault : ""}`);
    row.who.classList.toggle("wrong", Boolean(p.fault || p.doubt));
    put(row.button, p.side === "hidden" ? "not told" : p.side);
    row.button.disabled = p.side === "hidden";
    row.button.setAttribute("aria-pressed", p.side === "shaped");
    row.button.setAttribute("aria-label", p.side === "hidden" ? `${p.name}: not told in a blind test` : `${p.name} shaped`);
  });
  width = rows.length ? rows[0].line.clientWidth : 1;
}

function add(i) {
  const row = {
    name: el("h3"), who: el("p"), says: el("p", { class: "says" }),
    button: el("button", { type: "button", onclick: () => act("switch", { side: state.parts[i].side === "shaped" ? "raw" : "shaped", parts: [state.parts[i].name] }) }),
    ring: el("i"), dot: el("i", { class: "full" }), span: el("b"), phrase: el("u"), raw: softest, shaped: softest,
  };
  row.line = el("div", { class: "line", "aria-hidden": "true" }, row.phrase, row.span, row.ring, row.dot);
  row.item = el("li", { class: "part" }, el("div", {}, row.name, row.who), row.line, row.says, row.button);
  list.append(row.item);
  return row;
}

export function moved(n) {
  latest = n;
  const at = performance.now();
  if (at - spoken > (calm.matches ? 1000 : 400)) {
    spoken = at;
    n.parts.forEach((m, i) => {
      if (!rows[i]) return;
      put(rows[i].says, says(m, i));
      rows[i].item.classList.toggle("tune", n.tune === i && n.tune_sure >= 0.5);
    });
    if (calm.matches) draw();
  }
  if (!calm.matches && !drawing) {
    drawing = true;
    requestAnimationFrame(step);
  }
}

// says is what a part does, in words.
function says(m, i) {
  if (m.raw_db == null && m.shaped_db == null) return "silent";
  const words = [];
  if (m.raw_db != null && m.shaped_db != null) words.push(`${number(m.shaped_db)} dB, raw ${number(m.raw_db)}`);
  else words.push(m.shaped_db != null ? `${number(m.shaped_db)} dB` : `raw ${number(m.raw_db)} dB`);
  if (m.cents) words.push(`vibrato ${many(m.cents, "cent")}`);
  if (m.pedal >= 0.5) words.push("pedal down");
  else if (m.pedal > 0.1) words.push("pedal half down");
  const where = passage(m);
  if (where) words.push(where);
  if (m.heard === "covered") words.push(m.by != null && state.parts[m.by] ? `covered by ${state.parts[m.by].name}` : "too soft to be heard");
  return words.join(", ");
}

// passage is where a part is in its phrase, in words.
function passage(m) {
  if (m.through != null) return m.through < 1 / 3 ? "early in its phrase" : m.through < 2 / 3 ? "amid its phrase" : "late in its phrase";
  return m.phrase_s > 0 ? `${many(Math.round(m.phrase_s), "second")} into its phrase` : "";
}

// step draws one frame: marks glide to where they were last seen.
function step() {
  drawing = false;
  if (draw(0.35)) {
    drawing = true;
    requestAnimationFrame(step);
  }
}

function draw(part = 1) {
  let moving = false;
  if (!latest) return moving;
  latest.parts.forEach((m, i) => {
    const row = rows[i];
    if (!row) return;
    const on = m.raw_db != null || m.shaped_db != null;
    row.line.classList.toggle("on", on);
    row.phrase.style.transform = `scaleX(${on && m.through != null ? m.through : 0})`;
    if (!on) { row.raw = row.shaped = softest; return; }
    const raw = m.raw_db ?? m.shaped_db, shaped = m.shaped_db ?? m.raw_db;
    const near = (was, to) => (was === softest || Math.abs(to - was) < 0.1 ? to : (moving = true, was + (to - was) * part));
    row.raw = near(row.raw, raw);
    row.shaped = near(row.shaped, shaped);
    const x = (db) => Math.round(Math.max(0, Math.min(1, 1 - db / softest)) * (width - 18) + 9);
    const a = x(row.raw), b = x(row.shaped);
    row.ring.style.transform = `translateX(${a}px)`;
    row.dot.style.transform = `translateX(${b}px)`;
    row.span.style.transform = `translateX(${Math.min(a, b)}px) scaleX(${Math.abs(a - b)})`;
  });
  return moving;
}
