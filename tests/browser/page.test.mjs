// The page in a real browser. `node --test page.test.mjs`, with these in the environment:
//   BROWSER  a Chromium
//   PROGRAM  the built program
//   WREN     a scenario
//   PAGES    folder with one.html (a clock), several.html (a comparison) and hostile.html (a scenario full of markup)
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { copyFileSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { join } from "node:path";
import { chromium } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const pages = process.env.PAGES;
const names = ["one.html", "several.html", "hostile.html"];
const quiet = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
let browser;

before(async () => {
  browser = await chromium.launch({ executablePath: process.env.BROWSER, args: quiet });
});
after(async () => {
  await browser.close();
});

// A page with what it said and asked for.
async function open(name, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1000, height: 800 }, ...options });
  const page = await context.newPage();
  const said = [], asked = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) said.push(message.text()); });
  page.on("pageerror", (error) => said.push(String(error)));
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(pathToFileURL(join(pages, name)).href);
  return { page, said, asked, close: () => context.close() };
}

for (const name of names) {
  test(`${name} says nothing on the console and asks for nothing but itself`, async () => {
    const { page, said, asked, close } = await open(name);
    await page.waitForTimeout(400);
    assert.deepEqual(said, []);
    // The engine runs in workers that the page makes of its own text.
    assert.equal(asked.filter((url) => !url.startsWith("blob:")).length, 1, asked.join("\n"));
    await close();
  });

  test(`${name} is smaller than 2.5 MB`, () => {
    assert.ok(statSync(join(pages, name)).size < 2_500_000);
  });

  test(`${name} has nothing that an accessibility check finds serious`, async () => {
    // The policy of the page forbids what a test adds to it.
    const { page, close } = await open(name, { bypassCSP: true, reducedMotion: "reduce" });
    await page.evaluate(axe);
    const found = await page.evaluate(() => globalThis.axe.run());
    const grave = found.violations.filter((violation) => ["serious", "critical"].includes(violation.impact));
    assert.deepEqual(grave.map((violation) => [violation.id, violation.nodes.map((node) => node.html)]), []);
    await close();
  });

  test(`${name} can be used on a screen 360 px wide`, async () => {
    const { page, close } = await open(name, { viewport: { width: 360, height: 740 } });
    const widths = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    assert.ok(widths[0] <= widths[1], `${widths[0]} px of page in ${widths[1]} px`);
    await close();
  });

  test(`${name} prints without anything cut off`, async () => {
    // The text width of A4 less the page's margins, 182 mm at 96 px to the inch.
    const { page, close } = await open(name, { viewport: { width: 688, height: 1000 } });
    await page.emulateMedia({ media: "print" });
    const cut = await page.evaluate(() => {
      const right = document.documentElement.clientWidth;
      const reaches = (element) => element.getBoundingClientRect().right > right + 1;
      return [...document.querySelectorAll("figure, table, pre, p, svg")].filter(reaches).map((element) => element.outerHTML.slice(0, 120));
    });
    assert.deepEqual(cut, []);
    assert.equal(await page.locator(".controls:visible").count(), 0);
    const paper = await page.pdf({ format: "A4", preferCSSPageSize: true });
    assert.ok(paper.length > 10_000);
    await close();
  });

  test(`${name} has headings in order and a name on every picture`, async () => {
    const { page, close } = await open(name);
    const levels = await page.evaluate(() => [...document.querySelectorAll("h1, h2, h3, h4")].map((head) => Number(head.tagName[1])));
    assert.equal(levels[0], 1);
    levels.slice(1).forEach((level, number) => assert.ok(level <= levels[number] + 1, `heading ${number + 2} skips a level`));
    const nameless = await page.evaluate(() =>
      [...document.querySelectorAll("svg")].filter((svg) => !svg.getAttribute("aria-label") && !svg.querySelector("title")?.textContent.trim()).length);
    assert.equal(nameless, 0);
    const anchors = await page.evaluate(() =>
      [...document.querySelectorAll("a[href^='#']")].filter((link) => !document.getElementById(link.hash.slice(1))).map((link) => link.hash));
    assert.deepEqual(anchors, []);
    const ids = await page.evaluate(() => [...document.querySelectorAll("[id]")].map((element) => element.id));
    assert.equal(new Set(ids).size, ids.length, "an id stands twice");
    await close();
  });
}

test("the escapement moves, pauses and goes on", async () => {
  const { page, close } = await open("one.html");
  const wheel = () => page.locator(".wheel").first().getAttribute("transform");
  const pallets = () => page.locator(".pallets").first().getAttribute("transform");
  const time = () => page.locator(".time").first().textContent();
  const [first, stood] = [await time(), await pallets()];
  await page.waitForTimeout(300);
  assert.notEqual(await time(), first);
  assert.notEqual(await pallets(), stood);
  await page.getByRole("button", { name: "Pause" }).click();
  const [paused, at] = [await time(), await wheel()];
  await page.waitForTimeout(300);
  assert.equal(await time(), paused);
  assert.equal(await wheel(), at);
  await page.getByRole("button", { name: "Play" }).click();
  await page.waitForTimeout(300);
  assert.notEqual(await time(), paused);
  await close();
});

