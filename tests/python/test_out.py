"""Arrays of the caller's that a call fills in place of new ones."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import yokewright as yw
from yokewright import mm

ANGLES = np.linspace(-7.0, 7.0, 9001)
POINTS = np.random.default_rng(3).uniform(-20 * mm, 20 * mm, (50, 200, 3))
POINTS[0, 0] = np.nan
POINTS[3, 5, 1] = 2e6

BAR = yw.linkage.FourBar(ground=0.1, crank=0.09, coupler=0.05, rocker=0.08)
ROD = yw.linkage.BallRod(
    yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.06, 0.09)),
    yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085)),
)
BLOCK = yw.magnet.Block((8 * mm, 6 * mm, 4 * mm), (0.3, 0, 1.2))
PAIR = yw.magnet.MagnetGroup([BLOCK, BLOCK.moved(yw.Pose((0, 0, 30 * mm)))])
OVER_STEEL = yw.magnet.SteelPlate((0, 0, -10 * mm), (0, 0, 1)).over(PAIR)


def columns(solved: Any) -> tuple[Any, ...]:
    if isinstance(solved, tuple):
        return solved
    names = {
        "FourBarSolutions": ("open_coupler", "open_rocker", "crossed_coupler", "crossed_rocker", "valid"),
        "Transfers": ("angles", "ratios", "curvatures", "valid"),
    }
    return tuple(getattr(solved, name) for name in names[type(solved).__name__])


CALLS = [
    (BAR.solve_many, ANGLES),
    (ROD.solve_many, ANGLES),
    (ROD.transfers, ANGLES),
    (BLOCK.fields_at, POINTS),
    (PAIR.fields_at, POINTS),
    (OVER_STEEL.fields_at, POINTS),
]


@pytest.mark.parametrize(("call", "given"), CALLS)
def test_what_is_filled_is_what_is_given_new(call: Callable[..., Any], given: Any) -> None:
    expected = columns(call(given))
    # Whatever stood there before.
    out = tuple(np.full_like(column, True) for column in expected)
    assert call(given, out=out) is out
    for filled, new in zip(out, expected, strict=True):
        np.testing.assert_array_equal(filled, new)
    assert 0 < out[-1].sum() < out[-1].size


@pytest.mark.parametrize(("call", "given"), CALLS)
def test_what_is_not_wanted_is_left_out(call: Callable[..., Any], given: Any) -> None:
    expected = columns(call(given))
    for wanted in range(len(expected)):
        out = [None] * len(expected)
        # Fields without a mask, but no mask without fields.
        for number in {wanted, 0} if len(expected) == 2 else {wanted}:
            out[number] = np.empty_like(expected[number])
        call(given, out=tuple(out))
        np.testing.assert_array_equal(out[wanted], expected[wanted])


@pytest.mark.parametrize(("call", "given"), CALLS)
def test_what_cannot_be_filled_is_refused(call: Callable[..., Any], given: Any) -> None:
    good = [np.empty_like(column) for column in columns(call(given))]

    def refused(first: Any, error: type[Exception], text: str) -> None:
        with pytest.raises(error, match=text):
            call(given, out=(first, *good[1:]))

    first = good[0]
    refused(first[:-1], yw.InvalidValueError, "shape")
    refused(np.zeros_like(first, dtype=np.float32), yw.InvalidTypeError, "float64")
    refused(np.zeros_like(first, dtype=">f8"), yw.InvalidTypeError, "float64")
    refused(first.tolist(), yw.InvalidTypeError, "float64")
    refused(np.ma.masked_array(first), yw.InvalidTypeError, "float64")
    refused(np.empty((*first.shape[:-1], 2 * first.shape[-1]))[..., ::2], yw.InvalidValueError, "C-contiguous")
    locked = first.copy()
    locked.flags.writeable = False
    refused(locked, yw.InvalidValueError, "read-only")
    for whole in (first, good, tuple(good[:-1]), (*good, None)):
        with pytest.raises(yw.InvalidTypeError, match="tuple"):
            call(given, out=whole)
    with pytest.raises(yw.InvalidTypeError, match="bool"):
        call(given, out=(*good[:-1], np.zeros_like(good[-1], dtype=np.uint8)))


@pytest.mark.parametrize(("call", "given"), CALLS)
def test_nothing_may_overlap(call: Callable[..., Any], given: Any) -> None:
    good = [np.empty_like(column) for column in columns(call(given))]
    own = given.copy()
    with pytest.raises(yw.InvalidValueError, match="overlaps"):
        call(own, out=(own, *good[1:]))
    np.testing.assert_array_equal(own, given)
    # One memory, shifted by a row.
    memory = np.zeros((len(given) + 1, *given.shape[1:]))
    memory[:-1] = given
    with pytest.raises(yw.InvalidValueError, match="overlaps"):
        call(memory[:-1], out=(memory[1:], *good[1:]))
    if len(good) > 2:
        with pytest.raises(yw.InvalidValueError, match="overlaps"):
            call(given, out=(good[0], good[0], *good[2:]))


def test_no_rows() -> None:
    out = (np.empty(0), np.empty(0), np.empty(0, bool))
    assert ROD.solve_many([], out=out) is out
    fields = (np.empty((0, 3)), None)
    assert BLOCK.fields_at(np.empty((0, 3)), out=fields) is fields


def test_a_mask_alone_is_no_field() -> None:
    with pytest.raises(yw.InvalidTypeError, match="fields cannot be None"):
        BLOCK.fields_at(POINTS, out=(None, np.empty(POINTS.shape[:-1], bool)))
