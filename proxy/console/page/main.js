// The page: who is let in, which view is open, which keys there are.
import { entered, enter, forget, fromAddress, listen, post } from "./link.js";
import { recall, remember } from "./recall.js";
import { el, put } from "./words.js";
import * as sides from "./sides.js";
import * as now from "./now.js";
import * as stage from "./stage.js";
import * as compare from "./compare.js";
import * as adjust from "./adjust.js";
import * as health from "./health.js";

const $ = (id) => document.getElementById(id);
const views = [["now", "Parts", now], ["stage", "In the hall", stage], ["compare", "Compare", compare], ["adjust", "Adjust", adjust], ["health", "How it runs", health]];
let state = null, piece = null;

// act asks the daemon, and says what it has against it.
async function act(path, body) {
  try {
    return await post(path, body);
  } catch (e) {
    if (e.status === 401) askForAddress();
    else say(e instanceof TypeError ? "swellbox does not answer." : e.message);
  }
}

let quiet;
function say(text) {
  put($("said"), text);
  clearTimeout(quiet);
  quiet = setTimeout(() => put($("said"), ""), 6000);
}

function open(name) {
  for (const [id] of views) {
    $(id).hidden = id !== name;
    $("to-" + id).toggleAttribute("aria-current", id === name);
  }
  if (state) told(state);
}

// choose opens a view for a person, and for the next time.
function choose(name) {
  open(name);
  if (state) remember(piece, { view: name });
}

// begin has open what was open last for a piece.
function begin(name) {
  piece = name;
  const last = recall(piece);
  adjust.begin(last.profile, (profile) => remember(piece, { profile }));
  if (views.some(([id]) => id === last.view)) open(last.view);
}

function told(s) {
  state = s;
  if (piece !== (s.piece || "")) begin(s.piece || "");
  put($("piece"), s.piece || "swellbox");
  document.title = `${s.side === "hidden" ? "blind test" : s.side} · ${s.piece || "swellbox"}`;
  sides.told(s);
  for (const [id, , view] of views) if (!$(id).hidden) view.told(s);
}

function moved(n) {
  if (!state) return;
  const sure = n.sure < 0.95 ? `, ${Math.round(n.sure * 100)} % sure` : "";
  if (n.bar) {
    if (!$("bar")) $("position").replaceChildren("Bar ", el("strong", { id: "bar" }), el("span", { id: "beat" }));
    put($("bar"), String(n.bar));
    put($("beat"), `, beat ${Math.floor(n.beat)}${sure}`);
  } else {
    put($("position"), state.beat ? `${state.beat.a_minute} beats a minute by the ${state.beat.by}, ${Math.round(state.beat.sure * 100)} % sure` : "Bar and beat are not known.");
  }
  for (const [id, , view] of views) if (!$(id).hidden && view.moved) view.moved(n, state);
}

function askForAddress() {
  forget();
  $("open").hidden = true;
  $("enter").hidden = false;
  put($("link"), "");
  $("token").focus();
}

async function start(token) {
  if (token) {
    try {
      await enter(token);
    } catch (e) {
      put($("refused"), e.status === 401 ? "That is not the token of the swellbox that runs now." : e.message);
      return askForAddress();
    }
  }
  if (!entered()) return askForAddress();
  put($("refused"), "");
  $("enter").hidden = true;
  listen({
    up() { put($("link"), ""); $("open").hidden = false; },
    down(why) { put($("link"), why); },
    refused: askForAddress,
    state: told,
    now: moved,
  });
}

const keys = {
  s: () => sides.turn(),
  h: () => sides.stand(),
  a: () => compare.play("a"), b: () => compare.play("b"), x: () => compare.play("x"),
};
document.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey || e.target.matches("select, textarea, input:not([type=range], [type=checkbox])")) return;
  const view = views[Number(e.key) - 1];
  if (view) choose(view[0]);
  else if (state && keys[e.key]) keys[e.key]();
  else return;
  e.preventDefault();
});

views.forEach(([id, name], i) => {
  $("views").append(el("button", { id: "to-" + id, type: "button", "aria-keyshortcuts": i + 1, onclick: () => choose(id) }, name));
});
sides.make($("sides"), act);
for (const [id, , view] of views) view.make($(id), act);
open("now");
$("enter").addEventListener("submit", (e) => { e.preventDefault(); start($("token").value); });
start(fromAddress());
