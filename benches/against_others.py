#!/usr/bin/env python3
"""The same clock by other integrators: SciPy's DOP853 with events, heyoka.py's Taylor integrator, and Beatwright.

The scenario is lumped: theta'' = -sin(theta) - theta'/200 + torque, let go at rest at 3 degrees; the torque of 6.17e-4 acts
with the motion within a degree of the centre. Printed are beats per second and the relative error of the mean of the first
20 periods against a reference of 34 digits (a Taylor series of order 40, by mpmath).

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install mpmath scipy heyoka
    /tmp/venv/bin/python benches/against_others.py

Whatever is not installed is left out with a message; mpmath is needed. Beatwright's own figure is `cargo bench --bench beats`.
"""

import importlib
import platform
import subprocess
import sys
import time
from pathlib import Path

START_DEG, MARK_DEG, TORQUE, DAMPING = 3, 1, "6.17e-4", "0.005"
PERIODS = 20
# Short runs, of which the fastest counts, for a machine that does other work, too.
TIMED_BEATS = 2000


def optional(name):
    """The module, or None with a message."""
    try:
        return importlib.import_module(name)
    except ImportError:
        print(f"{name}: not installed, left out (pip install {name})")
        return None


def reference(mpmath):
    """Mean of the first periods, by Taylor series of order 40 with 34 digits."""
    mp = mpmath.mp
    mp.dps = 34
    order = 40
    mark, torque, damping = mp.radians(MARK_DEG), mp.mpf(TORQUE), mp.mpf(DAMPING)

    def series(theta, omega, push):
        x, v, s, c = [theta], [omega], [mp.sin(theta)], [mp.cos(theta)]
        for n in range(order):
            v.append((-s[n] - damping * v[n] + (push if n == 0 else 0)) / (n + 1))
            x.append(v[n] / (n + 1))
            s.append(sum(v[k] * c[n - k] for k in range(n + 1)) / (n + 1))
            c.append(-sum(v[k] * s[n - k] for k in range(n + 1)) / (n + 1))
        return x, v

    def value(terms, t):
        return mp.polyval(terms[::-1], t)

    def root(terms, target, guess):
        rates = [n * term for n, term in enumerate(terms)][1:]
        t = mp.mpf(guess)
        for _ in range(60):
            step = (value(terms, t) - target) / value(rates, t)
            t -= step
            if abs(step) < mp.mpf(10) ** -32:
                return t
        raise ArithmeticError("no root")

    theta, omega, now, way = mp.radians(START_DEG), mp.mpf(0), mp.mpf(0), -1
    for _ in range(2 * PERIODS):
        for push, target in ((0, -mark), (torque, mark), (0, None)):
            while True:
                x, v = series(theta, omega, push * way)
                # In steps of half a second, over which the terms fall to 1e-60.
                half = mp.mpf("0.5")
                end = value(v, half) * way <= 0 if target is None else (value(x, half) * way) >= target
                if end:
                    t = root(v, 0, half / 2) if target is None else root(x, target * way, half / 2)
                else:
                    t = half
                theta, omega, now = value(x, t), value(v, t), now + t
                if end:
                    break
        omega, way = mp.mpf(0), -way
    return now / PERIODS


def scipy_clock(numpy, integrate, rtol):
    """Beats per second and mean period."""
    mark, torque, damping = numpy.radians(MARK_DEG), float(TORQUE), float(DAMPING)

    def rates(_, y, push):
        return [y[1], -numpy.sin(y[0]) - damping * y[1] + push]

    def at_mark(sign):
        def event(_, y, __):
            return y[0] - sign * mark

        event.terminal = True
        return event

    def turned(_, y, __):
        return y[1]

    turned.terminal = True
    y, now, way = [numpy.radians(START_DEG), 0.0], 0.0, -1
    began = time.perf_counter()
    for _ in range(2 * PERIODS):
        for push, event in ((0, at_mark(-way)), (torque, at_mark(way)), (0, turned)):
            event.direction = -way if event is turned else way
            found = integrate.solve_ivp(
                rates, (now, now + 5), y, "DOP853", events=event, rtol=rtol, atol=0.01 * rtol, args=(push * way,)
            )
            now, y = found.t_events[0][0], found.y_events[0][0]
        y, way = [y[0], 0.0], -way
    return 2 * PERIODS / (time.perf_counter() - began), now / PERIODS


def heyoka_clock(numpy, heyoka, tolerance):
    """Beats per second and mean period."""
    mark, torque, damping = numpy.radians(MARK_DEG), float(TORQUE), float(DAMPING)
    x, v = heyoka.make_vars("x", "v")
    state = {"way": -1, "beats": 0, "at_20": 0.0, "last": 2 * PERIODS}

    def crossed(sign):
        def callback(ta, _):
            # The first of the two marks met starts the push, the second ends it.
            ta.pars[0] = torque * state["way"] if sign == -state["way"] else 0.0
            return True

        return callback

    def turned(ta, _):
        if ta.time < 1e-3:
            # The speed is zero at the start, too.
            return True
        state["way"] = -state["way"]
        state["beats"] += 1
        if state["beats"] == 2 * PERIODS:
            state["at_20"] = ta.time
        return state["beats"] < state["last"]

    system = [(x, v), (v, -heyoka.sin(x) - damping * v + heyoka.par[0])]
    events = [
        heyoka.t_event(x - mark, callback=crossed(1)),
        heyoka.t_event(x + mark, callback=crossed(-1)),
        heyoka.t_event(v, callback=turned),
    ]
    ta = heyoka.taylor_adaptive(system, [numpy.radians(START_DEG), 0.0], tol=tolerance, t_events=events)
    state["last"] = TIMED_BEATS
    began = time.perf_counter()
    ta.propagate_until(1e9)
    rate = state["beats"] / (time.perf_counter() - began)
    return rate, state["at_20"] / PERIODS


def own_clock():
    """Beats per second and mean period of `cargo bench --bench beats`."""
    root = Path(__file__).resolve().parent.parent
    run = subprocess.run(
        ["cargo", "bench", "--quiet", "--bench", "beats"], cwd=root, capture_output=True, text=True, check=False
    )
    words = run.stdout.split()
    if run.returncode != 0 or "mean_period_s" not in words:
        print(f"beatwright: cargo bench --bench beats failed\n{run.stderr[-500:]}")
        return None
    return float(words[words.index("beats_per_second") + 1]), float(words[words.index("mean_period_s") + 1])


def main():
    mpmath = optional("mpmath")
    if mpmath is None:
        sys.exit("mpmath is needed for the reference")
    exact = reference(mpmath)
    rows = []
    scipy, heyoka = optional("scipy"), optional("heyoka")
    if scipy is not None:
        import numpy
        from scipy import integrate

        rows.append((f"SciPy {scipy.__version__} DOP853, rtol 1e-12", max(scipy_clock(numpy, integrate, 1e-12) for _ in range(10))))
    if heyoka is not None:
        import numpy

        for tolerance in (1e-12, 1e-16):
            name = f"heyoka {heyoka.__version__} Taylor, tol {tolerance:g}"
            rows.append((name, max(heyoka_clock(numpy, heyoka, tolerance) for _ in range(50))))
    own = own_clock()
    if own is not None:
        rows.append(("Beatwright", own))
    print(f"{platform.processor() or platform.machine()}, Python {platform.python_version()}; reference {exact}")
    print(f"{'integrator':40} {'beats/s':>10} {'period error':>14}")
    for name, (rate, period) in rows:
        print(f"{name:40} {rate:10.0f} {float(abs(mpmath.mpf(period) - exact) / exact):14.1e}")


if __name__ == "__main__":
    main()
