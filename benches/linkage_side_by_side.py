"""Linkages from Python: yokewright beside the closed form in NumPy and beside SciPy's root finding.

    YOKEWRIGHT_THREADS=1 python benches/linkage_side_by_side.py

One core, all candidates in turn within each round, best round of each: nanoseconds a solve, how many times
longer than yokewright, and the largest closure residual as a share of the sum of the lengths.
"""

import os
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, fsolve

import yokewright as yw

Floats = NDArray[np.float64]

GROUND, CRANK, COUPLER, ROCKER = 0.1, 0.04, 0.12, 0.08
BAR = yw.linkage.FourBar(ground=GROUND, crank=CRANK, coupler=COUPLER, rocker=ROCKER)
ANGLES = np.random.default_rng(1).uniform(-np.pi, np.pi, 1_000_000)
ROUNDS = 7
CHUNK = 8000  # fits the second-level cache


def both_in_numpy(crank: Floats) -> tuple[Floats, ...]:
    """Coupler and rocker of both branches, by the meeting of two circles."""
    x, y = CRANK * np.cos(crank), CRANK * np.sin(crank)
    dx, dy = GROUND - x, -y
    f2 = dx * dx + dy * dy
    along = 0.5 * (1.0 + (COUPLER**2 - ROCKER**2) / f2)
    across = np.sqrt(COUPLER**2 / f2 - along * along)
    foot_x, foot_y = dx * along, dy * along
    side_x, side_y = -dy * across, dx * across
    return (
        np.arctan2(foot_y + side_y, foot_x + side_x),
        np.arctan2(foot_y + side_y - dy, foot_x + side_x - dx),
        np.arctan2(foot_y - side_y, foot_x - side_x),
        np.arctan2(foot_y - side_y - dy, foot_x - side_x - dx),
    )


def by_root_finding(crank: Floats) -> list[Floats]:
    """One branch, one angle at a time, each from the solution before."""

    def miss(unknown: Floats, angle: float) -> list[float]:
        coupler, rocker = unknown
        return [
            CRANK * np.cos(angle) + COUPLER * np.cos(coupler) - GROUND - ROCKER * np.cos(rocker),
            CRANK * np.sin(angle) + COUPLER * np.sin(coupler) - ROCKER * np.sin(rocker),
        ]

    guess = np.array([0.5, 1.2])
    found = []
    for angle in crank:
        guess = fsolve(miss, guess, args=(angle,))
        found.append(guess)
    return found


def residual(crank: Floats, coupler: Floats, rocker: Floats) -> float:
    x = CRANK * np.cos(crank) + COUPLER * np.cos(coupler) - GROUND - ROCKER * np.cos(rocker)
    y = CRANK * np.sin(crank) + COUPLER * np.sin(coupler) - ROCKER * np.sin(rocker)
    return float(np.hypot(x, y).max() / (GROUND + CRANK + COUPLER + ROCKER))


def in_turn(candidates: dict[str, tuple[Callable[[], object], int]]) -> dict[str, float]:
    """Least processor time of each, ns a solve."""
    best = dict.fromkeys(candidates, np.inf)
    for _ in range(ROUNDS):
        for name, (call, count) in candidates.items():
            start = time.process_time_ns()
            call()
            best[name] = min(best[name], (time.process_time_ns() - start) / count)
    return best


def table(title: str, times: dict[str, float]) -> None:
    first = next(iter(times.values()))
    print(f"\n{title}")
    for name, ns in times.items():
        print(f"  {name:58}{ns:10.1f} ns{ns / first:9.1f}")


def four_bar() -> None:
    few, one = np.sort(ANGLES[:300]), float(ANGLES[0])
    nominal = np.array([GROUND, CRANK, COUPLER, ROCKER])
    lengths = nominal + np.random.default_rng(2).uniform(-1e-4, 1e-4, (1000, 4))
    count = len(ANGLES)
    parts = [ANGLES[start : start + CHUNK] for start in range(0, count, CHUNK)]
    times = in_turn(
        {
            "solve_many, both branches": (lambda: BAR.solve_many(ANGLES), count),
            "solve_four_bars, 1000 linkages x 1000 angles": (
                lambda: yw.linkage.solve_four_bars(lengths, ANGLES[:1000]),
                count,
            ),
            f"solve_many, {CHUNK} angles a call": (lambda: [BAR.solve_many(part) for part in parts], count),
            f"NumPy closed form, {CHUNK} angles a call": (
                lambda: [both_in_numpy(part) for part in parts],
                count,
            ),
            "NumPy closed form, whole arrays": (lambda: both_in_numpy(ANGLES), count),
            "SciPy fsolve, one branch, one at a time": (lambda: by_root_finding(few), len(few)),
            "yokewright, one branch, one at a time": (
                lambda: [BAR.pose(one, "open") for _ in range(1000)],
                1000,
            ),
        }
    )
    table("four-bar", times)
    solved = BAR.solve_many(ANGLES)
    print(f"  closure: {residual(ANGLES, solved.open_coupler, solved.open_rocker):.1e} open, ", end="")
    print(f"{residual(ANGLES, solved.crossed_coupler, solved.crossed_rocker):.1e} crossed; ", end="")
    numpy_open = both_in_numpy(ANGLES)
    print(f"NumPy {residual(ANGLES, numpy_open[0], numpy_open[1]):.1e}")


