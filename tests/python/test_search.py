"""What every search gives, through the boundary."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import yokewright as yw
from yokewright import deg, mm

TURNS = np.linspace(-15, 15, 11) * deg


def springs(**changes):
    job = {"travel": 15 * mm, "rate": 2000, "preload": 20, "bore": 20 * mm, "coil_steps": 20}
    return yw.spring.search_compression_springs(["EN 10270-1 SM"], **job | changes)


def four_bars(**changes):
    return yw.linkage.search_four_bars(TURNS, 1.5 * TURNS, **{"ground": 100 * mm, "starts": 3} | changes)


def ball_rods():
    pedal = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 100 * mm))
    crank = yw.linkage.Arm((0.25, 60 * mm, 80 * mm), (0, 0, 1), (0.25, 10 * mm, 80 * mm))
    return yw.linkage.search_ball_rods(
        input=yw.linkage.FreeArm.between(pedal, 80 * mm, 120 * mm),
        output=yw.linkage.FreeArm.holes(crank, [50 * mm, 60 * mm]),
        travel=(-15 * deg, 15 * deg),
        output_span=45 * deg,
        span_tolerance=5 * deg,
    )


def anchored():
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    lever = yw.feel.Control(pivots=[pivot], travel=[(-0.3, 0.3)], grip=(0, 0, 0.4))
    return lever.search_springs(
        [(2000.0, 40 * mm, 1.0, 60.0)],
        body="lever",
        on_body=((0, 0, 40 * mm), (0, 0, 100 * mm)),
        on_ground=((0, 100 * mm, 40 * mm), (0, 180 * mm, 100 * mm)),
        full_force=(15.0, 0.5),
        starts=3,
    )


def texts():
    """Every result of every search, to the last digit."""
    for result in (springs(), four_bars(), ball_rods(), anchored()):
        yield f"{result} {result.tried}"
        for one in result:
            figures = [getattr(one, name) for name in dir(one) if not name.startswith("_")]
            yield repr([figure for figure in figures if not callable(figure)])


def test_it_is_a_row_of_what_was_found():
    result = springs()
    assert result
    assert len(result) == len(result.found) == len(list(result)) > 0
    assert list(result) == result.found
    assert result.best() == result.found[0]
    assert result.nearest is None
    assert result == springs()
    assert result != springs(bore=19 * mm)
    assert result != 3
    with pytest.raises(TypeError):
        hash(result)
    assert repr(result) == f"<SearchResult: {result.fitting} of {result.tried} compression springs fit>"


def test_nothing_found_is_false_and_says_why():
    result = springs(bore=5 * mm, rate=50_000)
    assert not result
    assert len(result) == result.fitting == 0
    first, *rest = result.nearest.shortfalls
    assert all(one.share <= first.share for one in rest)
    assert first.share == pytest.approx(abs(first.value - first.limit) / first.limit)
    lines = str(result).splitlines()
    assert lines[0] == f"none of the {result.tried} compression springs tried fits"
    assert first.reason in lines[2]
    assert f"{first.quantity} {three_digits(first.value)} {first.unit}" in lines[2]
    assert [one.count for one in result.rejected] == sorted((one.count for one in result.rejected), reverse=True)
    assert repr(first) == f"<Shortfall {lines[2].strip()}>"
    with pytest.raises(yw.NothingFoundError, match="none of the"):
        result.best()


def three_digits(value):
    """Three digits, as messages have them."""
    return f"{float(f'{value:.2e}'):g}"


def test_the_nearest_comes_with_its_candidate():
    result = four_bars(min_transmission_angle=84 * deg, lengths=(90 * mm, 110 * mm))
    assert not result
    assert result.nearest == four_bars(min_transmission_angle=84 * deg, lengths=(90 * mm, 110 * mm)).nearest
    (shortfall,) = result.nearest.shortfalls
    assert shortfall.value == result.nearest.candidate.min_transmission_angle
    assert shortfall.limit == 84 * deg


@pytest.mark.parametrize("threads", ["1", "2", "5"])
def test_the_same_answer_on_any_number_of_threads(threads):
    script = "import test_search; print('\\n'.join(test_search.texts()))"
    run = subprocess.run(
        [sys.executable, "-c", script],
        env=os.environ | {"YOKEWRIGHT_THREADS": threads},
        cwd=Path(__file__).parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.splitlines() == "\n".join(texts()).splitlines()
