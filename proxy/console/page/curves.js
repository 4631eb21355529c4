// Curves whose points are dragged, or moved by the arrow keys.
import { drawn, el, number, put } from "./words.js";

const wide = 400, high = 240, left = 34, low = 26; // of the drawing
const all = new Map();

// show draws curves, and says when one was changed.
export function show(into, curves, changed) {
  for (const c of curves) {
    let view = into.childElementCount ? all.get(c.key) : null;
    if (!view) all.set(c.key, (view = make(into, c)));
    view.changed = changed;
    if (view.drag == null) view.put(c);
  }
}

function make(into, c) {
  const x = (v) => left + (v / 127) * (wide - left - 8);
  const y = (v) => 8 + ((c.most - v) / (c.most - c.least)) * (high - low - 8);
  const line = drawn("path", { class: "curve" }), saved = drawn("path", { class: "curve saved" }), dots = drawn("g");
  const svg = drawn("svg", { viewBox: `0 0 ${wide} ${high}`, role: "group", "aria-label": c.name });
  for (let db = Math.ceil(c.least / 10) * 10; db <= c.most; db += 10) {
    svg.append(drawn("path", { class: "grid", d: `M${left} ${y(db)}H${wide - 8}` }), drawn("text", { x: left - 5, y: y(db) + 3.5, class: "end" }, number(db)));
  }
  for (const v of [0, 32, 64, 96, 127]) svg.append(drawn("text", { x: x(v), y: high - 10 }, v));
  svg.append(saved, line, dots);
  const says = el("p", { class: "quiet", role: "status" });
  into.append(el("figure", {}, el("figcaption", {}, el("strong", {}, c.name), el("span", { class: "quiet" }, " " + c.about)), svg, says));
  const view = { drag: null, points: [], changed: null };

  const words = ([px, py]) => `${c.x} ${number(px)}, ${number(py, 1)} ${c.y}`;
  const path = (points) => "M" + points.map(([px, py]) => `${x(px).toFixed(1)} ${y(py).toFixed(1)}`).join("L");

  // move takes one point as far as its neighbours let it: curves rise.
  function move(i, px, py) {
    const p = view.points, before = p[i - 1], after = p[i + 1];
    px = Math.round(Math.max(before ? before[0] + 1 : 0, Math.min(after ? after[0] - 1 : 127, px)));
    if (!before || !after) px = p[i][0]; // the ends stay where they are
    py = Math.round(Math.max(before ? before[1] : c.least, Math.min(after ? after[1] : c.most, py)) * 10) / 10;
    p[i] = [px, py];
    draw();
    put(says, words(p[i]));
  }

  function draw() {
    line.setAttribute("d", path(view.points));
    view.points.forEach((p, i) => {
      const dot = dots.children[i] || dots.appendChild(point(i));
      dot.setAttribute("cx", x(p[0]));
      dot.setAttribute("cy", y(p[1]));
      dot.setAttribute("aria-valuenow", p[1]);
      dot.setAttribute("aria-valuetext", words(p));
    });
    while (dots.children.length > view.points.length) dots.lastChild.remove();
  }

  function point(i) {
    const dot = drawn("circle", { r: 7, tabindex: 0, role: "slider", "aria-label": `Point ${i + 1} of ${c.name}`, "aria-valuemin": c.least, "aria-valuemax": c.most });
    dot.addEventListener("keydown", (e) => {
      const by = { ArrowUp: [0, 0.5], ArrowDown: [0, -0.5], ArrowLeft: [-1, 0], ArrowRight: [1, 0], PageUp: [0, 3], PageDown: [0, -3] }[e.key];
      if (!by) return;
      e.preventDefault();
      move(i, view.points[i][0] + by[0], view.points[i][1] + by[1]);
      view.changed(c.key, view.points);
    });
    dot.addEventListener("pointerdown", (e) => { dot.setPointerCapture(e.pointerId); view.drag = i; });
    dot.addEventListener("pointermove", (e) => {
      if (view.drag !== i) return;
      const box = svg.getBoundingClientRect(), k = wide / box.width;
      move(i, (((e.clientX - box.left) * k - left) / (wide - left - 8)) * 127, c.most - (((e.clientY - box.top) * k - 8) / (high - low - 8)) * (c.most - c.least));
    });
    const end = () => { if (view.drag === i) { view.drag = null; view.changed(c.key, view.points); } };
    dot.addEventListener("pointerup", end);
    dot.addEventListener("pointercancel", end);
    return dot;
  }

  view.put = (now) => {
    view.points = now.points.map((p) => [...p]);
    saved.setAttribute("d", path(now.saved));
    draw();
  };
  return view;
}
