"""The field of a block from Python: yokewright beside the closed form in NumPy, in Numba and in plain Python.

    python benches/side_by_side.py [--points 1000000] [--rounds 7]

One core, all candidates in turn within each round, best round of each. Prints nanoseconds for a point, how
many times longer than yokewright, and the largest error against 160-digit arithmetic: near the block, and
100 half sides away, where the closed form has lost half its digits.
"""

import argparse
import math
import os
import platform
import sys
import time
from collections.abc import Callable
from itertools import product
from pathlib import Path

import numba
import numpy as np
from numpy.typing import NDArray

import yokewright as yw

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "reference"))
import block_field

Floats = NDArray[np.float64]

# A brick polarized along its shortest side, points anywhere around it within three half sides.
HALF = (10e-3, 7.5e-3, 5e-3)
POLARIZATION = 1.3
BLOCK = yw.magnet.Block([2.0 * h for h in HALF], [0.0, 0.0, POLARIZATION])
FACTOR = POLARIZATION / (4.0 * math.pi)
# Long enough to hide what a NumPy call costs, short enough for the cache: the best of 512 to 16,384.
CHUNK = 8192
SAMPLE = 200


# The closed form is the sum over eight corners (Furlani 2001, ch. 4). Where speed counts, the arguments of
# the eight logarithms are multiplied first and one logarithm is taken: as fast as it gets by this method.


class ChunkedNumPy:
    """Chunk by chunk, in buffers that stay in the cache; nothing is allocated and nothing computed twice."""

    def __init__(self, chunk: int) -> None:
        self.chunk = chunk
        self.buffers = np.empty((21, chunk))

    def __call__(self, points: Floats, out: Floats | None = None) -> Floats:
        b = np.empty_like(points) if out is None else out
        for start in range(0, len(points), self.chunk):
            part = slice(start, start + self.chunk)
            self.fill(points[part], b[part])
        return b

    def fill(self, points: Floats, b: Floats) -> None:
        buffers = iter(self.buffers[:, : len(points)])
        offset, square = [], []
        for axis in range(3):
            offset.append([np.subtract(points[:, axis], way * HALF[axis], out=next(buffers)) for way in (1, -1)])
            square.append([np.multiply(side, side, out=next(buffers)) for side in offset[axis]])
        (x, y, z), (x2, y2, z2) = offset, square
        along_x = [next(buffers), next(buffers)]
        along_y = [next(buffers), next(buffers)]
        angle, xy, xy2, r, term = (next(buffers) for _ in range(5))
        for rest in (*along_x, *along_y):
            rest.fill(1.0)
        angle.fill(0.0)
        for i, j in product((0, 1), repeat=2):
            np.multiply(x[i], y[j], out=xy)
            np.add(x2[i], y2[j], out=xy2)
            for k in (0, 1):
                odd = (i + j + k) % 2
                np.sqrt(np.add(xy2, z2[k], out=r), out=r)
                along_x[odd] *= np.add(y[j], r, out=term)
                along_y[odd] *= np.add(x[i], r, out=term)
                np.multiply(z[k], r, out=term)
                np.arctan(np.divide(xy, term, out=term), out=term)
                (np.subtract if odd else np.add)(angle, term, out=angle)
        for column, (even, odd_product) in enumerate((along_x, along_y)):
            np.log(np.divide(odd_product, even, out=term), out=term)
            np.multiply(term, FACTOR, out=b[:, column])
        np.multiply(angle, FACTOR, out=b[:, 2])


def whole_numpy(points: Floats) -> Floats:
    """Over whole arrays, term by term as it stands in the books."""
    x, y, z = ([points[:, axis] - way * HALF[axis] for way in (1, -1)] for axis in range(3))
    b = np.zeros((3, len(points)))
    for i, j, k in product((0, 1), repeat=3):
        sign = 1 - 2 * ((i + j + k) % 2)
        r = np.sqrt(x[i] ** 2 + y[j] ** 2 + z[k] ** 2)
        b[0] -= sign * np.log(y[j] + r)
        b[1] -= sign * np.log(x[i] + r)
        b[2] += sign * np.arctan(x[i] * y[j] / (z[k] * r))
    return FACTOR * b.T


@numba.njit
def numba_loop(points: Floats) -> Floats:
    a, b, c = HALF
    field = np.empty_like(points)
    for n in range(len(points)):
        along_x, along_y, angle = 1.0, 1.0, 0.0
        for i in range(2):
            x = points[n, 0] - (1 - 2 * i) * a
            for j in range(2):
                y = points[n, 1] - (1 - 2 * j) * b
                for k in range(2):
                    z = points[n, 2] - (1 - 2 * k) * c
                    r = math.sqrt(x * x + y * y + z * z)
                    term = math.atan(x * y / (z * r))
                    if (i + j + k) % 2 == 0:
                        along_x /= y + r
                        along_y /= x + r
                        angle += term
                    else:
                        along_x *= y + r
                        along_y *= x + r
                        angle -= term
        field[n, 0] = FACTOR * math.log(along_x)
        field[n, 1] = FACTOR * math.log(along_y)
        field[n, 2] = FACTOR * angle
    return field


CORNERS = np.array(list(product((1.0, -1.0), repeat=3)))
CORNER_OFFSETS = CORNERS * HALF
CORNER_SIGNS = CORNERS.prod(axis=1)


def one_numpy(point: Floats) -> Floats:
    """One point, with the eight corners as the array."""
    d = point - CORNER_OFFSETS
    r = np.sqrt(np.einsum("ij,ij->i", d, d))
    x, y, z = d.T
    terms = np.stack([-np.log(y + r), -np.log(x + r), np.arctan(x * y / (z * r))])
    return FACTOR * (terms @ CORNER_SIGNS)


