"""The search for arms of a ball-joint rod through the boundary, and beside SciPy."""

import pickle

import numpy as np
import pytest
from scipy.optimize import differential_evolution

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

PEDAL = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 100 * mm))
CRANK = yw.linkage.Arm((0.25, 60 * mm, 80 * mm), (0, 0, 1), (0.25, 10 * mm, 80 * mm))
TRAVEL = (-15 * deg, 15 * deg)


def search(**changes):
    given = {
        "input": yw.linkage.FreeArm.between(PEDAL, 50 * mm, 150 * mm),
        "output": yw.linkage.FreeArm.between(CRANK, 30 * mm, 100 * mm),
        "travel": TRAVEL,
        "output_span": 45 * deg,
        "span_tolerance": 1 * deg,
    }
    return yw.linkage.search_ball_rods(**given | changes)


def rod_of(pedal, crank):
    return yw.linkage.BallRod(
        yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, pedal)),
        yw.linkage.Arm((0.25, 60 * mm, 80 * mm), (0, 0, 1), (0.25, 60 * mm - crank, 80 * mm)),
    )


def test_figures_are_what_transfers_say():
    best = search().best()
    angles = np.linspace(*TRAVEL, 100_001)
    out = best.rod.transfers(angles)
    figures = best.figures
    assert figures.output_span == pytest.approx(out.angles[-1] - out.angles[0], abs=1e-14)
    # Exact extremes. Where the ratio turns, the nearest of so many samples, 2.6e-6 rad away at most,
    # misses them by that squared and half the second derivative, which is of the order of one.
    assert figures.ratios == pytest.approx((out.ratios.min(), out.ratios.max()), rel=1e-10)
    assert figures.ratios[0] <= out.ratios.min() + 1e-12
    assert figures.ratios[1] >= out.ratios.max() - 1e-12
    ahead = np.linspace(0, TRAVEL[1], 100_001)
    sums = best.rod.transfers(ahead).angles + best.rod.transfers(-ahead).angles
    assert figures.asymmetry == pytest.approx(np.abs(sums).max(), abs=1e-10)
    assert abs(abs(figures.output_span) - 45 * deg) <= 1 * deg
    assert best.rod.figures(TRAVEL) == figures
    assert best.clocking == (0.0, 0.0)
    assert figures.swivels == (None, None)


def test_a_search_that_knows_nothing_finds_no_better():
    """Differential evolution over both lengths on the same sum of squares."""
    wanted = 45 / 30
    angles = np.linspace(*TRAVEL, 15)

    def squares(lengths):
        try:
            out = rod_of(*lengths).transfers(angles)
        except yw.YokewrightError:
            return 1e6
        if not out.valid.all():
            return 1e6
        span = abs(out.angles[-1] - out.angles[0]) / (45 * deg)
        return np.mean((np.abs(out.ratios) / wanted - 1) ** 2) + 9 * (span - 1) ** 2

    bounds = [(50 * mm, 150 * mm), (30 * mm, 100 * mm)]
    blind = differential_evolution(squares, bounds, seed=1, maxiter=60, tol=1e-10)
    ours = min(squares((design.rod.input.length, design.rod.output.length)) for design in search())
    assert ours <= blind.fun * (1 + 1e-6)


def test_holes_and_clocking():
    holes = np.arange(40, 101, 10) * mm
    found = search(
        input=yw.linkage.FreeArm.holes(PEDAL, holes),
        output=yw.linkage.FreeArm.holes(CRANK, holes, clocking=(-0.4, 0.4)),
        count=3,
    )
    assert 1 <= len(found) <= 3
    for design in found:
        for arm in (design.rod.input, design.rod.output):
            assert np.abs(holes - arm.length).min() < 1e-12
        assert design.clocking[0] == 0.0
        assert abs(design.clocking[1]) <= 0.4
    # Clocking can only help.
    fixed = search(input=yw.linkage.FreeArm.holes(PEDAL, holes), output=yw.linkage.FreeArm.holes(CRANK, holes))
    assert found.best().figures.ratio_variation <= fixed.best().figures.ratio_variation + 0.01


def test_what_cannot_be_is_told_with_the_nearest():
    with pytest.raises(yw.NothingFoundError, match=r"nearest fails in turn of the output: .* rad"):
        search(
            input=yw.linkage.FreeArm.holes(PEDAL, [50 * mm]), output=yw.linkage.FreeArm.holes(CRANK, [100 * mm])
        ).best()
    none = search(min_transmission_angle=80 * deg, span_tolerance=90 * deg)
    (shortfall,) = none.nearest.shortfalls
    assert shortfall.quantity == "least transmission angle"
    # It is that of the rod which comes with it.
    figures = none.nearest.candidate.rod.figures(TRAVEL)
    assert figures.min_transmission_angle == pytest.approx(shortfall.value, abs=1e-12)
    assert shortfall.share == pytest.approx(80 * deg - shortfall.value)
    assert none.nearest == search(min_transmission_angle=80 * deg, span_tolerance=90 * deg).nearest
    with pytest.raises(yw.InvalidValueError, match=r"did you mean 45 \* deg"):
        search(output_span=45)
    with pytest.raises(yw.InvalidValueError, match="holes of the arm: 0 given"):
        search(input=yw.linkage.FreeArm.holes(PEDAL, []))


def test_pickle_and_repr():
    names = {name: PUBLIC[name] for name in ("Arm", "FreeArm")}
    for free in (
        yw.linkage.FreeArm.between(PEDAL, 50 * mm, 150 * mm, (-0.1, 0.2)),
        yw.linkage.FreeArm.holes(CRANK, [40 * mm, 50 * mm]),
    ):
        assert pickle.loads(pickle.dumps(free)) == free
        assert eval(repr(free), names) == free
