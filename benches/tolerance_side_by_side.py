"""A tolerance study of one control beside vectorized NumPy doing the same builds and figures, in one run.

Processor time, all candidates in turn, the best round of each counts. NumPy has the closed form of the block with its
logarithms and its angles merged, builds and angles in one array, chunks that stay in the cache.
"""

import math
import os
import time
from typing import Any

import numpy as np

import yokewright as yw
from yokewright import deg, mm, mT

BUILDS = 1 << 16
CHUNK = 512
ANGLES = np.linspace(-6 * deg, 6 * deg, 41)
LENGTHS = {
    "gap": 0.3,
    "arm": 0.2,
    "radial offset": 0.2,
    "tangential offset": 0.3,
    "axial offset": 0.3,
    "magnet width": 0.1,
    "magnet depth": 0.1,
}
SHARES = {"polarization": 0.05, "sensor.sensitivity": 0.1, "sensor.quiescent": 0.02}
NOMINAL = {
    "gap": 2 * mm,
    "arm": 12 * mm,
    "radial offset": 0.0,
    "tangential offset": 0.0,
    "axial offset": 0.0,
    "magnet width": 5 * mm,
    "magnet depth": 5 * mm,
    "polarization": 1300 * mT,
    "sensor.sensitivity": 25.0,
    "sensor.quiescent": 2.5,
}


def stick() -> yw.axis.ControlDesign:
    cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
    return yw.axis.ControlDesign(
        yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm),
        throw=(-6 * deg, 6 * deg),
        sensor=yw.hall.LinearHall(
            supply=5.0, sensitivity=25 * yw.mV_per_mT, rail_low=0.2, rail_headroom=0.3, noise=0.15 * yw.mV
        ),
        converter=yw.hall.Converter(bits=12, reference=5.0),
    )


def flux(d: dict[str, np.ndarray]) -> np.ndarray:
    """Along the sensitive direction, (builds, angles)."""
    column = {name: values[:, None] for name, values in d.items()}
    face = column["arm"] + 0.5 * column["magnet width"] + column["gap"] + column["radial offset"]
    c, s = np.cos(ANGLES), np.sin(ANGLES)
    x = c * face + s * column["tangential offset"] - column["arm"]
    y = c * column["tangential offset"] - s * face
    z = np.broadcast_to(column["axial offset"], x.shape)
    half = (0.5 * column["magnet width"], 0.5 * column["magnet depth"], 2.5 * mm)
    over, under = 1.0, 1.0
    turn = np.ones(x.shape, complex)
    for i in (0, 1):
        dx = x + (2 * i - 1) * half[0]
        for j in (0, 1):
            dy = y + (2 * j - 1) * half[1]
            for k in (0, 1):
                dz = z + (2 * k - 1) * half[2]
                r = np.sqrt(dx * dx + dy * dy + dz * dz)
                corner = dy * r + 1j * (dx * dz)
                if (i + j + k) % 2:
                    over = over * (dz + r)
                    turn = turn * corner
                else:
                    under = under * (dz + r)
                    turn = turn * corner.conj()
        turn /= np.abs(turn)
    strength = column["polarization"] / (4 * np.pi)
    bx = -strength * np.log(over / under)
    by = strength * np.arctan2(turn.imag, turn.real)
    return -c * bx + s * by