def one_plain(point: tuple[float, float, float]) -> tuple[float, float, float]:
    """One point, without arrays."""
    px, py, pz = point
    a, b, c = HALF
    along_x, along_y, angle = 1.0, 1.0, 0.0
    for x, odd_x in ((px - a, False), (px + a, True)):
        for y, odd_y in ((py - b, odd_x), (py + b, not odd_x)):
            for z, odd in ((pz - c, odd_y), (pz + c, not odd_y)):
                r = math.sqrt(x * x + y * y + z * z)
                term = math.atan(x * y / (z * r))
                if odd:
                    along_x *= y + r
                    along_y *= x + r
                    angle -= term
                else:
                    along_x /= y + r
                    along_y /= x + r
                    angle += term
    return FACTOR * math.log(along_x), FACTOR * math.log(along_y), FACTOR * angle


def near_points(n: int) -> Floats:
    """In the box of three half sides but not in the block, where the closed form would need J added."""
    places = np.random.default_rng(1).uniform(-3.0, 3.0, (n + n // 10 + 100, 3))
    outside = np.abs(places).max(axis=1) > 1.0
    return places[outside][:n] * HALF


def far_points(n: int) -> Floats:
    direction = np.random.default_rng(2).normal(size=(n, 3))
    return direction / np.linalg.norm(direction, axis=1, keepdims=True) * (100.0 * max(HALF))


def exact(points: Floats) -> Floats:
    size, polarization = [2.0 * h for h in HALF], (0.0, 0.0, POLARIZATION)
    return np.array([[float(b) for b in block_field.corner_sum(size, polarization, p)[0]] for p in points])


def largest_error(field: Callable[[Floats], Floats], points: Floats, expected: Floats) -> float:
    error = np.linalg.norm(field(points) - expected, axis=1) / np.linalg.norm(expected, axis=1)
    return float(error.max())


def best_times(tasks: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Seconds for one call of each task: all in turn in every round, so that a slow moment hits all alike.

    Processor time of all threads, so that other programs do not count and a hidden thread would.
    """
    best = dict.fromkeys(tasks, math.inf)
    for task in tasks.values():
        task()  # compile, touch memory
    for _ in range(rounds):
        for name, task in tasks.items():
            start = time.process_time()
            task()
            best[name] = min(best[name], time.process_time() - start)
    return best


def table(title: str, seconds: dict[str, float], points: int, errors: dict[str, tuple[float, float]]) -> None:
    own = next(iter(seconds.values()))
    print(f"\n{title:<40}{'ns/point':>10}{'times':>8}{'error near':>13}{'error far':>12}")
    for name, value in seconds.items():
        near, far = errors[name]
        print(f"{name:<40}{value / points * 1e9:>10.1f}{value / own:>8.1f}{near:>13.0e}{far:>12.0e}")


def stay_on_one_core() -> None:
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {max(os.sched_getaffinity(0))})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--points", type=int, default=1_000_000)
    parser.add_argument("--rounds", type=int, default=7)
    arguments = parser.parse_args()
    stay_on_one_core()
    print(f"Python {platform.python_version()}, NumPy {np.__version__}, Numba {numba.__version__}, one core")

    near, far = near_points(SAMPLE), far_points(SAMPLE)
    expected_near, expected_far = exact(near), exact(far)

    def errors(fields: dict[str, Callable[[Floats], Floats]]) -> dict[str, tuple[float, float]]:
        return {
            name: (largest_error(field, near, expected_near), largest_error(field, far, expected_far))
            for name, field in fields.items()
        }

    points = near_points(arguments.points)
    memory, mask = np.empty_like(points), np.empty(len(points), bool)
    chunked = ChunkedNumPy(CHUNK)

    def filled(points: Floats) -> Floats:
        out = (memory[: len(points)], mask[: len(points)])
        return BLOCK.fields_at(points, out=out)[0]

    many: dict[str, Callable[[Floats], Floats]] = {
        "yokewright fields_at, out=": filled,
        "yokewright fields_at, new arrays": lambda points: BLOCK.fields_at(points)[0],
        f"NumPy, chunks of {CHUNK}, out=": lambda points: chunked(points, memory[: len(points)]),
        f"NumPy, chunks of {CHUNK}, new array": chunked,
        "NumPy, whole arrays, term by term": whole_numpy,
        "Numba, one thread": numba_loop,
    }
    tasks = {name: lambda field=field: field(points) for name, field in many.items()}
    title = f"{arguments.points} points, one call"
    table(title, best_times(tasks, arguments.rounds), arguments.points, errors(many))

    # One call for each point: what a script pays that asks for one value at a time.
    single = points[:1000]
    triples = [tuple(point) for point in single.tolist()]
    rows = list(single)
    calls: dict[str, tuple[Callable[..., object], list]] = {
        "yokewright field_at": (BLOCK.field_at, rows),
        "yokewright field_at, from a tuple": (BLOCK.field_at, triples),
        "NumPy, corners as an array": (one_numpy, rows),
        "Numba, one row": (numba_loop, list(single[:, np.newaxis])),
        "plain Python": (one_plain, triples),
    }

    def each(field: Callable[..., object], items: list) -> None:
        for item in items:
            field(item)

    tasks = {name: lambda field=field, items=items: each(field, items) for name, (field, items) in calls.items()}
    one_by_one: dict[str, Callable[[Floats], Floats]] = {
        name: lambda points, field=field: np.array([field(point) for point in points])
        for name, (field, _) in calls.items()
    }
    one_by_one["Numba, one row"] = numba_loop
    table("one point, one call", best_times(tasks, arguments.rounds), len(single), errors(one_by_one))


if __name__ == "__main__":
    main()
