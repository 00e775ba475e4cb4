// A book in a browser that is not ours (Debian's Chromium, driven by playwright-core on
// npm), and judged by axe-core on npm: from a disk, on a phone and on a desk, in the sun
// and at night, with and without scripting.
//
//     node tests/outside/book.mjs NODE_MODULES MATCHMARK [FOLDER FOR PICTURES]

import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [modules, program, pictures] = process.argv.slice(2);
const needs = createRequire(`${path.resolve(modules)}/`);
const { chromium } = needs("playwright-core");
const axe = readFileSync(needs.resolve("axe-core/axe.min.js"), "utf8");
const work = mkdtempSync(path.join(tmpdir(), "matchmark-book-"));
const run = (folder, ...words) =>
  execFileSync(path.resolve(program), words, { cwd: folder, env: { ...process.env, TZ: "UTC" }, encoding: "utf8" });

run(work, "tour", "demo");
run(path.join(work, "demo"), "book");
const demo = path.join(work, "demo", "book");
const bytes = readdirSync(demo, { recursive: true, withFileTypes: true })
  .filter((item) => item.isFile())
  .reduce((sum, item) => sum + readFileSync(path.join(item.parentPath ?? item.path, item.name)).length, 0);
assert(bytes < 2_000_000, `${bytes} bytes`);

// What an entry must never make a browser do.
const EVIL = [
  "<script>window.hostile=1</script>",
  "\"><img src=x onerror=window.hostile=1>",
  "' onclick='window.hostile=1",
  "</title></script><svg onload=window.hostile=1>",
  "<base href=https://example.org/>",
  "<meta http-equiv=refresh content=0;url=https://example.org/>",
  "<iframe srcdoc='<script>parent.hostile=1</script>'></iframe>",
  "[a](javascript:window.hostile=1) [b](data:text/html,<script>window.hostile=1</script>) [c](//example.org/x)",
  "![a](https://example.org/a.png) ![b](//example.org/b.png) <link rel=stylesheet href=https://example.org/c.css>",
  "&lt;script&gt;window.hostile=1&lt;/script&gt; \u2028 \u2029 \\u003cscript\\u003e ]]> --> {{1}} ${1} `",
];
run(work, "begin", "hostile", "--vehicle", "Wren", "--author", "Ada Bench <ada@example.org>");
const hostile = path.join(work, "hostile");
mkdirSync(path.join(hostile, "entries"), { recursive: true });
writeFileSync(path.join(hostile, "journal.toml"), `name = ${JSON.stringify(EVIL[0] + EVIL[1])}\n`);
writeFileSync(path.join(hostile, "vehicles", "wren.md"), `---\nname: ${JSON.stringify(EVIL[0])}\n---\n\n${EVIL.join("\n\n")}\n`);
EVIL.forEach((evil, at) => {
  const day = `2026-03-${String(10 + at)}`;
  writeFileSync(
    path.join(hostile, "entries", `${day}-x.md`),
    `---\ndate: ${day}\nvehicle: wren\nhelpers: ${JSON.stringify(evil)}\n---\n\n# Hostile ${evil}\n\n${evil}\n\n## Part ${at} ${evil}\n\n- status: removed\n- hardware: 2 bolt ${evil}, bag ${at} ${evil.slice(0, 20)}\n- stored: ${evil}\n- found: ${evil}\n- needs: buy ${evil}\n- caution: ${evil}\n- lesson: ${evil}\n- torque: ${evil}\n- photo: ${evil}\n- also: ${evil}\n- undone: ${evil}\n\n${evil}\n`,
  );
});
run(hostile, "book");

const browser = await chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const log = [];

