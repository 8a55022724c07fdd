"""The search over magnets, sensors and measures, from Python."""

from typing import Any

import pytest

import yokewright as yw
from yokewright import deg, mm


def swung(side: float) -> yw.axis.SwungLayout:
    cube = yw.magnet.Block((side, side, side), (0, 1.3, 0))
    return yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=3 * mm)


def pair(side: float) -> yw.axis.PairLayout:
    cube = yw.magnet.Block((side, side, side), (1.3, 0, 0))
    return yw.axis.PairLayout(magnets=cube, arm=12 * mm, gap=4 * mm, spacing=2 * mm)


def search(arrangements: list[Any], **changed: Any) -> yw.axis.ArrangementSearch:
    usual: dict[str, Any] = {
        "sensors": [yw.hall.LinearHall(supply=5.0, sensitivity=25.0)],
        "converter": yw.hall.Converter(bits=12, reference=5.0),
        "throw": (-6 * deg, 6 * deg),
        "vary": {"arm": (8 * mm, 20 * mm), "gap": (1 * mm, 6 * mm)},
    }
    return yw.axis.search_arrangements(arrangements, **(usual | changed))


def test_answers_keep_their_limits_and_their_steps() -> None:
    found = search([swung(4 * mm), swung(5 * mm)], vary={"arm": (8 * mm, 20 * mm, 0.5 * mm), "gap": (1 * mm, 6 * mm)})
    assert 2 <= len(found.result) <= 6
    for one in found.result:
        # The pose of the sensor went through its rotation vector, a rounding or two.
        again = one.axis.figures(3)
        assert again.flux_span == pytest.approx(one.figures.flux_span, rel=1e-12)
        assert again.gain_flux == pytest.approx(one.figures.gain_flux, rel=1e-12)
        linearity = one.figures.linearity_volts
        assert linearity is not None
        assert linearity.independent == one.summary.linearity <= 0.01
        assert one.figures.clipped_share == 0
        steps = (one.arrangement.arm - 8 * mm) / (0.5 * mm)
        assert steps == pytest.approx(round(steps), abs=1e-9)
        assert one.start in (0, 1)
        assert one.sensor == 0
    assert "widest span" in found.result.best().characters
    spans = [row.summary.span for row in found.pareto]
    assert spans == sorted(spans, reverse=True)
    assert found.kinds_in_words() is None


def test_one_magnet_or_two_in_words() -> None:
    found = search([swung(5 * mm), pair(5 * mm)], vary={"arm": (10 * mm, 20 * mm, 5 * mm), "gap": (2 * mm, 6 * mm)})
    assert {best.kind for best in found.kinds} == {"swung", "pair"}
    words = found.kinds_in_words()
    assert words is not None
    assert "a pair of magnets" in words
    assert "one magnet swung past the sensor" in words


def test_nothing_fits() -> None:
    found = search([swung(5 * mm)], max_linearity=1e-6, min_span=0.9)
    assert not found.result
    assert found.pareto == []
    with pytest.raises(yw.NothingFoundError, match="arrangements of magnet and sensor"):
        found.result.best()
    assert found.result.nearest is not None


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(TypeError, match="upper, step"):
        search([swung(5 * mm)], vary={"arm": (1.0,)})
    with pytest.raises(ValueError, match="measure"):
        search([swung(5 * mm)], vary={"arms": (0.01, 0.02)})
    with pytest.raises(ValueError, match="objective"):
        search([swung(5 * mm)], objective="beauty")
    with pytest.raises(ValueError, match="arrangements to choose from"):
        search([])
