// What you hear: raw or shaped, by one large button, and hall or studio.
import { el, put } from "./words.js";

let state, act, button, side, next, place, note;

export function make(section, ask) {
  act = ask;
  side = el("span", { class: "side" });
  next = el("span");
  button = el("button", { class: "switch", type: "button", "aria-keyshortcuts": "s", onclick: turn }, side, next);
  place = el("button", { type: "button", "aria-keyshortcuts": "h", onclick: stand });
  note = el("p", { class: "quiet" });
  section.append(button, el("div", { class: "beside" }, place, note));
}

const names = { raw: "Raw", shaped: "Shaped", mixed: "Some raw, some shaped", hidden: "Not told" };

export function told(s) {
  state = s;
  put(side, names[s.side]);
  button.className = "switch " + s.side;
  button.disabled = s.side === "hidden";
  next.replaceChildren(s.side === "hidden" ? "A blind test is under way" : s.side === "shaped" ? "Hear it raw, as it came in " : "Hear it shaped, as players would ", ...(s.side === "hidden" ? [] : [el("kbd", {}, "S")]));
  place.replaceChildren(s.place === "hall" ? "In a hall. Go to the studio " : s.place === "studio" ? "In a studio. Go to the hall " : "Some in a hall. All to the hall ", el("kbd", {}, "H"));
  const delay = s.delay_ms ? `All sounds ${s.delay_ms} ms later than it comes in.` : "Nothing is delayed.";
  put(note, `${delay}${s.matched ? " Raw is lowered to be as loud as shaped." : ""}${s.simulated ? " The ports are simulated: nothing is heard." : ""}`);
}

// turn switches all parts over.
export function turn() {
  if (state && state.side !== "hidden") act("switch", { side: state.side === "shaped" ? "raw" : "shaped", parts: [] });
}

// stand has all parts stand in the other place.
export function stand() {
  if (state) act("place", { place: state.place === "hall" ? "studio" : "hall", parts: [] });
}
