// The parts at their seats, as large as they are loud where the listener sits.
import { calm, drawn, el, many, number, put } from "./words.js";

// How far back a part can be put, m.
const depth = 13;

let act, svg, seats = [], floor, listener, room, row, rowSays, body, all, last = 0, key = "", dragged = -1, sending = -1, waiting = null;

export function make(section, ask) {
  act = ask;
  svg = drawn("svg", { viewBox: "-13 -20 26 26", role: "group", "aria-label": "The parts at their seats, seen from above; the table beside it says how each is heard" });
  room = el("select", { id: "room", onchange: sit }, ...[["chamber", "chamber room"], ["mid", "mid-sized hall"], ["large", "large hall"]].map(([value, name]) => el("option", { value }, name)));
  row = el("input", { type: "range", id: "row", min: 0, max: 50, step: 1, oninput: sit });
  rowSays = el("span");
  body = el("tbody");
  all = el("p");
  section.append(
    el("p", { class: "quiet" }, "How the notes as they are written would reach a listener in a hall, by an acoustic model: power and spectrum of the instruments, their seats, the room, masking. Drag a part to another seat, or go to it and use the arrow keys, and it is heard from there: louder or softer in the hall, by as much as the model has it for this listener. Home takes it back."),
    el("div", { class: "fields" }, el("label", { for: "room" }, "Room", room), el("label", { for: "row" }, rowSays, row)),
    el("div", { class: "hall" }, svg, el("div", {}, all, el("table", {}, el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "Part"), el("th", { scope: "col" }, "At the listener"), el("th", { scope: "col" }, "Is"))), body))));
}

function sit() {
  act("listener", { room: room.value, row: Number(row.value) });
  places(Number(row.value));
}

const places = (n) => put(rowSays, n === 0 ? "Listener: at the conductor’s place" : `Listener: row ${n}`);

export function told(s) {
  if (document.activeElement !== room) room.value = s.hall.room;
  if (document.activeElement !== row) row.value = s.hall.row;
  places(Number(row.value));
  row.setAttribute("aria-valuetext", s.hall.row === 0 ? "at the conductor's place" : "row " + s.hall.row);
  const now = JSON.stringify([s.hall, s.parts.map((p) => [p.name, p.modelled])]);
  if (now === key) return settle(s);
  key = now;
  // Parts that share a seat stand side by side.
  const together = new Map();
  s.parts.forEach((p, i) => {
    if (!p.modelled) return;
    const at = p.x + "," + p.y;
    together.set(at, [...(together.get(at) || []), i]);
  });
  const deep = depth + 1.5;
  const front = Math.max(-s.hall.y, 3);
  const shown = Math.min(front, 8); // a far row is drawn at the picture's edge, with its distance
  svg.setAttribute("viewBox", `-13 ${-deep} 26 ${deep + shown + 2.5}`);
  svg.replaceChildren(
    drawn("path", { class: "floor", d: `M-10 1.5 L-12.5 ${-deep + 0.5} L12.5 ${-deep + 0.5} L10 1.5 Z` }),
    drawn("circle", { class: "listener", cx: 0, cy: shown, r: 0.6 }),
    drawn("text", { x: 0, y: shown + 1.6 }, s.hall.row === 0 ? "listener, at the conductor’s place" : `listener, ${number(front, 0)} m from the conductor`));
  seats = [];
  body.replaceChildren();
  s.parts.forEach((p, i) => {
    const line = { says: el("td"), is: el("td") };
    body.append(el("tr", {}, el("th", { scope: "row" }, el("span", { class: "quiet" }, `${i + 1} `), p.name), line.says, line.is));
    seats[i] = line;
    if (!p.modelled) return put(line.is, "not known to the model");
    const with_ = together.get(p.x + "," + p.y), k = with_.indexOf(i);
    line.x = p.x;
    line.y = p.y;
    line.beside = (k - (with_.length - 1) / 2) * 1.4;
    line.circle = drawn("circle", { r: 0.3 });
    line.group = drawn("g", { class: "seat", tabindex: 0, role: "button" }, line.circle, drawn("text", { y: 0.24 }, i + 1), drawn("title", {}, p.name));
    line.group.addEventListener("keydown", (e) => byKey(e, i));
    line.group.addEventListener("pointerdown", (e) => { line.group.setPointerCapture(e.pointerId); dragged = i; });
    line.group.addEventListener("pointermove", (e) => {
      if (dragged !== i) return;
      const at = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
      go(i, at.x - line.beside, -at.y);
    });
    for (const end of ["pointerup", "pointercancel"]) line.group.addEventListener(end, () => { dragged = -1; });
    svg.append(line.group);
  });
  part();
  settle(s);
}

