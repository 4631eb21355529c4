// Uses the page as a person would, and prints what is wrong, a line each. Two addresses may follow each other:
// the second is that of the same daemon started anew.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createInterface } from "node:readline";
const [modules, browserPath, address, pictures] = process.argv.slice(2);
const require = createRequire(modules + "/");
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
const tell = (kind, text) => console.log(JSON.stringify({ kind, text }));
const wrong = (text) => tell("wrong", text);
const limit = 60000; // only a hang meets it
const views = ["now", "stage", "compare", "adjust", "health"];

const browser = await chromium.launch({
  executablePath: browserPath,
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--no-first-run"],
});

async function open(options) {
  const context = await browser.newContext({ bypassCSP: false, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(limit);
  page.on("pageerror", (e) => wrong("the page fails: " + e.message));
  page.on("console", (m) => { if (m.type() === "error" && !/net::|401|409|503/.test(m.text()) && !page.url().includes("evil")) wrong("the page complains: " + m.text()); });
  return page;
}

// as waits until the page is as a function has it.
const as = (page, is, arg) => page.waitForFunction(is, arg, { timeout: limit });
const says = (page, text) => as(page, (t) => document.body.innerText.includes(t), text);

async function looked(page, name) {
  for (const view of views) {
    if (!(await page.$("#to-" + view))) continue;
    await page.click("#to-" + view);
    await as(page, (v) => !document.getElementById(v).hidden, view);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (over > 0) wrong(`${name}: ${view} is wider than the window by ${over} pixels`);
    const small = await page.evaluate(() => [...document.querySelectorAll("button, select")].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 43).map((e) => e.textContent));
    if (small.length) wrong(`${name}: ${view} has targets that are too small: ${small}`);
    if (pictures) await page.screenshot({ path: `${pictures}/${view}-${name}.png`, fullPage: name === "390" });
  }
  await page.click("#to-now");
}

// sound runs axe, which the browser itself evaluates: the page's policy forbids it to the page.
async function sound(page, name) {
  for (const view of views) {
    if (!(await page.$("#to-" + view))) continue;
    await page.click("#to-" + view);
    if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe);
    const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
    for (const v of found.violations) {
      wrong(`${name}: ${view}: axe has a ${v.impact} finding, ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120) + " " + n.failureSummary.slice(0, 200)).join(" | ")}`);
    }
  }
  await page.click("#to-now");
}

