"""A design in which one figure is changed: what has changed is told, and nothing else."""

from pathlib import Path

import numpy as np
import pytest

import yokewright as yw
from yokewright import deg

STICK = Path(__file__).parents[2] / "examples" / "trainer_stick.toml"
GAP = "axis.roll.gap_mm"


@pytest.fixture(scope="module")
def rig():
    return yw.explorer.Explorer.load(STICK)


@pytest.fixture(scope="module")
def wider(rig):
    return rig.changed({GAP: 3.9})


def test_a_change_is_that_of_the_file_itself(wider):
    text = STICK.read_text(encoding="utf-8")
    head, tail = text[: text.index('name = "roll"')], text[text.index('name = "roll"') :]
    edited = head + tail.replace("gap_mm = 3.5", "gap_mm = 3.9", 1)
    assert edited != text
    by_hand = yw.rig.Design.parse(edited).evaluate()
    assert [axis.figures for axis in by_hand.axes] == [axis.figures for axis in wider.evaluation.axes]
    assert wider.evaluation.state == by_hand.state


def test_the_old_one_stays_as_it_is(rig, wider):
    assert (rig.changes, rig.touched, rig.differences()) == ({}, [], [])
    assert wider.changes == {GAP: 3.9}
    assert (rig.value(GAP), wider.value(GAP)) == (3.5, 3.9)
    assert wider.before is not wider.evaluation
    assert wider.changed({GAP: 3.5}).differences() == []


def test_only_what_has_changed_is_told(rig, wider):
    differences = wider.differences()
    assert differences
    assert {difference.control for difference in differences} == {"roll"}
    for difference in differences:
        before, now = (
            next(
                verdict
                for axis in one.axes
                if axis.name == "roll"
                for verdict in axis.verdicts
                if verdict.target == difference.target
            )
            for one in (wider.before, wider.evaluation)
        )
        assert (difference.was, difference.now) == (before.got, now.got)
        assert (difference.was_state, difference.state) == (before.state, now.state)


def test_a_part_that_two_axes_share_moves_both(rig):
    magnet = next(iter(rig._document.tree["magnet"]))
    changed = rig.changed({f"magnet.{magnet}.size_mm": [9.0, 9.0, 9.0]})
    assert changed.touched == ["pitch", "roll"]


def test_a_control_that_breaks_is_told(rig):
    # The sensor is moved into the magnet.
    broken = rig.changed({"axis.roll.offset_mm": [-6.0, 0.0, 0.0]})
    assert [control.name for control in broken.evaluation.broken] == ["roll"]
    gone = [difference for difference in broken.differences() if difference.control == "roll"]
    assert gone
    assert all((difference.now, difference.state) == (None, None) for difference in gone)
    assert "cannot be evaluated" in broken._repr_html_()


def test_the_new_curve_is_drawn_beside_the_old_one(wider):
    (ax,) = wider.draw_curve("roll").axes
    lines = {line.get_label(): line for line in ax.get_lines()}
    for label, evaluation in (("sweep", wider.evaluation), ("as it was", wider.before)):
        sweep = next(axis for axis in evaluation.axes if axis.name == "roll").sweep
        np.testing.assert_allclose(lines[label].get_xdata() * deg, sweep.angle, rtol=1e-14)
        np.testing.assert_array_equal(lines[label].get_ydata(), sweep.counts)
    # Of an axis that is as it was there is one curve.
    assert "as it was" not in {line.get_label() for line in wider.draw_curve("pitch").axes[0].get_lines()}
    assert len(wider.draw_parts("roll").axes) == 2
    with pytest.raises(yw.InvalidValueError, match="'yaw': not among those that are evaluated: pitch, roll"):
        wider.draw_curve("yaw")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"axis.roll.gap_mn": 3.0}, "gap_mn"),
        ({"axis.yaw.gap_mm": 3.0}, "key axis.yaw: not in the design; known there: pitch, roll"),
        ({"axis.roll.gap_mm": -3.0}, "gap_mm"),
        ({"axis.roll.gap_mm": float("nan")}, "gap_mm"),
        ({"axis.roll.gap_mm": "wide"}, "gap_mm"),
        ({"title.of.it": 1}, "nothing lies below there"),
        ({"": 1}, "not a key|unknown|no key"),
    ],
)
def test_what_cannot_be_changed_is_an_error(rig, changes, says):
    with pytest.raises(yw.YokewrightError, match=says):
        rig.changed(changes)


def test_it_shows_itself_with_every_text_escaped():
    hostile = "<script>alert(1)</script>"
    text = STICK.read_text(encoding="utf-8").replace('name = "roll"', f'name = "{hostile}"')
    shown = yw.explorer.Explorer(yw.rig.Design.parse(text)).changed({f"axis.{hostile}.gap_mm": 3.9})._repr_html_()
    assert "<script>" not in shown
    assert "&lt;script&gt;" in shown
    assert "data:image/svg+xml" in shown


def test_page_and_design_are_written_but_never_over_the_design(tmp_path, wider):
    path = tmp_path / "rig.toml"
    path.write_bytes(STICK.read_bytes())
    own = yw.explorer.Explorer.load(path).changed({GAP: 3.9})
    for write in (own.write_report, own.write_design):
        with pytest.raises(yw.InvalidValueError, match="over the design"):
            write(path)
    assert path.read_bytes() == STICK.read_bytes()
    assert own.write_report(tmp_path / "page.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    again = yw.rig.Design.load(own.write_design(tmp_path / "wider.toml")).evaluate()
    assert [axis.figures for axis in again.axes] == [axis.figures for axis in own.evaluation.axes]


def test_a_tolerance_stays_when_its_number_is_changed():
    text = STICK.read_text(encoding="utf-8")
    text = text.replace("gap_mm = 3.5", "gap_mm = { value = 3.5, plus_minus = 0.3 }")
    rig = yw.explorer.Explorer(yw.rig.Design.parse(text))
    changed = rig.changed({GAP: 3.9})
    assert rig.value(GAP) == 3.5
    assert "plus_minus" in changed._document.text_with(changed.changes)
    assert changed.touched == ["roll"]


def test_only_designs_are_explored():
    with pytest.raises(yw.InvalidTypeError, match="a Design is needed, got str"):
        yw.explorer.Explorer("rig.toml")