def departures(y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """From the best line and from that through the ends: falling and rising tangents, all builds at a time."""
    x = ANGLES
    rows = np.arange(len(y))
    f = np.stack([np.full(len(y), x[-1] - x[0]), y[:, -1] - y[:, 0]])
    r = -f
    a = f[1] / f[0]
    for step in range(12):
        rest = y - a[:, None] * x
        top, low = rest.argmax(1), rest.argmin(1)
        w = rest[rows, top] - rest[rows, low]
        if step == 0:
            terminal = np.maximum(rest[rows, top] - rest[:, 0], rest[:, 0] - rest[rows, low])
        if np.all(w - (f[1] - a * f[0]) <= 1e-12 * np.abs(y).max(1)):
            break
        d = np.stack([x[top] - x[low], y[rows, top] - y[rows, low]])
        f = np.where(d[0] > 0, d, f)
        r = np.where(d[0] < 0, d, r)
        a = (f[1] - r[1]) / (f[0] - r[0])
    return 0.5 * w, terminal


def numpy_figures(d: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    b = flux(d)
    gain, zero = d["sensor.sensitivity"], d["sensor.quiescent"]
    volts = np.clip(zero[:, None] + gain[:, None] * b, 0.2, 4.7)
    low, high = volts.min(1), volts.max(1)
    span, lsb = high - low, 5.0 / 4096
    codes = [np.clip(np.floor(v / lsb + 0.5), 0, 4095) for v in (low, high)]
    slopes = np.gradient(b, ANGLES, axis=1, edge_order=2)
    independent, terminal = departures(volts)
    top, bottom = b[:, 1:], b[:, :-1]
    d_b = np.maximum(np.abs(top - bottom), 1e-300)
    above = (np.maximum(top, bottom) - ((4.7 - zero) / gain)[:, None]) / d_b
    below = (((0.2 - zero) / gain)[:, None] - np.minimum(top, bottom)) / d_b
    clipped = np.clip(np.clip(above, 0, 1) + np.clip(below, 0, 1), 0, 1).mean(1)
    center = len(ANGLES) // 2
    noise = math.hypot(0.15e-3, 0.0)
    total = math.hypot(noise, lsb / math.sqrt(12))
    worst = np.abs(slopes).min(1)
    half_arm = d["arm"] + 0.5 * d["magnet width"] + d["gap"] + d["radial offset"]
    ends = (ANGLES[-1] - ANGLES[0]) / (volts[:, -1] - volts[:, 0])
    told = ANGLES[0] + ends[:, None] * (volts - volts[:, :1])
    return {
        "range used": (codes[1] - codes[0]) / 4095,
        "flux span": b.max(1) - b.min(1),
        "output span": span,
        "gain": np.abs(slopes[:, center] * gain) / lsb,
        "independent linearity": independent / span,
        "terminal-based linearity": terminal / span,
        "clipped share": clipped,
        "monotonic share": (slopes * slopes[:, center : center + 1] > 0).mean(1),
        "worst quantization step": lsb / (worst * gain),
        "worst noise step": noise / (worst * gain),
        "effective bits": np.log2(span / (math.sqrt(12) * total)),
        "lowest code": codes[0],
        "highest code": codes[1],
        "clearance": half_arm - d["arm"] - 0.5 * d["magnet width"],
        "error after calibration": np.abs(told - ANGLES).max(1),
    }


def numpy_study(builds: int) -> dict[str, Any]:
    generator = np.random.default_rng(1)
    passed = 0
    moments: dict[str, np.ndarray] = {}
    for first in range(0, builds, CHUNK):
        count = min(CHUNK, builds - first)
        d = {}
        for name, p in LENGTHS.items():
            d[name] = NOMINAL[name] + 0.5 * p * mm * generator.standard_normal(count)
        for name, p in SHARES.items():
            d[name] = NOMINAL[name] * (1 + 0.5 * p * generator.standard_normal(count))
        figures = numpy_figures(d)
        good = (figures["range used"] >= 0.8) & (figures["clipped share"] <= 0.0)
        good &= (figures["independent linearity"] <= 0.005) & (figures["clearance"] >= 1.5 * mm)
        passed += int(good.sum())
        for name, values in figures.items():
            part = np.array([values.sum(), (values * values).sum()])
            moments[name] = moments.get(name, 0.0) + part
    return {"share": passed / builds, "mean": {name: part[0] / builds for name, part in moments.items()}}


def own_study(builds: int) -> yw.axis.Yield:
    tolerances = [yw.axis.Tolerance(name, p * mm) for name, p in LENGTHS.items()]
    tolerances += [yw.axis.Tolerance(name, p, share=True) for name, p in SHARES.items()]
    targets = [
        yw.axis.YieldTarget("range used", min=0.8),
        yw.axis.YieldTarget("clipped share", max=0.0),
        yw.axis.YieldTarget("independent linearity", max=0.005),
        yw.axis.YieldTarget("clearance", min=1.5 * mm),
    ]
    return yw.axis.study_yield(stick(), tolerances, targets=targets, builds=builds)


def main() -> None:
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})
    tasks = {"yokewright study_yield": own_study, f"NumPy, chunks of {CHUNK}": numpy_study}
    best = dict.fromkeys(tasks, math.inf)
    results: dict[str, Any] = {}
    for round_ in range(4):
        for name, task in tasks.items():
            start = time.process_time()
            results[name] = task(BUILDS if round_ else 4096)
            if round_:
                best[name] = min(best[name], time.process_time() - start)
    own = best["yokewright study_yield"]
    for name, seconds in best.items():
        each = seconds / BUILDS
        print(f"{name:<28}{1e9 * each:>8.0f} ns a build{1 / each:>12.3g} builds/s{seconds / own:>7.1f} times")
    ours, theirs = results.values()
    print(f"yield {ours.share:.4f} and {theirs['share']:.4f}")
    for name, mean in theirs["mean"].items():
        print(f"{name:<28}{ours.spreads[name].mean:>12.6g}{mean:>12.6g}")


if __name__ == "__main__":
    main()
