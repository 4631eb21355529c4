// What the page says to the daemon and hears from it.

const keep = "swellbox.pass";
let pass = sessionStorage.getItem(keep) || "";

// post asks the daemon to do something, and throws what it says against it.
export async function post(path, body, secret = pass) {
  const answer = await fetch("api/" + path, {
    method: "POST", body: JSON.stringify(body),
    headers: { "Content-Type": "application/json", Authorization: "Bearer " + secret },
  });
  const said = await answer.json().catch(() => ({}));
  if (!answer.ok) throw Object.assign(new Error(said.error || "swellbox answers " + answer.status), { status: answer.status });
  return said;
}

// enter gets the pass for the token that stands in an address, or by itself.
export async function enter(said) {
  const token = said.trim().replace(/^.*#/, "");
  pass = (await post("enter", {}, token)).pass;
  sessionStorage.setItem(keep, pass);
}

// fromAddress takes the token out of the address, so that it stands in no history.
export function fromAddress() {
  const token = location.hash.slice(1);
  if (token) history.replaceState(null, "", location.pathname);
  return token;
}

export const entered = () => pass !== "";

export function forget() {
  pass = "";
  sessionStorage.removeItem(keep);
}

// listen hands on what the daemon tells, for as long as the page is seen, and finds it again after
// a restart. on has a function for each kind of message, and up, down and refused.
export async function listen(on) {
  for (let wait = 500; ; wait = Math.min(wait * 1.5, 4000)) {
    if (document.hidden) await new Promise((seen) => document.addEventListener("visibilitychange", seen, { once: true }));
    if (document.hidden) continue;
    const stop = new AbortController();
    const away = () => document.hidden && stop.abort();
    document.addEventListener("visibilitychange", away);
    try {
      const answer = await fetch("api/stream", { headers: { Authorization: "Bearer " + pass }, signal: stop.signal });
      if (answer.status === 401) return on.refused();
      if (!answer.ok) throw new Error((await answer.json()).error);
      on.up();
      wait = 500;
      await read(answer.body, on);
      on.down("swellbox has ended. This page waits for it to start again.");
    } catch (e) {
      if (!stop.signal.aborted) on.down(e instanceof TypeError ? "swellbox does not answer. This page waits for it to start again." : e.message);
    } finally {
      document.removeEventListener("visibilitychange", away);
    }
    if (!document.hidden) await new Promise((done) => setTimeout(done, wait));
  }
}

// read cuts a stream of server-sent events into messages.
async function read(body, on) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  for (let text = ""; ; ) {
    const { value, done } = await reader.read();
    if (done) return;
    text += value;
    for (let end; (end = text.indexOf("\n\n")) >= 0; text = text.slice(end + 2)) {
      const [, kind, data] = /^event: (\w+)\ndata: (.*)$/.exec(text.slice(0, end)) || [];
      if (kind in on) on[kind](JSON.parse(data));
    }
  }
}
