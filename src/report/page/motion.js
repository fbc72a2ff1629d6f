"use strict";
// Wheel, pallets and force as the computed motion has them; between two samples in a straight line.
for (const place of document.querySelectorAll("[data-motion]")) {
  let motion = JSON.parse(document.getElementById(place.dataset.motion).textContent);
  const at = (selector) => place.querySelector(selector);
  const all = (selector) => place.querySelectorAll(selector);
  const [play, slider, speed] = [at(".play"), at("input"), at("select")];
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  let clock = 0, turns = 0, running = false, last = null;

  // The last sample at or before a time.
  const before = (time) => {
    let low = 0, high = motion.time_s.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (motion.time_s[middle] <= time) low = middle; else high = middle;
    }
    return low;
  };
  const fixed = (value, digits) => value.toFixed(digits).replace(/^-(?=0(\.0*)?$)/, "").replace("-", "\u2212");

  const show = (announce) => {
    const here = before(clock), next = Math.min(here + 1, motion.time_s.length - 1);
    const span = motion.time_s[next] - motion.time_s[here];
    const share = span > 0 ? (clock - motion.time_s[here]) / span : 0;
    const value = (name) => motion[name][here] + share * (motion[name][next] - motion[name][here]);
    const [theta, phi] = [value("theta_deg"), value("phi_deg")];
    const wheel = phi + turns * motion.pitch_deg;
    at(".wheel").setAttribute("transform", `rotate(${wheel})`);
    at(".pallets").setAttribute("transform", `rotate(${-(theta + motion.beat_error_deg)} 0 ${-motion.centre_distance_mm})`);
    const touching = motion.state[here] > 0;
    const arrow = at(".force");
    arrow.setAttribute("visibility", touching ? "visible" : "hidden");
    if (touching) {
      const [x, y] = [value("x_mm"), value("y_mm")], force = value("force_n");
      const long = motion.arrow_mm_per_n * force;
      arrow.setAttribute("transform", `translate(${x} ${-y}) rotate(${-value("direction_deg")})`);
      arrow.querySelector("line").setAttribute("x2", long);
      arrow.querySelector("path").setAttribute("transform", `translate(${long} 0)`);
    }
    slider.value = clock;
    const told = motion.words[motion.word[here]];
    slider.setAttribute("aria-valuetext", `${fixed(1e3 * clock, 0)} ms, ${told}`);
    at(".time").textContent = `${fixed(1e3 * clock, 1)} ms of ${fixed(1e3 * motion.period_s, 1)} ms`;
    at(".theta").textContent = `pendulum ${fixed(theta, 3)}\u00b0`;
    at(".phi").textContent = `wheel ${fixed(phi, 3)}\u00b0`;
    at(".push").textContent = touching ? `force ${fixed(1e3 * value("force_n"), 1)} mN` : "force 0 mN";
    at(".what").textContent = told;
    if (announce) at(".announced").textContent = `${fixed(1e3 * clock, 1)} ms: ${told}, pendulum ${fixed(theta, 2)} degrees`;
  };
  const go = (now) => {
    if (!running) return;
    if (last !== null) {
      clock += (now - last) / 1e3 / Number(speed.value);
      while (clock >= motion.period_s) { clock -= motion.period_s; turns = (turns + 1) % motion.teeth; }
      show(false);
    }
    last = now;
    requestAnimationFrame(go);
  };
  const set = (run) => {
    running = run;
    last = null;
    play.textContent = run ? "Pause" : "Play";
    play.setAttribute("aria-pressed", String(run));
    if (run) requestAnimationFrame(go);
  };
  // To the next or the previous place where something begins.
  const step = (way) => {
    set(false);
    const starts = motion.starts_s;
    const close = 1e-7;
    const found = way > 0 ? starts.find((start) => start > clock + close) : starts.findLast((start) => start < clock - close);
    clock = found ?? (way > 0 ? starts[0] : starts[starts.length - 1]);
    show(true);
  };
  play.addEventListener("click", () => set(!running));
  at(".back").addEventListener("click", () => step(-1));
  at(".on").addEventListener("click", () => step(1));
  slider.addEventListener("input", () => { set(false); clock = Number(slider.value); show(false); });
  // Another clock in place of this one: its motion and its parts; without a motion it stands as it was.
  place.addEventListener("computed", ({ detail }) => {
    if (!detail.motion || !detail.drawing) { set(false); return; }
    const share = clock / motion.period_s;
    motion = detail.motion;
    clock = Math.min(share, 1) * motion.period_s;
    slider.max = motion.period_s;
    place.querySelector("g[id]").innerHTML = detail.drawing;
    show(false);
  });
  show(false);
  set(!calm);
}