/** A page that logs what it asks for, and fails on any complaint. */
async function opened(options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.on("request", (request) => log.push(request.url()));
  page.on("pageerror", (error) => assert.fail(`the page's own program failed: ${error}`));
  page.on("console", (message) => assert.notEqual(message.type(), "error", message.text()));
  page.on("dialog", (dialog) => assert.fail(`a dialog: ${dialog.message()}`));
  return page;
}
/** Each drawing of a page is named, and its words stand inside of it, inside of their box, and not on each other. */
async function drawingsFit(page, kind) {
  const { wrong, drawings } = await page.evaluate(() => {
    const wrong = [];
    const drawings = [...document.querySelectorAll("svg.drawing")];
    for (const drawing of drawings) {
      const names = (drawing.getAttribute("aria-labelledby") ?? "").split(" ").map((id) => document.getElementById(id)?.textContent);
      if (drawing.getAttribute("role") !== "img" || names.length !== 2 || !names.every((name) => name?.trim())) wrong.push(["unnamed", drawing.id]);
      const shape = (one) => {
        const { left, right, top, bottom } = one.getBoundingClientRect();
        return { left, right, top, bottom, words: one.textContent.trim() };
      };
      const frame = shape(drawing);
      const inside = (one, other) => one.left >= other.left - 1 && one.right <= other.right + 1 && one.top >= other.top - 1 && one.bottom <= other.bottom + 1;
      const words = [...drawing.querySelectorAll("text")].map(shape);
      const boxes = [...drawing.querySelectorAll("rect[fill=none]")].map(shape).filter((box) => box.right - box.left > 100);
      for (const one of words) {
        if (!inside(one, frame)) wrong.push(["outside", one.words]);
        const middle = (one.top + one.bottom) / 2;
        const box = boxes.find((box) => box.left < one.left && one.left < box.right && box.top < middle && middle < box.bottom);
        if (box && one.right > box.right) wrong.push(["out of its box", one.words, one.right - box.right]);
      }
      words.forEach((one, number) => {
        const on = words.slice(0, number).find((other) => one.left < other.right - 1 && other.left < one.right - 1 && one.top < other.bottom - 4 && other.top < one.bottom - 4);
        if (on) wrong.push(["on each other", one.words, on.words]);
      });
    }
    return { wrong, drawings: drawings.length };
  });
  assert.deepEqual(wrong, [], kind);
  return drawings;
}
const at = (book, file) => pathToFileURL(path.join(book, file)).href;
const first = (folder) => `${folder}/${readdirSync(path.join(demo, folder)).find((name) => name !== "index.html")}`;
let seen = 0;

const kinds = [
  "index.html", "open.html", "buy.html", "parts/index.html", "bags/index.html", "systems/index.html",
  "shelves/index.html", "entries/index.html", "bags/bag-12.html", "systems/system-wren--brakes.html",
  "parts/part-wren--hub--left-front.html", "parts/part-wren--startermotor.html",
  "entries/2026-10-10-both-front-corners.html", first("shelves"),
  "months.html", "systems/system-wren--engine.html", "systems/system-wren--electrics.html", "systems/system-wren--cargo-body.html",
];
let drawn = 0;
for (const [width, height] of [[390, 844], [1280, 900]]) {
  for (const colorScheme of ["light", "dark"]) {
    const page = await opened({ viewport: { width, height }, colorScheme });
    for (const kind of kinds) {
      await page.goto(at(demo, kind));
      if (kind === "index.html") await page.fill("#words", "bolt");
      await page.evaluate(axe);
      const { violations } = await page.evaluate(() => window.axe.run({ preload: false }));
      assert.deepEqual(violations.map((one) => [one.id, one.nodes[0].html, one.nodes[0].failureSummary]), [], `${kind} ${width} ${colorScheme}`);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      assert(over <= 0, `${kind} is ${over} pixels wider than the screen of ${width}`);
      drawn += await drawingsFit(page, kind);
      if (kind === "months.html") {
        const table = page.locator("details").first();
        assert(await table.locator("td").first().isVisible(), "the figures stand beside");
      }
      if (pictures) await page.screenshot({ fullPage: true, path: path.join(pictures, `${kind.replaceAll("/", "_")}-${width}-${colorScheme}.png`) });
      seen++;
    }
    await page.context().close();
  }
}

// One hand: what is pressed is large enough.
const hand = await opened({ viewport: { width: 390, height: 844 }, hasTouch: true });
for (const kind of ["index.html", "bags/index.html", "systems/system-wren--brakes.html"]) {
  await hand.goto(at(demo, kind));
  const small = await hand.evaluate(() =>
    [...document.querySelectorAll(".bar a, .rows > li > a, .tick, button:not([hidden])")]
      .map((one) => [one.textContent, one.getBoundingClientRect().height])
      .filter(([, tall]) => tall < 44));
  assert.deepEqual(small, [], kind);
}

// The evening: a word with a slip, the bag, a step, the way back.
const evening = await opened({ viewport: { width: 390, height: 844 } });
await evening.goto(at(demo, "index.html"));
await evening.locator("#words").pressSequentially("spindel nut");
await evening.getByRole("status").filter({ hasText: "searched `spindle`" }).waitFor();
await evening.locator("#found a", { hasText: /^Bag 12$/ }).click();
await evening.getByRole("heading", { name: "Bag 12" }).waitFor();
await evening.getByText("turn the hub while the spindle nut goes to its figure").first().waitFor();
await evening.goBack();
assert.equal(await evening.inputValue("#words"), "spindel nut");
assert((await evening.locator("#found a").count()) > 0, "found again on the way back");
await evening.goto(at(demo, "systems/system-wren--brakes.html"));
const box = evening.locator("ol.steps > li").first().getByRole("checkbox").first();
assert.equal(await box.isChecked(), false);
await box.check();
await evening.getByText(/^1 of \d+ ticked$/).waitFor();
await evening.goBack();
await evening.goForward();
assert.equal(await box.isChecked(), true);
await evening.reload();
assert.equal(await box.isChecked(), true, "the tick stays");
await evening.goto(at(demo, "systems/system-wren--body.html"));
assert.equal(await evening.locator("input:checked").count(), 0);