// part has what stands too near to each other to be told apart stand a little aside.
function part() {
  const near = 1, all = seats.filter((line) => line.group);
  for (let round = 0; round < 20; round++) {
    for (const a of all) {
      for (const b of all) {
        const dx = b.x + b.beside - a.x - a.beside;
        if (a === b || dx < 0 || dx >= near || Math.abs(a.y - b.y) >= near) continue;
        a.beside -= (near - dx) / 2;
        b.beside += (near - dx) / 2;
      }
    }
  }
}

// settle puts each part on its seat, but for one that is under the hand.
function settle(s) {
  s.parts.forEach((p, i) => {
    const line = seats[i];
    if (!line?.group || i === dragged || i === sending) return;
    line.x = p.x;
    line.y = p.y;
    place(line);
    const side = p.x === 0 ? "" : `${number(Math.abs(p.x), 1)} metres to the ${p.x > 0 ? "right" : "left"}, `;
    line.group.setAttribute("aria-label", `${i + 1}, ${p.name}, ${side}${number(p.y, 1)} metres behind the conductor${p.moved ? ", moved" : ""}`);
    line.group.classList.toggle("moved", p.moved);
  });
}

const place = (line) => line.group.setAttribute("transform", `translate(${(line.x + line.beside).toFixed(2)} ${(-line.y).toFixed(2)})`);

function byKey(e, i) {
  const by = { ArrowLeft: [-0.5, 0], ArrowRight: [0.5, 0], ArrowUp: [0, 0.5], ArrowDown: [0, -0.5] }[e.key];
  if (by) go(i, seats[i].x + by[0], seats[i].y + by[1]);
  else if (e.key === "Home") send({ part: i, usual: true });
  else return;
  e.preventDefault();
}

// go has a part sit elsewhere on the stage.
function go(i, x, y) {
  const line = seats[i];
  line.x = Math.max(-11, Math.min(11, x));
  line.y = Math.max(0, Math.min(depth, y));
  place(line);
  send({ part: i, x: Math.round(line.x * 10) / 10, y: Math.round(line.y * 10) / 10 });
}

// send asks for one seat after the other; of those that come meanwhile, the latest.
async function send(seat) {
  waiting = seat;
  if (sending >= 0) return;
  while (waiting) {
    const now = waiting;
    waiting = null;
    sending = now.part;
    await act("seat", now);
  }
  sending = -1;
}

export function moved(n, s) {
  const at = performance.now();
  if (at - last < (calm.matches ? 1000 : 150)) return;
  last = at;
  put(all, n.level_db ? `All together ${number(n.level_db)} dB(A) at the listener.` : "Nothing sounds.");
  n.parts.forEach((m, i) => {
    const line = seats[i];
    if (!line?.group) return;
    const db = m.level_db || 0;
    line.circle.setAttribute("r", m.heard ? Math.max(0.4, (db - 20) / 35).toFixed(2) : 0.4);
    line.group.classList.toggle("covered", m.heard === "covered");
    line.group.classList.toggle("sounds", Boolean(m.heard) && m.heard !== "covered");
    put(line.says, m.heard ? `${number(db)} dB` : "");
    put(line.is, m.heard === "covered" && m.by != null ? `covered by ${s.parts[m.by].name}` : m.heard || "silent");
  });
}
