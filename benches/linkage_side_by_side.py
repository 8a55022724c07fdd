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


class BothInBuffers:
    """The same with every constant folded, chunk by chunk in buffers that stay in the cache, into arrays that there
    are: the fastest that we could write."""

    def __init__(self) -> None:
        self.buffers = np.empty((11, CHUNK))

    def __call__(self, crank: Floats, out: tuple[Floats, ...]) -> None:
        for start in range(0, len(crank), CHUNK):
            part = slice(start, start + CHUNK)
            self.fill(crank[part], *(column[part] for column in out))

    def fill(
        self, crank: Floats, open_coupler: Floats, open_rocker: Floats, crossed_coupler: Floats, crossed_rocker: Floats
    ) -> None:
        dx, dy, f2, along, across, foot_x, foot_y, side_x, side_y, x, y = self.buffers[:, : len(crank)]
        np.add(np.multiply(np.cos(crank, out=dx), -CRANK, out=dx), GROUND, out=dx)
        np.multiply(np.sin(crank, out=dy), -CRANK, out=dy)
        np.add(np.multiply(dx, dx, out=f2), np.multiply(dy, dy, out=x), out=f2)
        np.divide(1.0, f2, out=f2)
        np.add(np.multiply(f2, 0.5 * (COUPLER**2 - ROCKER**2), out=along), 0.5, out=along)
        np.subtract(np.multiply(f2, COUPLER**2, out=across), np.multiply(along, along, out=x), out=across)
        np.sqrt(across, out=across)
        np.multiply(dx, along, out=foot_x)
        np.multiply(dy, along, out=foot_y)
        np.multiply(dy, across, out=side_x)
        np.multiply(dx, across, out=side_y)
        np.arctan2(np.add(foot_y, side_y, out=y), np.subtract(foot_x, side_x, out=x), out=open_coupler)
        np.arctan2(np.subtract(y, dy, out=y), np.subtract(x, dx, out=x), out=open_rocker)
        np.arctan2(np.subtract(foot_y, side_y, out=y), np.add(foot_x, side_x, out=x), out=crossed_coupler)
        np.arctan2(np.subtract(y, dy, out=y), np.subtract(x, dx, out=x), out=crossed_rocker)


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
    columns = tuple(np.empty(count) for _ in range(4))
    out = (*columns, np.empty(count, bool))
    in_buffers = BothInBuffers()
    times = in_turn(
        {
            "solve_many, both branches, out=": (lambda: BAR.solve_many(ANGLES, out=out), count),
            "solve_many, both branches, new arrays": (lambda: BAR.solve_many(ANGLES), count),
            "solve_many, the open rocker alone, out=": (
                lambda: BAR.solve_many(ANGLES, out=(None, columns[1], None, None, None)),
                count,
            ),
            "solve_four_bars, 1000 linkages x 1000 angles": (
                lambda: yw.linkage.solve_four_bars(lengths, ANGLES[:1000]),
                count,
            ),
            f"solve_many, {CHUNK} angles a call": (lambda: [BAR.solve_many(part) for part in parts], count),
            f"NumPy closed form, {CHUNK} angles a call": (
                lambda: [both_in_numpy(part) for part in parts],
                count,
            ),
            "NumPy closed form, in buffers, out=": (lambda: in_buffers(ANGLES, columns), count),
            "NumPy closed form, in buffers, new arrays": (
                lambda: in_buffers(ANGLES, tuple(np.empty(count) for _ in range(4))),
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
    in_buffers(ANGLES, columns)
    print(f"NumPy {residual(ANGLES, columns[0], columns[1]):.1e}, {residual(ANGLES, columns[2], columns[3]):.1e}")


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


class RodInBuffers:
    """The same with all that does not turn folded into nine numbers, chunk by chunk in buffers that stay in the cache,
    into arrays that there are: the fastest that we could write."""

    def __init__(self) -> None:
        self.buffers = np.empty((7, CHUNK))
        foot = CENTER.pivot + (CENTER.joint - CENTER.pivot) @ CENTER.direction * CENTER.direction
        output = CENTER.joint - foot
        start = PEDAL.pivot + (PEDAL.joint - PEDAL.pivot) @ PEDAL.direction * PEDAL.direction - foot
        radius = PEDAL.joint - start - foot
        # The joint less the foot is start + cos radius + sin across: its products with what it is multiplied by.
        parts = np.array([start, radius, np.cross(PEDAL.direction, radius)])
        self.a = parts @ output
        self.b = parts @ np.cross(CENTER.direction, output)
        squares = start @ start + radius @ radius + output @ output - ROD.rod_length**2
        # The radius and what is across it are square to each other and of one length.
        self.c = np.array([0.5 * squares, start @ parts[1], start @ parts[2]])

    def __call__(self, angle: Floats, out: tuple[Floats, Floats]) -> None:
        for first in range(0, len(angle), CHUNK):
            part = slice(first, first + CHUNK)
            self.fill(angle[part], out[0][part], out[1][part])

    def fill(self, angle: Floats, neutral: Floats, other: Floats) -> None:
        cos, sin, a, b, c, size, term = self.buffers[:, : len(angle)]
        np.cos(angle, out=cos)
        np.sin(angle, out=sin)
        for (mean, by_cos, by_sin), wave in ((self.a, a), (self.b, b), (self.c, c)):
            np.add(np.multiply(cos, by_cos, out=wave), mean, out=wave)
            np.add(wave, np.multiply(sin, by_sin, out=term), out=wave)
        np.sqrt(np.add(np.multiply(a, a, out=size), np.multiply(b, b, out=term), out=size), out=size)
        np.arccos(np.divide(c, size, out=c), out=c)
        np.arctan2(b, a, out=a)
        np.add(a, c, out=neutral)
        np.subtract(a, c, out=other)


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
    columns = (np.empty(count), np.empty(count))
    third, mask = np.empty(count), np.empty(count, bool)
    in_buffers = RodInBuffers()
    times = in_turn(
        {
            "solve_many, both assemblies, out=": (lambda: ROD.solve_many(angles, out=(*columns, mask)), count),
            "solve_many, both assemblies, new arrays": (lambda: ROD.solve_many(angles), count),
            "transfers, with two derivatives, out=": (
                lambda: ROD.transfers(angles, out=(*columns, third, mask)),
                count,
            ),
            "transfers, with two derivatives, new arrays": (lambda: ROD.transfers(angles), count),
            "solve_grid, 1000 linkages x 1000 angles": (
                lambda: yw.linkage.BallRod.solve_grid(rods, angles[:1000]),
                count,
            ),
            "NumPy closed form, in buffers, out=": (lambda: in_buffers(angles, columns), count),
            "NumPy closed form, in buffers, new arrays": (
                lambda: in_buffers(angles, (np.empty(count), np.empty(count))),
                count,
            ),
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
    print(
        f"{rod_residual(angles, other):.1e} other; NumPy {rod_residual(angles, rod_in_numpy(angles)[0]):.1e}, ", end=""
    )
    in_buffers(angles, columns)
    print(f"in buffers {rod_residual(angles, columns[0]):.1e}")
    lock = ROD.travel[1]
    beside = lock - 10.0 ** np.linspace(-16, -2, 1000)
    neutral, _, valid = ROD.solve_many(beside)
    print(f"  beside the lock: {rod_residual(beside[valid], neutral[valid]):.1e}, {valid.mean():.0%} solved")


if __name__ == "__main__":
    if os.environ.get("YOKEWRIGHT_THREADS") != "1":
        raise SystemExit("run with YOKEWRIGHT_THREADS=1, so that all stay on one core")
    four_bar()
    ball_rod()