// What a search must find, each as the first answer.
await evening.goto(at(demo, "index.html"));
for (const [words, wanted] of [
  ["bag 31", "Bag 31"],
  ["BAG 12", "Bag 12"],
  ["7/8-14", "Bag 12"],
  ["hubs left front", "Hub, left front"],
  ["hood hinge", /Bonnet hinge/],
  ["startr moter", "Starter motor"],
]) {
  await evening.fill("#words", words);
  const found = await evening.locator("#found a").allTextContents();
  const hit = found.slice(0, 3).some((one) => (wanted instanceof RegExp ? wanted.test(one) : one === wanted));
  assert(hit, `${words}: ${found.slice(0, 5)}`);
}
await evening.fill("#words", "zzzz");
assert.equal(await evening.locator("#found a").count(), 0);

// Without scripting every page reads.
const plain = await opened({ viewport: { width: 390, height: 844 }, javaScriptEnabled: false });
for (const kind of kinds) {
  await plain.goto(at(demo, kind));
  assert((await plain.locator("h1").innerText()).length > 0, kind);
  assert((await plain.locator("main").innerText()).length > 20, kind);
  assert.equal(await plain.locator("#search").isVisible(), false, kind);
}
await plain.goto(at(demo, "index.html"));
await plain.getByText("Search needs scripting").waitFor();

// Nothing runs from hostile entries, wherever their words stand.
const book = path.join(hostile, "book");
const wary = await opened({ viewport: { width: 390, height: 844 } });
const pages = readdirSync(book, { recursive: true }).map(String).filter((name) => name.endsWith(".html"));
for (const name of pages) {
  await wary.goto(at(book, name));
  assert.equal(await wary.evaluate(() => window.hostile), undefined, name);
  assert.equal(await wary.locator("main :is(script, iframe, object, embed, base, meta, link, svg:not(.drawing))").count(), 0, name);
  await drawingsFit(wary, name);
  const odd = await wary.evaluate(() => [...document.querySelectorAll("*")].flatMap((one) => [...one.attributes]
    .filter((own) => own.name.startsWith("on") || (own.name === "href" && !/^(\.\.\/)?[a-z0-9./#-]+$/.test(own.value)))
    .map((own) => `${own.name}=${own.value}`)));
  assert.deepEqual(odd, [], name);
}
await wary.goto(at(book, "index.html"));
for (const words of ["hostile", "script", "<script>", "constructor", "__proto__", "a".repeat(5000)]) {
  await wary.fill("#words", words);
  assert.equal(await wary.evaluate(() => window.hostile), undefined, words);
}
await wary.fill("#words", "hostile");
assert((await wary.locator("#found a").count()) > 5);

// Drawings as files: well-formed, and the same in a browser that opens them by themselves.
const files = await opened({ viewport: { width: 390, height: 844 }, colorScheme: "dark" });
for (const folder of [path.join(work, "demo"), hostile]) {
  for (const verb of ["tally", "refit"]) {
    const file = path.join(folder, `${verb}.svg`);
    run(folder, verb, "--as", "picture", "--into", file);
    await files.goto(pathToFileURL(file).href);
    const wrong = await files.evaluate(() => document.querySelector("parsererror")?.textContent);
    assert.equal(wrong, undefined, file);
    assert((await drawingsFit(files, file)) > 0, file);
    assert.equal(await files.evaluate(() => window.hostile), undefined, file);
    const over = await files.evaluate(() => document.documentElement.getAttribute("width"));
    assert(Number(over) <= 420, `${file} is ${over} pixels wide`);
    drawn++;
  }
}
assert(drawn >= 60, `${drawn} drawings`);

await browser.close();
const own = pathToFileURL(work).href;
const elsewhere = log.filter((url) => !url.startsWith(own));
assert.deepEqual(elsewhere, []);
rmSync(work, { recursive: true });
console.log(`${seen} pages without a complaint of axe-core, ${drawn} drawings looked at, ${pages.length} hostile ones, ${log.length} requests, none to elsewhere`);