PEDAL = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.06, 0.09))
CENTER = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
ROD = yw.linkage.BallRod(PEDAL, CENTER)


def carried(arm: yw.linkage.Arm, angle: Floats) -> list[Floats]:
    """Components of the arm's joint at many angles."""
    foot = arm.pivot + (arm.joint - arm.pivot) @ arm.direction * arm.direction
    radius = arm.joint - foot
    across = np.cross(arm.direction, radius)
    c, s = np.cos(angle), np.sin(angle)
    return [foot[i] + c * radius[i] + s * across[i] for i in range(3)]


def rod_in_numpy(angle: Floats) -> tuple[Floats, Floats]:
    """Both output angles by A cos + B sin = C."""
    foot = CENTER.pivot + (CENTER.joint - CENTER.pivot) @ CENTER.direction * CENTER.direction
    radius = CENTER.joint - foot
    across = np.cross(CENTER.direction, radius)
    d = [part - foot[i] for i, part in enumerate(carried(PEDAL, angle))]
    a = sum(part * radius[i] for i, part in enumerate(d))
    b = sum(part * across[i] for i, part in enumerate(d))
    c = 0.5 * (sum(part * part for part in d) + radius @ radius - ROD.rod_length**2)
    middle, off = np.arctan2(b, a), np.arccos(c / np.hypot(a, b))
    return middle + off, middle - off


def rod_in_chunks(angle: Floats) -> tuple[Floats, ...]:
    parts = [rod_in_numpy(angle[start : start + CHUNK]) for start in range(0, len(angle), CHUNK)]
    return tuple(np.concatenate(column) for column in zip(*parts, strict=True))


def rod_by_root_finding(angle: Floats, solver: str) -> list[float]:
    """One assembly, one angle at a time, with the joints in plain NumPy."""
    foot = CENTER.pivot + (CENTER.joint - CENTER.pivot) @ CENTER.direction * CENTER.direction
    radius = CENTER.joint - foot
    across = np.cross(CENTER.direction, radius)
    found = []
    for one in angle:
        joint = np.array(carried(PEDAL, one))

        def miss(output: float, joint: Floats = joint) -> float:
            between = joint - foot - np.cos(output) * radius - np.sin(output) * across
            return float(between @ between - ROD.rod_length**2)

        found.append(
            brentq(miss, -1.0, 1.0, xtol=1e-14)
            if solver == "brentq"
            else fsolve(lambda x, miss=miss: [miss(x[0])], [0.0])[0]
        )
    return found


def rod_residual(angle: Floats, output: Floats) -> float:
    gaps = [a - b for a, b in zip(carried(PEDAL, angle), carried(CENTER, output), strict=True)]
    length = np.sqrt(sum(gap * gap for gap in gaps))
    return float(np.abs(length / ROD.rod_length - 1.0).max())


def ball_rod() -> None:
    angles = 0.1 * ANGLES
    few, one = angles[:300], float(angles[0])
    rods = [
        yw.linkage.BallRod(PEDAL, CENTER, rod_length=ROD.rod_length + error)
        for error in np.random.default_rng(2).uniform(-1e-4, 1e-4, 1000)
    ]
    count = len(angles)
    times = in_turn(
        {
            "solve_many, both assemblies": (lambda: ROD.solve_many(angles), count),
            "transfers, with two derivatives": (lambda: ROD.transfers(angles), count),
            "solve_grid, 1000 linkages x 1000 angles": (
                lambda: yw.linkage.BallRod.solve_grid(rods, angles[:1000]),
                count,
            ),
            f"NumPy closed form, chunks of {CHUNK}": (lambda: rod_in_chunks(angles), count),
            "NumPy closed form, whole arrays": (lambda: rod_in_numpy(angles), count),
            "SciPy brentq, one assembly, one at a time": (
                lambda: rod_by_root_finding(few, "brentq"),
                len(few),
            ),
            "SciPy fsolve, one assembly, one at a time": (
                lambda: rod_by_root_finding(few, "fsolve"),
                len(few),
            ),
            "yokewright, one transfer at a time": (lambda: [ROD.transfer(one) for _ in range(1000)], 1000),
        }
    )
    table("ball-joint rod", times)
    neutral, other, _ = ROD.solve_many(angles)
    print(f"  rod length: {rod_residual(angles, neutral):.1e} neutral, ", end="")
    print(f"{rod_residual(angles, other):.1e} other; NumPy {rod_residual(angles, rod_in_numpy(angles)[0]):.1e}")
    lock = ROD.travel[1]
    beside = lock - 10.0 ** np.linspace(-16, -2, 1000)
    neutral, _, valid = ROD.solve_many(beside)
    print(f"  beside the lock: {rod_residual(beside[valid], neutral[valid]):.1e}, {valid.mean():.0%} solved")


if __name__ == "__main__":
    if os.environ.get("YOKEWRIGHT_THREADS") != "1":
        raise SystemExit("run with YOKEWRIGHT_THREADS=1, so that all stay on one core")
    four_bar()
    ball_rod()
