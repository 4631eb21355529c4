// How it runs, in words.
import { el, put, number } from "./words.js";

let act, lines, facts, delay;

export function make(section, ask) {
  act = ask;
  lines = el("ul", { class: "lines" });
  facts = el("dl");
  delay = el("input", { type: "range", id: "delay", min: 0, max: 3000, step: 50, "aria-describedby": "delay-why", onchange: () => act("lookahead", { ms: Number(delay.value) }) });
  section.append(lines, facts,
    el("div", { class: "fields" }, el("label", { for: "delay" }, "Look ahead by so many milliseconds", delay)),
    el("p", { id: "delay-why", class: "quiet" }, "Players who hear what follows play the end of a phrase otherwise than its middle. All sounds later by that much, raw and shaped alike."),
    el("button", { type: "button", onclick: () => act("panic", {}) }, "Silence everything"));
}

export function told(s) {
  lines.replaceChildren(...s.health.map((r) => el("li", { class: r.good ? "" : "wrong" }, r.text)));
  const knows = { none: "nothing of what follows", lookahead: "the next notes, by the lookahead", score: "the whole piece, by its score" };
  const list = [
    ["Players know", knows[s.grade]],
    ["Delay in use", `${number(s.delay_ms)} ms of ${number(s.lookahead_ms)} ms asked for`],
    ["The sequence", `${s.transport}: ${s.why}`],
  ];
  if (s.beat) list.push(["The beat", `${s.beat.a_minute} a minute by the ${s.beat.by}, ${Math.round(s.beat.sure * 100)} % sure`]);
  const raw = s.parts.filter((p) => p.fault).map((p) => `${p.name}: ${p.fault}`);
  if (raw.length) list.push(["Play raw by a fault", raw.join("; ")]);
  facts.replaceChildren(...list.flatMap(([name, text]) => [el("dt", {}, name), el("dd", {}, text)]));
  if (document.activeElement !== delay) delay.value = s.lookahead_ms;
  delay.setAttribute("aria-valuetext", `${s.lookahead_ms} milliseconds`);
}