// manyParts has a hundred parts move on a page that hears from no daemon. A frame in which only levels move is cheap on any
// machine: it lays nothing out and moves four marks a part, by transforms alone (twice where
// two drawings fall between two looks of ours). How long it takes is told, not judged.
async function manyParts(address) {
  const parts = 100, frames = 60;
  const page = await open({ viewport: { width: 1600, height: 1000 } });
  await page.goto(address.replace(/#.*/, ""));
  await page.evaluate(async (parts) => {
    const now = await import("./now.js");
    document.getElementById("enter").hidden = true;
    document.getElementById("open").hidden = false;
    now.told({ parts: Array.from({ length: parts }, (_, i) => ({ name: `Part ${i + 1}`, profile: "violas", players: 8, side: "shaped", place: "hall" })) });
    // level is where all parts are at a look, dB.
    const look = (level) => now.moved({ tune: 0, tune_sure: 1, parts: Array.from({ length: parts }, (_, i) => ({ raw_db: level - 20 + (i % 7), shaped_db: level - 30 + (i % 11), cents: 20, through: (level + 20) / 50 })) });
    const frame = () => new Promise((done) => requestAnimationFrame(done));
    look(0);
    await frame();
    await frame();
    window.run = async (frames) => {
      const changes = [];
      const watch = new MutationObserver((all) => changes.push(...all));
      watch.observe(document.getElementById("now"), { subtree: true, childList: true, characterData: true, attributes: true });
      const words = () => changes.filter((c) => c.type !== "attributes").length;
      let most = 0, took = 0, still = 0;
      for (let i = 0; i < frames; i++) {
        const before = changes.length, spoken = words();
        if (i % 3 === 0) look(10 * Math.sin(i / 5)); // the daemon tells twenty times a second
        const begun = performance.now();
        await frame();
        changes.push(...watch.takeRecords());
        if (words() > spoken) continue; // its words change now and then, and may be laid out
        took = Math.max(took, performance.now() - begun);
        most = Math.max(most, changes.length - before);
        still++;
      }
      watch.disconnect();
      return { most, still, took, marks: document.querySelectorAll(".line.on").length };
    };
  }, parts);
  const cdp = await page.context().newCDPSession(page);
  await cdp.send("Performance.enable");
  const laidOut = async () => (await cdp.send("Performance.getMetrics")).metrics.find((m) => m.name === "LayoutCount").value;
  const before = await laidOut();
  const got = await page.evaluate((frames) => window.run(frames), frames);
  const layouts = (await laidOut()) - before;
  if (got.still < frames / 4) wrong(`of ${frames} frames only ${got.still} moved levels alone`);
  if (got.most < 2 * parts) wrong(`${parts} parts move, and only ${got.most} marks do: this measures nothing`);
  if (got.marks !== parts) wrong(`${got.marks} of ${parts} parts are drawn`);
  if (got.most > 2 * 4 * parts) wrong(`a frame changes ${got.most} things for ${parts} parts`);
  if (layouts > frames - got.still + 2) wrong(`${layouts} layouts in ${frames} frames, of which ${frames - got.still} had words change`);
  tell("measured", `${parts} parts: ${got.most} changes a frame at most, ${layouts} layouts in ${frames} frames, ${frames - got.still} of which had words change; the longest other frame took ${got.took.toFixed(1)} ms`);
}

try {
  const page = await open({ viewport: { width: 1600, height: 1000 }, colorScheme: "light" });
  await page.goto(address);
  await says(page, "Violins I");
  if (page.url().includes("#")) wrong("the token stays in the address");

  // Music moves what is seen, and who has the tune is told.
  await as(page, () => /−\d+ dB, raw −\d+/.test(document.querySelector(".parts").innerText));
  await as(page, () => document.querySelector(".part.tune") !== null);
  await as(page, () => /(early in|amid|late in) its phrase/.test(document.querySelector(".parts").innerText) && [...document.querySelectorAll(".line.on u")].some((e) => !/scaleX\(0\)/.test(e.style.transform)));
  await as(page, () => /Bar \d+, beat \d/.test(document.getElementById("position").innerText));
  const marks = () => [...document.querySelectorAll(".line.on .full")].map((e) => e.style.transform).join();
  const before = await page.evaluate(marks);
  await as(page, (was) => { const now = [...document.querySelectorAll(".line.on .full")].map((e) => e.style.transform).join(); return now && now !== was; }, before);

  // By keys alone: raw and shaped, hall and studio, the views, one part.
  await page.keyboard.press("s");
  await as(page, () => document.querySelector(".side").innerText === "Raw");
  await page.keyboard.press("s");
  await as(page, () => document.querySelector(".side").innerText === "Shaped");
  await page.keyboard.press("h");
  await says(page, "In a studio");
  await page.keyboard.press("h");
  await says(page, "In a hall");
  await page.getByRole("button", { name: "Violas shaped", exact: true }).focus();
  await page.keyboard.press("Enter");
  await as(page, () => document.querySelector(".side").innerText === "Some raw, some shaped");
  await page.keyboard.press("s");
  await as(page, () => document.querySelector(".side").innerText === "Shaped");

  // In the hall.
  await page.keyboard.press("2");
  await as(page, () => document.querySelector(".seat.sounds") !== null && /\d dB\(A\)/.test(document.getElementById("stage").innerText));
  await page.getByRole("slider", { name: /Listener/ }).focus();
  await page.keyboard.press("Home");
  await says(page, "listener, at the conductor’s place");

  // A part sits elsewhere, by keys and by mouse, and goes back.
  const seat = page.getByRole("button", { name: /, Violas, / });
  await seat.focus();
  await page.keyboard.press("ArrowUp");
  await as(page, () => document.querySelectorAll(".seat.moved").length === 1);
  await page.keyboard.press("Home");
  await as(page, () => document.querySelectorAll(".seat.moved").length === 0);
  const spot = await seat.locator("circle").boundingBox();
  await page.mouse.move(spot.x + spot.width / 2, spot.y + spot.height / 2);
  await page.mouse.down();
  await page.mouse.move(spot.x + 60, spot.y - 40, { steps: 3 });
  await page.mouse.up();
  await as(page, () => document.querySelectorAll(".seat.moved").length === 1);

  // Some bars over and over, by dragging and by number, and the whole piece again.
  await page.keyboard.press("3");
  const strip = await page.locator(".strip").boundingBox();
  await page.mouse.move(strip.x + strip.width * 0.62, strip.y + 20);
  await page.mouse.down();
  await page.mouse.move(strip.x + strip.width * 0.72, strip.y + 20, { steps: 3 });
  await page.mouse.up();
  await says(page, "Bars 19–22 of 30, over and over");
  await as(page, () => /Bar (19|2[0-2]),/.test(document.getElementById("position").innerText));
  await page.getByLabel("First bar").fill("3");
  await page.getByLabel("Last bar").fill("4");
  await page.keyboard.press("Enter");
  await says(page, "Bars 3–4 of 30, over and over");
  await as(page, () => /Bar [34],/.test(document.getElementById("position").innerText));
  await page.getByLabel("Last bar").fill("2");
  await page.keyboard.press("Enter");
  await says(page, "the last is not before the first");
  await page.getByRole("button", { name: "All of them" }).click();
  await says(page, "Bars 1–30 of 30, over and over");

  // A blind test, by keys.
  await page.getByRole("button", { name: "Begin a blind test" }).click();
  await as(page, () => document.querySelector(".side").innerText === "Not told");
  for (let i = 1; i <= 3; i++) {
    await page.keyboard.press("x");
    await as(page, () => document.querySelector('.three [aria-keyshortcuts="x"]').getAttribute("aria-pressed") === "true");
    await page.getByRole("button", { name: "X is A, raw" }).click();
    await says(page, `right of ${i} answer`);
  }
  await page.getByRole("button", { name: "End the test" }).click();
  await as(page, () => document.querySelector(".side").innerText === "Shaped");

  // Adjusting: an amount by keys, a curve by mouse and by keys, back, and saved.
  await page.keyboard.press("4");
  await page.getByLabel("The profile").selectOption("violas");
  // What is chosen is shown once the daemon has told it; until then the sliders are the last one's.
  await as(page, () => document.querySelector(".habits").dataset.of === "violas");
  await page.getByRole("slider", { name: "vibrato", exact: true }).focus();
  await page.keyboard.press("ArrowRight");
  await says(page, "amount of the vibrato 1 → 1.05");
  await page.getByRole("button", { name: "Undo" }).click();
  await says(page, "nothing, as it is saved");
  const dot = page.getByRole("slider", { name: "Point 5 of What a velocity means" });
  await dot.scrollIntoViewIfNeeded();
  const box = await dot.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 12, { steps: 4 });
  await page.mouse.up();
  await as(page, () => /level at mp/.test(document.querySelector(".changes").innerText));
  await dot.focus();
  await page.keyboard.press("ArrowUp");
  await page.getByLabel("What it is for").fill("softer in the middle");
  await page.getByRole("button", { name: "Save as a new version" }).click();
  await says(page, "nothing, as it is saved");

  await looked(page, "1600");
  await sound(page, "light");

  // What was open last for the piece is open again when the page is.
  await page.keyboard.press("4");
  await page.reload();
  await as(page, () => !document.getElementById("adjust").hidden && document.querySelector(".habits").dataset.of === "violas");
  await page.evaluate(() => localStorage.setItem("swellbox.pieces", "nonsense"));
  await page.reload();
  await as(page, () => !document.getElementById("now").hidden && document.querySelector(".line.on") !== null);

  // The daemon ends and starts anew: the page finds it by itself.
  tell("restart", "");
  await as(page, () => document.getElementById("link").innerText !== "");
  tell("down", "");
  const other = (await lines.next()).value;
  await as(page, () => document.getElementById("link").innerText === "");
  await as(page, () => document.querySelector(".line.on") !== null);

  for (const [width, height, name] of [[390, 844, "390"], [1024, 768, "1024"]]) {
    const small = await open({ viewport: { width, height }, colorScheme: "dark", reducedMotion: "reduce" });
    await small.goto(other);
    await says(small, "Violins I");
    await as(small, () => document.querySelector(".line.on") !== null);
    await looked(small, name);
    if (name === "390") await sound(small, "dark");
    await small.context().close();
  }

  // Without a token the page asks for the address, and takes it.
  const stranger = await open({});
  await stranger.goto(other.replace(/#.*/, ""));
  await stranger.getByLabel("Address or token").fill("nonsense");
  await stranger.keyboard.press("Enter");
  await says(stranger, "That is not the token");
  await stranger.getByLabel("Address or token").fill(other);
  await stranger.keyboard.press("Enter");
  await says(stranger, "Violins I");

  await manyParts(other);

  // A page of another site cannot ask, nor show this page in a frame.
  const evil = await open({});
  await evil.route("http://evil.example/", (route) => route.fulfill({ contentType: "text/html", body: "<title>evil</title>" }));
  await evil.goto("http://evil.example/");
  const got = await evil.evaluate(async (base) => {
    const tries = [];
    for (const [path, options] of [["api/stream", {}], ["api/panic", { method: "POST", body: "{}" }], ["", {}]]) {
      tries.push(await fetch(base + path, options).then((r) => "got " + r.status, () => "refused"));
    }
    return tries.join();
  }, other.replace(/#.*/, ""));
  if (got !== "refused,refused,refused") wrong("another site asks: " + got);
  tell("done", "");
} catch (e) {
  wrong(String(e.stack || e));
} finally {
  await browser.close();
  process.exit(0);
}
