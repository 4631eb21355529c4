// Raw against shaped at one level, and blind.
import * as loop from "./loop.js";
import { chance, el, many, put } from "./words.js";

let state, act, match, test, ready, begin, three, answers, score;

export function make(section, ask) {
  act = ask;
  match = el("input", { type: "checkbox", id: "match", onchange: () => act("match", { on: match.checked }) });
  three = ["a", "b", "x"].map((what) => el("button", { type: "button", "aria-keyshortcuts": what, onclick: () => play(what) },
    what.toUpperCase(), el("small", {}, { a: "raw", b: "shaped", x: "one of the two" }[what])));
  answers = ["a", "b"].map((what) => el("button", { type: "button", onclick: () => act("blind", { do: "answer", what }) }, `X is ${what.toUpperCase()}, ${what === "a" ? "raw" : "shaped"}`));
  score = el("p", { class: "score", role: "status" });
  begin = el("button", { type: "button", onclick: () => act("blind", { do: "begin" }) }, "Begin a blind test");
  ready = el("div", {}, begin);
  test = el("div", { hidden: true }, el("div", { class: "three" }, ...three),
    el("p", {}, "Which one is X?"), el("div", { class: "beside" }, ...answers), score,
    el("p", {}, el("button", { type: "button", onclick: () => act("blind", { do: "end" }) }, "End the test")));
  loop.make(section, ask);
  section.append(
    el("p", {}, el("label", {}, match, " Compare at one level")),
    el("p", { class: "quiet" }, "What is louder is easily taken for better. Raw is lowered by as much as it is louder, by ITU-R BS.1770, modelled over what has been played; it takes a second and a half of music, and then glides."),
    el("h3", {}, "Can you tell, without knowing which is which?"),
    el("p", {}, "A is raw, B is shaped, both equally loud. X is one of them, drawn anew after each answer. Listen as often as you like, then answer. Every part plays the same side meanwhile."),
    ready, test);
}

export function told(s) {
  state = s;
  loop.told(s);
  match.checked = s.matched;
  const b = s.blind;
  match.disabled = Boolean(b);
  ready.hidden = Boolean(b);
  test.hidden = !b;
  if (!b) return;
  three.forEach((button, i) => button.setAttribute("aria-pressed", "abx"[i] === b.playing));
  put(score, b.trials ? `${b.last === "right" ? "Right." : "Wrong."} ${b.right} right of ${many(b.trials, "answer")}. By guessing alone, as many or more are right ${chance(b.chance)}.` : "No answer yet.");
}

export const moved = (n) => loop.moved(n);

// play has A, B or X of the blind test sound.
export function play(what) {
  if (state?.blind) act("blind", { do: "play", what });
}