test("who asks for less motion is shown a still", async () => {
  const { page, close } = await open("one.html", { reducedMotion: "reduce" });
  const time = () => page.locator(".time").first().textContent();
  const first = await time();
  await page.waitForTimeout(300);
  assert.equal(await time(), first);
  assert.equal(await page.locator(".play").first().textContent(), "Play");
  await close();
});

test("the moving parts stand where the computed motion has them", async () => {
  const { page, close } = await open("one.html", { reducedMotion: "reduce" });
  const worst = await page.evaluate(() => {
    const place = document.querySelector("[data-motion]");
    const motion = JSON.parse(document.getElementById(place.dataset.motion).textContent);
    const slider = place.querySelector("input");
    const angle = (selector) => Number(place.querySelector(selector).getAttribute("transform").match(/rotate\(([-\d.e]+)/)[1]);
    let worst = 0;
    for (let number = 0; number < motion.time_s.length - 1; number += 7) {
      // Where two stretches meet two samples share a time.
      if (motion.time_s[number + 1] === motion.time_s[number]) continue;
      slider.value = motion.time_s[number];
      slider.dispatchEvent(new Event("input"));
      const pallets = -(motion.theta_deg[number] + motion.beat_error_deg);
      worst = Math.max(worst, Math.abs(angle(".pallets") - pallets), Math.abs(angle(".wheel") - motion.phi_deg[number]));
    }
    return worst;
  });
  assert.ok(worst < 1e-6, `${worst} degrees off`);
  await close();
});

test("everything can be reached and worked by the keyboard", async () => {
  const { page, close } = await open("one.html", { reducedMotion: "reduce" });
  const met = new Set();
  for (let number = 0; number < 80; number += 1) {
    await page.keyboard.press("Tab");
    met.add(await page.evaluate(() => document.activeElement.className || document.activeElement.type || document.activeElement.tagName));
  }
  for (const wanted of ["play", "back", "on", "range", "select-one", "wide"]) assert.ok(met.has(wanted), `${wanted} is not reached: ${[...met]}`);
  await page.locator(".on").first().focus();
  const time = () => page.locator(".time").first().textContent();
  const first = await time();
  await page.keyboard.press("Enter");
  const second = await time();
  assert.notEqual(second, first);
  assert.match(await page.locator(".announced").first().textContent(), /ms: .* on the|drop|flight/);
  await page.locator(".controls input[type=range]").first().focus();
  await page.keyboard.press("ArrowRight");
  assert.notEqual(await time(), second);
  await close();
});

test("a hostile scenario injects nothing", async () => {
  const { page, close } = await open("hostile.html");
  await page.waitForTimeout(300);
  assert.equal(await page.evaluate(() => globalThis.injected), undefined);
  assert.equal(await page.locator("img, iframe, object, embed, link, marquee").count(), 0);
  const scripts = await page.evaluate(() => [...document.scripts].map((script) => script.type));
  // What may be changed, the motion, their two scripts and the engine.
  assert.deepEqual(scripts, ["application/json", "application/json", "", "text/plain", ""]);
  assert.match(await page.title(), /<script>/);
  await close();
});

// What the panel has come to: "whole" when all of the answer is there.
const whole = (page) => page.locator("[data-what-if][data-state=whole]").waitFor({ timeout: 60_000 });
const yours = (page, key) => page.locator(`[data-yours="${key}"]`).first().textContent();

test("the engine answers for the clock as designed what the page says of it", async () => {
  const { page, said, asked, close } = await open("one.html");
  await whole(page);
  for (const key of ["semi_arc_deg", "rate_s_per_day", "least_weight_kg"]) {
    assert.equal(await yours(page, key), await page.locator(`[data-key="${key}"]`).first().textContent(), key);
  }
  assert.deepEqual(said, []);
  assert.deepEqual(asked.filter((url) => !url.startsWith("blob:")).length, 1, asked.join("\n"));
  await close();
});

test("a slider is moved by keyboard and by mouse, and the clock answers", async () => {
  const { page, close } = await open("one.html");
  await whole(page);
  const slider = page.getByRole("slider", { name: /driving weight/ });
  const [before, wheel] = [await yours(page, "semi_arc_deg"), page.locator(".told .time").first()];
  await page.getByRole("button", { name: "Pause" }).click();
  await slider.focus();
  for (let press = 0; press < 20; press += 1) await page.keyboard.press("ArrowLeft");
  await page.locator("[data-what-if]:is([data-state=swing], [data-state=whole])").waitFor();
  const lighter = await yours(page, "semi_arc_deg");
  assert.ok(Number.parseFloat(lighter) < Number.parseFloat(before), `${lighter} under less than ${before}`);
  await whole(page);
  const line = page.locator("[data-what-if] .line input").first();
  assert.match(await line.inputValue(), /^beatwright predict .*heron\.toml --set 'drive\.weight=[0-9.]+ kg'$/);
  const box = await slider.boundingBox();
  await page.mouse.click(box.x + 2, box.y + box.height / 2);
  await page.locator("[data-what-if][data-state=whole]").waitFor({ timeout: 60_000 });
  assert.match(await page.locator(".sentence strong").first().textContent(), /will stop/);
  assert.ok(await wheel.isVisible());
  await close();
});

test("the line of overrides is read back, and what is no clock says why", async () => {
  const { page, close } = await open("one.html");
  await whole(page);
  const line = page.locator("[data-what-if] .line input").first();
  await line.fill("--set 'drive.weight=5 kg' --set margin='1 deg'".replace("margin='1 deg'", "'margin=1 deg'"));
  await line.press("Enter");
  await line.blur();
  await whole(page);
  assert.equal(await page.getByRole("spinbutton", { name: /driving weight/ }).inputValue(), "5");
  assert.match(await line.inputValue(), /'drive\.weight=5 kg' --set 'margin=1 deg'/);
  await line.fill("--set 'drive.weight=5 kilo'");
  await line.blur();
  await page.locator("[data-what-if][data-state=refused]").waitFor();
  assert.match(await page.locator(".sentence strong").first().textContent(), /No such clock/);
  await page.getByRole("button", { name: "As designed" }).click();
  await whole(page);
  await close();
});

test("what the frictions leave open stands beside the builder's figures", async () => {
  const { page, close } = await open("one.html");
  await page.locator('[data-open="semi_arc_deg"]').filter({ hasText: "\u00b1" }).waitFor({ timeout: 60_000 });
  assert.match(await page.locator('[data-open="rate_s_per_day"]').textContent(), /^\u00b1 [0-9.]+ s\/day$/);
  assert.match(await page.locator('[data-open="least_weight_kg"]').textContent(), /^\u00b1 [0-9.]+ kg$/);
  await close();
});

test("a page that is watched shows the newest one, and an error above the last good one", async () => {
  const folder = mkdtempSync(join(tmpdir(), "watched-"));
  const file = join(folder, "wren.toml");
  copyFileSync(process.env.WREN, file);
  const own = readFileSync(file, "utf8");
  const program = spawn(process.env.PROGRAM, ["page", "wren.toml", "--watch", "--draft"], { cwd: folder });
  const address = await new Promise((found) => {
    let said = "";
    program.stdout.on("data", (text) => { said += text; const at = /http:\S+/.exec(said); if (at) found(at[0]); });
  });
  try {
    const context = await browser.newContext({ viewport: { width: 1000, height: 800 } });
    const page = await context.newPage();
    const said = [];
    page.on("pageerror", (error) => said.push(String(error)));
    await page.goto(address);
    const inner = page.frameLocator("iframe");
    await inner.locator("[data-what-if][data-state=whole]").waitFor({ timeout: 60_000 });
    assert.ok(await page.getByRole("alert").isHidden());
    await page.locator("iframe").evaluate((frame) => frame.contentWindow.scrollTo(0, 400));
    writeFileSync(file, own.replace(/^name = .*/m, 'name = "Wren anew"'));
    await inner.getByRole("heading", { name: "Wren anew", level: 1 }).waitFor({ timeout: 60_000 });
    assert.equal(await page.locator("iframe").evaluate((frame) => frame.contentWindow.scrollY), 400);
    writeFileSync(file, "nonsense");
    await page.getByRole("alert").filter({ hasText: "wren.toml:1" }).waitFor({ timeout: 60_000 });
    assert.ok(await inner.getByRole("heading", { name: "Wren anew", level: 1 }).isVisible());
    assert.deepEqual(said, []);
    await context.close();
  } finally {
    program.kill();
    rmSync(folder, { recursive: true });
  }
});

test("moving a slider never holds the page up", async () => {
  const { page, close } = await open("one.html");
  await whole(page);
  const longest = await page.evaluate(async () => {
    const slider = document.querySelector("[data-what-if] input[type=range]");
    let last = performance.now(), most = 0;
    for (let move = 0; move < 60; move += 1) {
      slider.value = Number(slider.min) + (Number(slider.max) - Number(slider.min)) * (move / 60);
      slider.dispatchEvent(new Event("input", { bubbles: true }));
      await new Promise(requestAnimationFrame);
      most = Math.max(most, performance.now() - last);
      last = performance.now();
    }
    return most;
  });
  assert.ok(longest < 500, `${longest} ms`);
  await close();
});

test("without scripts or WebAssembly the page is as it was, and says what is missing", async () => {
  for (const options of [{ javaScriptEnabled: false }]) {
    const { page, said, close } = await open("one.html", options);
    assert.ok(await page.locator(".unavailable").first().isVisible());
    assert.equal(await page.locator("[data-what-if]:visible").count(), 0);
    assert.deepEqual(said, []);
    await close();
  }
});
