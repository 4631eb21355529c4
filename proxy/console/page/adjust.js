// How much of each habit a part's players have, and its curves: heard at once, saved when it is good.
import * as curves from "./curves.js";
import { el, many, number, put } from "./words.js";

let others, ask, state, which, with_, undo, redo, discard, note, save, changes, list, drawn, where, shown = null, rows = new Map(), busy = false, next = null, last = "", chosen = () => {};

export function make(section, act) {
  ask = act;
  which = el("select", { id: "which", onchange: () => { chosen(which.value); step({ do: "look" }); } });
  with_ = el("p", { class: "quiet" });
  undo = el("button", { type: "button", onclick: () => step({ do: "undo" }) }, "Undo");
  redo = el("button", { type: "button", onclick: () => step({ do: "redo" }) }, "Redo");
  discard = el("button", { type: "button", onclick: () => step({ do: "discard" }) }, "Back to what is saved");
  note = el("input", { id: "note", maxlength: 200 });
  save = el("form", { class: "fields", onsubmit: (e) => { e.preventDefault(); step({ do: "save", note: note.value }); note.value = ""; } },
    el("label", { for: "note" }, "What it is for, in your words", note), el("button", {}, "Save as a new version"));
  changes = el("ul", { class: "changes" });
  where = el("p", { class: "quiet" });
  list = el("ul", { class: "habits" });
  others = el("ul", { class: "habits" });
  drawn = el("div", { class: "curves" });
  section.append(
    el("div", { class: "fields" }, el("label", { for: "which" }, "The profile", which), undo, redo, discard), with_,
    el("div", { class: "bench" },
      el("div", {}, el("h3", {}, "How much of each habit"), el("p", { class: "quiet" }, "0 is none, 1 is as players were measured to do it, 2 is twice that. It is heard with the next note."), list,
        el("details", {}, el("summary", {}, "Habits of which it has none"), others),
        el("h3", {}, "Curves"), el("p", { class: "quiet" }, "Drag a point, or go to it and use the arrow keys."), drawn),
      el("div", { class: "beside-bench" }, el("h3", {}, "What is different"), changes, save, where)));
}

// begin has a profile chosen that was so last, and says which one is from then on.
export function begin(profile, told) {
  last = profile;
  chosen = told;
}

export function told(s) {
  state = s;
  const names = [...new Map(s.parts.map((p) => [p.profile, s.parts.filter((q) => q.profile === p.profile).map((q) => q.name)]))];
  if (JSON.stringify(names) !== which.dataset.names) {
    const was = which.value || last;
    which.dataset.names = JSON.stringify(names);
    which.replaceChildren(...names.map(([name, parts]) => el("option", { value: name }, `${name}: ${parts.join(", ")}`)));
    if (names.some(([name]) => name === was)) which.value = was;
  }
  if (!shown && which.value) step({ do: "look" });
}

// step asks for one step after the other; of those that come while one is under way, the latest.
async function step(what) {
  next = { name: which.value, ...what };
  if (busy) return;
  busy = true;
  while (next) {
    const now = next;
    next = null;
    const told = await ask("adjust", now);
    if (told) show(told);
    else if (shown && !next) show(shown); // what was refused goes back
  }
  busy = false;
}

function show(a) {
  const other = shown?.name !== a.name;
  shown = a;
  list.dataset.of = a.name;
  undo.disabled = !a.undo;
  redo.disabled = !a.redo;
  discard.disabled = !a.undo;
  const parts = state.parts.filter((p) => p.profile === a.name).map((p) => p.name);
  put(with_, parts.length > 1 ? `It changes ${many(parts.length, "part")}: ${parts.join(", ")}.` : "");
  put(where, a.undo || a.changes.length ? `It would be saved in ${a.where}. Until then it is heard, and nothing is written.` : "");
  save.hidden = a.changes.length === 0;
  changes.replaceChildren(...(a.changes.length ? a.changes.map((c) => el("li", {}, c)) : [el("li", { class: "none" }, "nothing, as it is saved")]));
  if (other) { list.replaceChildren(); others.replaceChildren(); rows.clear(); drawn.replaceChildren(); }
  for (const h of a.habits) {
    let row = rows.get(h.key);
    if (!row) {
      row = { says: el("span", { class: "says" }) };
      row.range = el("input", {
        type: "range", id: "habit-" + h.key, min: 0, max: 2, step: 0.05, "aria-describedby": "about-" + h.key,
        oninput: () => { tell(row, Number(row.range.value), h.saved); step({ do: "amount", key: h.key, amount: Number(row.range.value), going: true }); },
        onchange: () => step({ do: "amount", key: h.key, amount: Number(row.range.value) }),
      });
      (h.amount || h.saved ? list : others).append(el("li", {}, el("label", { for: "habit-" + h.key }, h.name), row.says, row.range, el("p", { id: "about-" + h.key }, h.sentence)));
      rows.set(h.key, row);
    }
    if (!next) {
      row.range.value = h.amount;
      tell(row, h.amount, h.saved);
    }
  }
  curves.show(drawn, a.curves, (key, points) => step({ do: "curve", key, points }));
}

function tell(row, amount, saved) {
  const words = number(amount, 2).replace(/\.?0+$/, "");
  put(row.says, amount === saved ? words : `${words}, saved ${number(saved, 2).replace(/\.?0+$/, "")}`);
  row.range.setAttribute("aria-valuetext", words);
}
