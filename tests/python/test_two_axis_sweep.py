"""The map out of a measured sweep of both axes, against NumPy's least squares."""

import numpy as np
import pytest

import yokewright as yw
from yokewright import deg


def spiral(rows: int = 300) -> tuple[np.ndarray, np.ndarray]:
    """Angles on four turns out to 17 degrees, and whole counts that hold a little of the other axis and a bend."""
    share = np.linspace(0.0, 1.0, rows)
    angles = 0.3 * share[:, None] * np.stack([np.cos(8 * np.pi * share), np.sin(8 * np.pi * share)], axis=1)
    outer, inner = angles.T
    counts = 2048 + np.stack(
        [4000 * outer + 150 * inner + 600 * outer * inner, -3500 * inner + 90 * outer - 400 * inner**2], axis=1
    )
    return angles, counts.round()


@pytest.mark.parametrize(("terms", "count"), [("linear", 3), ("bilinear", 4), ("quadratic", 6)])
def test_the_map_is_that_of_least_squares(terms, count: int) -> None:
    angles, counts = spiral()
    found = yw.axis.TwoAxisSweep(angles, counts).calibration(terms, held_back=0.0)
    a, b = counts.T
    columns = np.stack([np.ones_like(a), a, b, a * b, a * a, b * b], axis=1)[:, :count]
    # Scaled, so that the squares of counts lose no digits.
    scale = np.abs(columns).max(axis=0)
    solved, *_ = np.linalg.lstsq(columns / scale, angles, rcond=None)
    left = angles - columns / scale @ solved
    # Both routes lose some digits of the angle to columns that are nearly alike.
    assert found.after.rms == pytest.approx(np.sqrt(np.mean(left**2, axis=0)), rel=1e-6)
    assert found.after.worst == pytest.approx(np.abs(left).max(axis=0), rel=1e-6)
    assert found.held_back is None
    assert found.fitted_rows == len(angles)


def test_rows_held_back_judge_the_map() -> None:
    angles, counts = spiral()
    sweep = yw.axis.TwoAxisSweep(angles, counts)
    found = sweep.calibration("quadratic", held_back=0.25)
    assert (len(sweep), found.fitted_rows, found.held_back_rows) == (300, 225, 75)
    assert found.held_back is not None
    # Of the steps of whole counts and of terms that the map has not: nothing like what straight lines leave.
    for after, held_back, before in zip(found.after.rms, found.held_back.rms, found.before.rms, strict=True):
        assert after < before / 5
        assert held_back < 2 * after
    outer, inner = found.counts_per_radian
    assert (outer, inner) == pytest.approx((4000, 3500), rel=0.02)
    again = yw.axis.TwoAxisCalibration.from_json(found.to_json())
    assert again == found


def test_a_sweep_is_read_from_csv() -> None:
    angles, counts = spiral(60)
    numbers = np.hstack([angles / deg, counts]).tolist()
    rows = [",".join(map(repr, row)) for row in numbers]
    text = "\n".join(["pitch_deg,roll_deg,pitch_adc,roll_adc", *rows])
    headings = {"angles": ("pitch_deg", "roll_deg"), "counts": ("pitch_adc", "roll_adc")}
    read = yw.axis.TwoAxisSweep.read(text, bits=12, **headings)
    assert read.angles == pytest.approx(angles, abs=1e-15)
    assert read.counts.tolist() == counts.tolist()
    with pytest.raises(ValueError, match=r"line 3, column 'roll_deg, roll_adc'"):
        yw.axis.TwoAxisSweep.read(text.replace(rows[1], "1,,2,3"), bits=12, **headings)
    with pytest.raises(ValueError, match="outer_deg"):
        yw.axis.TwoAxisSweep.read(text, bits=12)


def test_what_tells_nothing_is_refused() -> None:
    angles, counts = spiral(20)
    with pytest.raises(ValueError, match="must match"):
        yw.axis.TwoAxisSweep(angles, counts[1:])
    with pytest.raises(ValueError, match="rows of the sweep"):
        yw.axis.TwoAxisSweep(angles[:5], counts[:5])
    with pytest.raises(ValueError, match="not a finite number"):
        yw.axis.TwoAxisSweep(np.where(angles > 0.2, np.nan, angles), counts)
    with pytest.raises(ValueError, match="tells the terms"):
        yw.axis.TwoAxisSweep(angles, counts[:, [0, 0]]).calibration("bilinear")
    with pytest.raises(ValueError, match="rows held back"):
        yw.axis.TwoAxisSweep(angles, counts).calibration(held_back=0.6)
    with pytest.raises(ValueError, match="read-only"):
        yw.axis.TwoAxisSweep(angles, counts).angles[0] = 0.0
