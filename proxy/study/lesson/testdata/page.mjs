// Uses a lesson as a student would, and prints what is wrong, a line each.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
const [modules, browserPath, address, pictures] = process.argv.slice(2);
const require = createRequire(modules + "/");
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const tell = (kind, text) => console.log(JSON.stringify({ kind, text }));
const wrong = (text) => tell("wrong", text);
const limit = 60000; // only a hang meets it

const browser = await chromium.launch({
  executablePath: browserPath,
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--no-first-run", "--autoplay-policy=no-user-gesture-required"],
});

async function open(options) {
  const context = await browser.newContext({ bypassCSP: false, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(limit);
  page.on("pageerror", (e) => wrong("the page fails: " + e.message));
  page.on("console", (m) => { if (m.type() === "error") wrong("the page complains: " + m.text()); });
  page.on("request", (r) => { if (!/^(file|data|blob):/.test(r.url())) wrong("the page asks the network for " + r.url()); });
  await page.goto(address);
  return page;
}
const as = (page, is, arg) => page.waitForFunction(is, arg, { timeout: limit });

// The takes as the browser decodes them: all of one length, from the same moment on, and equally loud by a short form of
// ITU-R BS.1770: its two filters, and its gates over blocks of 400 ms.
const measured = async (page) => page.evaluate(async () => {
  const rate = 48000, found = [];
  for (const s of stretches) {
    const takes = [];
    for (let i = 0; i < s.takes.length; i++) {
      const buffer = await new OfflineAudioContext(2, rate, rate).decodeAudioData(bytes(document.getElementById(`${s.section.id}-${i}`).textContent));
      const offline = new OfflineAudioContext(2, buffer.length, rate);
      const source = new AudioBufferSourceNode(offline, { buffer });
      const shelf = new IIRFilterNode(offline, { feedforward: [1.53512485958697, -2.69169618940638, 1.19839281085285], feedback: [1, -1.69065929318241, 0.73248077421585] });
      const high = new IIRFilterNode(offline, { feedforward: [1, -2, 1], feedback: [1, -1.99004745483398, 0.99007225036621] });
      source.connect(shelf).connect(high).connect(offline.destination);
      source.start();
      const out = await offline.startRendering();
      const step = rate / 10, blocks = [];
      for (let at = 0; at + 4 * step <= out.length; at += step) {
        let sum = 0;
        for (let c = 0; c < out.numberOfChannels; c++) for (const x of out.getChannelData(c).subarray(at, at + 4 * step)) sum += x * x;
        blocks.push(sum / (4 * step));
      }
      const mean = (b) => b.reduce((a, x) => a + x, 0) / b.length, db = (p) => -0.691 + 10 * Math.log10(p);
      const above = blocks.filter((p) => db(p) > -70), gate = db(mean(above)) - 10;
      let peak = 0;
      for (let c = 0; c < buffer.numberOfChannels; c++) for (const x of buffer.getChannelData(c)) peak = Math.max(peak, Math.abs(x));
      takes.push({ name: s.takes[i].textContent, length: buffer.length, onset: onset(buffer), loud: db(mean(above.filter((p) => db(p) > gate))), peak });
    }
    found.push({ takes, onset: +s.section.dataset.onset, length: s.length });
  }
  return found;
});

try {
  const page = await open({ viewport: { width: 1280, height: 900 }, colorScheme: "light" });
  for (const s of await measured(page)) {
    const first = s.takes[0];
    for (const t of s.takes) {
      if (Math.abs(t.length - first.length) > 1) wrong(`${t.name} is ${t.length} frames long, ${first.name} ${first.length}`);
      if (Math.abs(t.loud - first.loud) > 0.5) wrong(`${t.name} is at ${t.loud.toFixed(2)} LKFS, ${first.name} at ${first.loud.toFixed(2)}`);
      if (t.peak > 1) wrong(`${t.name} clips: ${t.peak}`);
      if (first.length / 48000 < s.length) wrong(`${t.name} ends before its bars do`);
    }
    if (first.onset - s.onset < 0 || first.onset - s.onset > 0.1) wrong(`the decoder is late by ${first.onset - s.onset} s`);
  }

  // By keys: it plays, changes while it plays, and stops.
  const state = () => page.evaluate(() => ({ started: current.started, gains: current.gains?.map((g) => g.gain.value), taken: current.taken, place: current.place() }));
  await page.keyboard.press(" ");
  await as(page, () => current.started && context.currentTime > current.started.when + 0.1);
  const before = await state();
  await page.keyboard.press("2");
  await as(page, () => current.gains[1].gain.value === 1 && current.gains[0].gain.value === 0);
  const after = await state();
  if (after.started.when !== before.started.when) wrong("a change of the take begins the music anew");
  if (!(await page.locator("section").first().locator(".says").innerText()).includes("stage")) wrong("nothing says what the second take is");
  await as(page, () => document.querySelector(".where").textContent.startsWith("bar "));
  await page.keyboard.press(" ");
  await as(page, () => !current.started);

  // A bar is clicked, and then bars over and over.
  const bars = page.locator("section").first().locator("button.bar");
  await bars.nth(1).click();
  await as(page, () => current.started && current.started.at === +current.bars[1].dataset.at);
  await bars.nth(2).click({ modifiers: ["Shift"] });
  await as(page, () => current.looping && current.started && document.querySelectorAll("button.bar.in").length === 2);
  await as(page, () => context.currentTime - current.started.when > (current.to - current.from) + 0.2);
  const round = await state();
  if (round.place > (await page.evaluate(() => current.to))) wrong("bars that are chosen are left");
  await page.locator("section").first().locator(".cells span[data-at]").last().click();
  await as(page, () => current.started && !current.bars.some((b) => b.classList.contains("in")));
  // Another stretch silences this one.
  await page.locator("section").nth(1).locator(".play").click();
  await as(page, () => current === stretches[1] && current.started && !stretches[0].started);
  await page.locator("section").nth(1).locator(".play").click();
  await as(page, () => !current.started);

  if (!(await page.innerText("body")).includes("Where does it vanish?")) wrong("the teacher's words are missing");
  if (await page.evaluate(() => window.told !== undefined)) wrong("a script in the teacher's words ran");

  // All questions are answered, by keys where the focus is led there: the first wrong, the others right.
  await page.getByRole("button", { name: "Begin" }).click();
  const questions = await page.evaluate(() => ear.questions);
  for (const [i, q] of questions.entries()) {
    await page.getByRole("button", { name: "Listen to A" }).click();
    await as(page, () => ear.source !== null);
    const letter = (i === 0) === (q.answer === "A") ? "B" : "A";
    await page.getByRole("button", { name: "It is " + letter }).click();
    await as(page, (right) => document.querySelector(".verdict").textContent.startsWith(right ? "Right." : "No."), i > 0);
    if (pictures && i === 0) await page.locator("#ear").screenshot({ path: `${pictures}/lesson-question.png` });
    await page.keyboard.press("Enter");
  }
  await as(page, () => document.getElementById("code").value.startsWith("ear1:"));
  if (pictures) await page.locator("#ear").screenshot({ path: `${pictures}/lesson-result.png` });
  tell("code", await page.locator("#code").inputValue());

  for (const [name, options] of Object.entries({
    "1280": { viewport: { width: 1280, height: 900 }, colorScheme: "light" },
    "1600-dark": { viewport: { width: 1600, height: 1000 }, colorScheme: "dark" },
    "390": { viewport: { width: 390, height: 800 }, colorScheme: "light" },
  })) {
    const view = await open(options);
    const over = await view.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (over > 0) wrong(`${name}: the page is wider than the window by ${over} pixels`);
    await view.evaluate(axe);
    const found = await view.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
    for (const v of found.violations) wrong(`${name}: axe has a ${v.impact} finding, ${v.id}: ${v.help}: ${v.nodes.slice(0, 2).map((n) => n.html.slice(0, 120) + " " + n.failureSummary.slice(0, 160)).join(" | ")}`);
    if (pictures) await view.screenshot({ path: `${pictures}/lesson-${name}.png`, fullPage: true });
    await view.close();
  }
  tell("done", "");
} catch (e) {
  wrong("the script fails: " + e.stack);
} finally {
  await browser.close();
}
