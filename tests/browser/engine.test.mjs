// The engine of the page against the program: `node --test engine.test.mjs`, with in the environment:
//   CLOCKS  folder with, for every clock, NAME.html (its page) and NAME.json (what `predict --json` says of it)
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";
import { join } from "node:path";
import { gunzipSync } from "node:zlib";

const folder = process.env.CLOCKS;
const names = readdirSync(folder).filter((file) => file.endsWith(".html")).map((file) => file.slice(0, -5));

// Relative, and for numbers near zero absolute, in the units of the results.
const TOLERANCE = 1e-9;

// What the program itself finds less exactly than that. A tooth leaves where its contact curve has an upright tangent, so that the drop
// is good to the root of rounding (1e-8 rad and some); the smallest start is bisected to 1e-10 rad; the map's slope is good to 1e-9. The searches for a least
// drive and a largest friction end within 1e-5 and 2e-4, of which the years that a clock goes are the part above 1, those of its margin within 1e-6 of 1 / (1 + years): mostly both come to the same place to 1e-8, but rounding may end one of them a step earlier.
const FOUND_TO = [[/^(least_weight_kg|weight_ratio)$/, 1e-5], [/^friction_reserve$/, 2e-4], [/^life\.goes_for/, 1e-3], [/^life\.margin_lasts/, 1e-4], [/\.drop_deg$/, 3e-6], [/^least_start_arc_deg$/, 1.2e-8], [/^multiplier$/, 4e-9]];
const tolerance = (path) => FOUND_TO.find(([key]) => key.test(path))?.[1] ?? TOLERANCE;

function scripts(name) {
  const html = readFileSync(join(folder, `${name}.html`), "utf8");
  const inside = (id) => html.match(new RegExp(`<script [^>]*id="${id}">([^<]*)</script>`))?.[1];
  return { packed: inside("engine"), given: inside("what-if-0") };
}

function opened(packed, { texts, overrides }) {
  const module = new WebAssembly.Module(gunzipSync(Buffer.from(packed, "base64")));
  const unused = new Proxy({}, { get: () => () => { throw new Error("not of the engine"); } });
  const imports = Object.fromEntries(WebAssembly.Module.imports(module).map((needed) => [needed.module, unused]));
  const engine = new WebAssembly.Instance(module, imports).exports;
  const give = (text) => { for (const byte of new TextEncoder().encode(text)) engine.give(byte); };
  const told = (length) => new TextDecoder().decode(Uint8Array.from({ length }, (_, place) => engine.told(place)));
  give(JSON.stringify({ texts, overrides }));
  const length = engine.open();
  assert.equal(length, 0, told(length));
  return (question) => { give(JSON.stringify(question)); return JSON.parse(told(engine.ask())); };
}

function differences(own, other, path, found) {
  if (typeof own === "number" && typeof other === "number") {
    if (Math.abs(own - other) > tolerance(path) * Math.max(1, Math.abs(own))) found.push(`${path}: ${own} against ${other}`);
  } else if (Array.isArray(own) && Array.isArray(other)) {
    own.forEach((value, index) => differences(value, other[index], `${path}.${index}`, found));
  } else if (own && other && typeof own === "object" && typeof other === "object") {
    for (const key of Object.keys(own)) differences(own[key], other[key], `${path}.${key}`, found);
  } else if (own !== other) {
    found.push(`${path}: ${own} against ${other}`);
  }
}

test("there are clocks to ask", () => assert.ok(names.length >= 4, names.join(" ")));

for (const name of names) {
  test(`the engine answers for ${name} as the program does`, () => {
    const { packed, given } = scripts(name);
    assert.ok(packed && given, "the page has no engine");
    const ask = opened(packed, JSON.parse(given));
    const began = performance.now();
    const swing = ask({ overrides: [], asked: "swing" });
    const between = performance.now();
    const { found, refused } = ask({ overrides: [], asked: "everything" });
    const ended = performance.now();
    console.log(`${name}: swing ${(between - began).toFixed(0)} ms, everything ${(ended - between).toFixed(0)} ms`);
    assert.equal(refused, undefined);
    assert.equal(swing.found.results.verdict, found.results.verdict);
    const program = JSON.parse(readFileSync(join(folder, `${name}.json`), "utf8"));
    const wrong = [];
    for (const key of Object.keys(found.results)) differences(found.results[key], program[key], key, wrong);
    assert.deepEqual(wrong, []);
  });
}
