"""The drawings of feel: what they show, and what they refuse."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from yokewright import deg, mm, plots
from yokewright.plots.feel import _FORCES


@pytest.fixture(autouse=True)
def _close_figures():
    yield
    pyplot.close("all")


def control(friction=0.2, preload=0.4):
    spring = yw.spring.LinearTorsionSpring(rate=6.0, free_angle=0.0, action="both")
    return yw.feel.Control(
        pivots=[yw.linkage.Pivot((0, 0, 0), (1, 0, 0))],
        travel=[(-15 * deg, 15 * deg)],
        grip=(0, 0, 400 * mm),
        elements=[
            yw.feel.Element.torsion(spring, "lever"),
            yw.feel.Element.breakout("lever", preload),
            yw.feel.Element.friction("lever", friction),
            yw.feel.Element.inertia("lever", 0.06),
        ],
    )


def test_force_against_travel():
    stick = control()
    curve = stick.curve()
    guides = [g for g in yw.feel.guides_for("stick", "roll") if g.quantity == "breakout force"]
    ax = plots.plot_force_travel(curve, guides, stick.centering())
    up, down = (line for line in ax.lines if line.get_label().startswith("moved"))
    assert np.array_equal(up.get_xdata(), curve.way / mm)
    assert np.allclose(up.get_ydata() - down.get_ydata(), 2 * 0.2 / 0.4)
    assert "mm" in ax.get_xlabel()
    lines = [line for line in ax.lines if line.get_label() == "_guide"]
    assert {line.get_ydata()[0] for line in lines} == {sign * guide.value for guide in guides for sign in (1, -1)}
    # A breakout force is felt at the center: its lines cross it and end well before the stops.
    for line in lines:
        low, high = sorted(line.get_xdata())
        assert 0.5 * curve.way.min() / mm < low < 0.0 < high < 0.5 * curve.way.max() / mm
    texts = " ".join(text.get_text() for text in ax.texts)
    for guide in guides:
        assert f"breakout force {guide.bound} {guide.value:.3g} N" in texts
    assert "from memory" in texts
    assert "MIL-F-8785C" in texts


def test_without_friction_there_is_one_line():
    ax = plots.plot_force_travel(control(friction=0.0).curve())
    assert [line.get_label() for line in ax.lines if not line.get_label().startswith("_")] == ["force"]


def test_letting_go():
    releases = [control(friction).free_response(start=12 * deg, duration=3.0) for friction in (0.05, 0.2)]
    ax = plots.plot_release(releases, labels=["oiled", "dry"], centering=control(0.2).centering())
    lines = {line.get_label(): line for line in ax.lines}
    assert np.array_equal(lines["dry"].get_ydata(), releases[1].angle / deg)
    assert {"oiled", "turns", "at rest"} <= lines.keys()


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (lambda: plots.plot_release([]), "at least 1"),
        (lambda: plots.plot_release([control().free_response(0.1, 1.0)], labels=["a", "b"]), "2 labels"),
        (
            lambda: plots.plot_force_travel(control().curve(), yw.feel.guides_for("hand")),
            "only a force can be drawn",
        ),
    ],
)
def test_refusals(draw, words):
    with pytest.raises(yw.InvalidValueError, match=words):
        draw()


@pytest.mark.parametrize("draw", [plots.plot_release, plots.plot_force_travel])
def test_the_wrong_thing_is_a_type_error(draw):
    with pytest.raises(TypeError, match="needed"):
        draw(3.0 if draw is plots.plot_force_travel else [3.0])


def test_force_at_full_travel_is_drawn_there():
    stick = control()
    curve = stick.curve()
    guides = [g for g in yw.feel.guides_for("stick", "pitch") if g.quantity == "force for a short time"]
    assert guides
    ax = plots.plot_force_travel(curve, guides)
    for line in (line for line in ax.lines if line.get_label() == "_guide"):
        assert np.ptp(line.get_xdata()) == pytest.approx(np.abs(curve.way).max() / mm)


def test_names_of_guides_stay_apart_and_in_the_picture():
    guides = [g for g in yw.feel.guides_for("stick", "roll") if g.quantity == "breakout force"]
    ax = plots.plot_force_travel(control().curve(), guides, control().centering())
    figure = ax.figure
    figure.draw_without_rendering()
    boxes = [text.get_window_extent() for text in ax.texts]
    assert len(boxes) > 1
    assert all(figure.bbox.count_contains(box.corners()) == 4 for box in boxes)
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


@pytest.mark.parametrize(("operated", "motion"), [("stick", "roll"), ("stick", "pitch"), ("pedals", "yaw")])
@pytest.mark.parametrize("stiffness", [6.0, 60.0])
def test_figures_of_very_different_size_leave_the_curve_in_sight(operated, motion, stiffness):
    guides = [g for g in yw.feel.guides_for(operated, motion) if g.quantity in _FORCES]
    spring = yw.spring.LinearTorsionSpring(rate=stiffness, free_angle=0.0, action="both")
    bare = control()
    stick = bare.with_elements([yw.feel.Element.torsion(spring, "lever"), *bare.elements[1:]])
    curve = stick.curve()
    felt = np.abs(curve.force).max() + curve.friction.max()
    ax = plots.plot_force_travel(curve, guides, stick.centering())
    low, high = ax.get_ylim()
    assert felt < high < 6.5 * felt
    assert -6.5 * felt < low < -felt
    ax.figure.draw_without_rendering()
    boxes = [text.get_window_extent() for text in ax.texts]
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])
    zero = ax.transData.transform((0.0, 0.0))[1]
    texts = [text.get_text() for text in ax.texts]
    for text, box in zip(texts, boxes, strict=True):
        assert box.y1 < zero + 2 if text.startswith("beyond") else box.y0 > zero - 2
    # Nothing is left out: what is not drawn in sight is named.
    shown = " ".join(texts)
    for guide in guides:
        assert f"{guide.value:.3g}" in shown
