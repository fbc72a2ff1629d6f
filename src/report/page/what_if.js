"use strict";
// A builder's own figures: the engine of this page, beside it in workers of its own, asked anew at every move.
(() => {
  const places = document.querySelectorAll("[data-what-if]");
  const packed = document.getElementById("engine");
  if (!packed || typeof WebAssembly !== "object" || typeof DecompressionStream !== "function" || typeof Worker !== "function") return;

  // What runs in a worker: the engine opened with a scenario, then a question at a time.
  const desk = () => {
    let engine;
    const give = (text) => { for (const byte of new TextEncoder().encode(text)) engine.give(byte); };
    const told = (length) => new TextDecoder().decode(Uint8Array.from({ length }, (_, place) => engine.told(place)));
    onmessage = async ({ data }) => {
      try {
        if (data.module) {
          // Parts of libraries that would call a browser's own functions are never run here.
          const unused = new Proxy({}, { get: () => () => { throw new Error("not of the engine"); } });
          const imports = Object.fromEntries(WebAssembly.Module.imports(data.module).map((needed) => [needed.module, unused]));
          engine = (await WebAssembly.instantiate(data.module, imports)).exports;
          give(data.opening);
          const length = engine.open();
          postMessage(length > 0 ? { refused: told(length) } : { ready: true });
        } else {
          give(data.question);
          postMessage({ number: data.number, kind: data.kind, answer: told(engine.ask()) });
        }
      } catch (error) {
        postMessage({ number: data.number, broken: String(error) });
      }
    };
  };
  const address = URL.createObjectURL(new Blob([`(${desk})()`], { type: "text/javascript" }));

  // A worker that answers one question at a time, of those waiting the last.
  class Desk {
    constructor(module, opening, heard) {
      this.start = () => {
        this.worker = new Worker(address);
        this.worker.onmessage = ({ data }) => {
          if (data.refused) { heard({ refused: data.refused }); return; }
          if (data.broken) {
            // The engine gave up in the middle of its work: a new one takes over, unless it never began.
            this.worker.terminate();
            heard({ number: data.number, refused: "the engine has no answer for this clock" });
            if (data.number !== undefined) this.start();
            return;
          }
          this.free = true;
          if (data.answer) heard({ number: data.number, of: data.kind, ...JSON.parse(data.answer) });
          this.next();
        };
        this.free = false;
        this.worker.postMessage({ module, opening });
      };
      this.waiting = null;
      this.start();
    }
    ask(question) {
      this.waiting = question;
      this.next();
    }
    next() {
      if (!this.free || !this.waiting) return;
      this.free = false;
      this.worker.postMessage(this.waiting);
      this.waiting = null;
    }
  }

  const element = (name, attributes, ...inside) => {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.append(...inside);
    return made;
  };
  const SETTLED_MS = 150;
  const RESTED_MS = 60;

  // A slider goes in round steps, a hundred of them or some more; the field beside it takes any number.
  const rounded = ({ low, high, decimals }) => {
    const least = 10 ** -decimals, hundredth = (high - low) / 100;
    const power = 10 ** Math.floor(Math.log10(hundredth));
    const step = Math.max(least, power * [5, 2, 1].find((times) => times * power <= hundredth * (1 + 1e-9)));
    const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    const bound = (value, way) => (way(Number((value / step).toPrecision(12))) * step).toFixed(places);
    return { step: step.toFixed(places), low: bound(low, Math.ceil), high: bound(high, Math.floor) };
  };

  const panel = (place, module) => {
    const given = JSON.parse(document.getElementById(place.dataset.whatIf).textContent);
    const at = (selector) => place.querySelector(selector);
    const moving = document.querySelector(`[data-motion="motion-${place.dataset.number}"]`);
    const [sentence, busy, line] = [at(".sentence strong"), at(".busy"), at(".line input")];
    const opening = JSON.stringify({ texts: given.texts, overrides: given.overrides });
    let asked = 0, designed = null, further = [], settling = null, resting = null;

    const set = new Map();
    const fields = given.asks.map((ask, index) => {
      const id = `${place.dataset.whatIf}-${index}`;
      const label = element("label", { for: id }, ask.unit ? `${ask.name}, ${ask.unit}` : ask.name);
      if (ask.choices.length > 0) {
        const choice = element("select", { id }, element("option", { value: "" }, "as designed"),
          ...ask.choices.map((words) => element("option", { value: words }, words)));
        choice.addEventListener("input", () => { keep(ask, choice.value); changed(); });
        return { ask, row: element("div", { class: "ask" }, label, choice), show: () => { choice.value = set.get(ask.path) ?? ""; } };
      }
      const { step, low, high } = rounded(ask);
      const range = element("input", { id, type: "range", min: low, max: high, step, "aria-describedby": `${id}-own` });
      const number = element("input", { type: "number", step: "any", "aria-label": label.textContent });
      const own = element("span", { class: "small", id: `${id}-own` }, ask.own === null ? "designed: not told" : `designed: ${ask.own}`);
      const middle = ask.own ?? 0.5 * (ask.low + ask.high);
      range.addEventListener("input", () => { number.value = range.value; keep(ask, range.value); changed(); });
      number.addEventListener("change", () => {
        if (number.value === "" || !Number.isFinite(Number(number.value))) keep(ask, ""); else keep(ask, number.value);
        show();
        changed();
      });
      const show = () => {
        const text = set.get(ask.path);
        const value = text === undefined ? middle : Number.parseFloat(text);
        range.value = value;
        number.value = Number(value.toPrecision(10));
      };
      return { ask, row: element("div", { class: "ask" }, label, range, number, own), show };
    });
    at(".asks").append(...fields.map((field) => field.row));

    // What is set stands with its unit, as an override has it; what is as designed does not.
    const keep = (ask, value) => {
      const plain = ask.choices.length === 0 && ask.own !== null && Number(value) === ask.own;
      if (value === "" || plain) set.delete(ask.path);
      else set.set(ask.path, ask.choices.length > 0 || !ask.unit ? String(value) : `${value} ${ask.unit}`);
    };
    const overrides = () => [...[...set].map(([path, value]) => `${path}=${value}`), ...further];
    const quoted = (text) => `'${text.replaceAll("'", "'\\''")}'`;
    const written = () => [given.command, ...overrides().map((setting) => `--set ${quoted(setting)}`)].join(" ");
    const read = (text) => {
      set.clear();
      further = [];
      const settings = text.startsWith(given.command) ? text.slice(given.command.length) : text;
      for (const [, single, double, bare] of settings.matchAll(/--set[ =]+(?:'((?:[^']|'\\'')*)'|"([^"]*)"|(\S+))/g)) {
        const setting = (single ?? double ?? bare).replaceAll("'\\''", "'");
        const [path, value] = [setting.split("=", 1)[0].trim(), setting.slice(setting.indexOf("=") + 1).trim()];
        const ask = given.asks.find((ask) => ask.path === path);
        const fits = ask && (ask.choices.length > 0 ? ask.choices.includes(value) : value.endsWith(ask.unit ?? "") && Number.isFinite(Number.parseFloat(value)));
        if (fits) set.set(path, value); else further.push(setting);
      }
    };

    const rows = (body, names, columns) => {
      body.replaceChildren(...names.map((name, row) => element("tr", {}, element("th", { scope: "row" }, name),
        ...columns.map((column) => element("td", { class: "number", ...(column.keys ? { "data-yours": column.keys[row] } : {}) }, column.texts[row] ?? "\u2013")))));
    };
    const tell = (found) => {
      const keys = [...new Set([...(designed ?? found).figures, ...found.figures].map((figure) => figure.key))];
      const named = (answer, key) => answer.figures.find((figure) => figure.key === key);
      const texts = (answer) => keys.map((key) => named(answer, key)?.value);
      rows(at(".figures"), keys.map((key) => (named(found, key) ?? named(designed, key)).name),
        [{ texts: texts(designed ?? found) }, { texts: texts(found), keys }, { texts: keys.map(() => "") }]);
      at(".figures").querySelectorAll("tr").forEach((row, place) => { row.lastChild.dataset.open = keys[place]; });
      const takers = [...new Set([...(designed ?? found).energy, ...found.energy].map(([name]) => name))];
      const taken = (answer) => takers.map((taker) => answer.energy.find(([name]) => name === taker)?.[1]);
      rows(at(".energy"), takers, [{ texts: taken(designed ?? found) }, { texts: taken(found) }]);
      sentence.textContent = found.sentence;
      moving?.dispatchEvent(new CustomEvent("computed", { detail: { motion: found.motion, drawing: found.drawing } }));
    };
    // What each kind of question shows, the least first: what is shown is never replaced by less.
    const STATES = { swing: "swing", weight: "weight", everything: "whole" };
    const ORDER = Object.values(STATES);
    const heard = ({ number, refused, found, open, of }) => {
      if (number !== undefined && number !== asked) return;
      if (refused) {
        sentence.textContent = `No such clock: ${refused}.`;
        busy.textContent = "";
        place.dataset.state = "refused";
        return;
      }
      for (const [key, text] of open ?? []) {
        const cell = at(`[data-open="${key}"]`);
        if (cell) cell.textContent = text;
      }
      if (open) busy.textContent = "";
      if (!found || ORDER.indexOf(STATES[of]) < ORDER.indexOf(place.dataset.state)) return;
      const whole = STATES[of] === "whole";
      if (whole && designed === null && overrides().length === 0) designed = found;
      tell(found);
      place.dataset.state = STATES[of];
      busy.textContent = whole ? "How sure these figures are is being computed \u2026"
        : `${of === "swing" ? "The least weight, the" : "The"} friction reserve and the twelve hours are being computed \u2026`;
      // The next move of a slider need not wait for the least weight of this one.
      if (of === "swing") resting = setTimeout(() => ask(quick, "weight"), RESTED_MS);
      if (whole) ask(thorough, "open");
    };
    const ask = (desk, kind) => desk.ask({ number: asked, kind, question: JSON.stringify({ overrides: overrides(), asked: kind }) });
    const quick = new Desk(module, opening, heard);
    const thorough = new Desk(module, opening, heard);
    const changed = () => {
      asked += 1;
      place.dataset.state = "asked";
      line.value = written();
      ask(quick, "swing");
      clearTimeout(resting);
      clearTimeout(settling);
      settling = setTimeout(() => ask(thorough, "everything"), designed ? SETTLED_MS : 0);
    };
    const all = () => { fields.forEach((field) => field.show()); changed(); };
    line.addEventListener("change", () => { read(line.value); all(); });
    at(".designed").addEventListener("click", () => { set.clear(); further = []; all(); });
    at(".copy").addEventListener("click", () => {
      line.select();
      if (navigator.clipboard) navigator.clipboard.writeText(line.value).catch(() => document.execCommand("copy")); else document.execCommand("copy");
    });
    place.hidden = false;
    place.parentElement.querySelector(".unavailable").hidden = true;
    all();
  };

  const unpacked = async () => {
    const bytes = Uint8Array.from(atob(packed.textContent.trim()), (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    return WebAssembly.compile(await new Response(stream).arrayBuffer());
  };
  unpacked().then((module) => { for (const place of places) panel(place, module); }).catch(() => {});
})();
