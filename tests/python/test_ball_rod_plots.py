"""The drawings of ball-joint rods and pedals show what the calculation says."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from test_ball_rod import pair, rod
from yokewright import deg, mm


@pytest.fixture(autouse=True)
def _no_figure_stays_open():
    yield
    pyplot.close("all")


def test_a_rod_to_scale_in_two_views():
    linkage = rod()
    side, above = yw.plots.plot_ball_rod(linkage, [0.1])
    a, b = linkage.joints(0.1)
    for ax, up in ((side, 2), (above, 1)):
        drawn = [line.get_xydata() for line in ax.lines if line.get_linewidth() == 1.6]
        expected = np.array([[a[0], a[up]], [b[0], b[up]]]) / mm
        assert any(np.allclose(line, expected) for line in drawn)
    with pytest.raises(yw.InvalidValueError, match="at least 1"):
        yw.plots.plot_ball_rod(linkage, [])


def test_motion_of_the_pedals():
    linkage = pair()
    ax = yw.plots.plot_pedal_motion(linkage)
    lower, upper = linkage.reach()
    curve = next(line for line in ax.lines if line.get_label() == "crank").get_xydata()
    ends = sorted([(lower.left / deg, lower.crank / deg), (upper.left / deg, upper.crank / deg)])
    assert sorted([tuple(curve[0]), tuple(curve[-1])]) == [pytest.approx(end) for end in ends]
    assert {text.get_text() for text in ax.texts} == {"left stop", "right stop"}
    assert labels(ax.get_legend()) == ["crank", "ratio as at neutral", "right pedal"]
    assert len(yw.plots.plot_pedals(linkage)) == 2


def labels(key):
    return [text.get_text() for text in key.get_texts()]


def test_parts_are_named():
    parts = ["arm of pedal or crank", "rod", "pedal and pad", "pivot", "joint", "ends of the travel"]
    side, _ = yw.plots.plot_pedals(pair())
    assert labels(*side.figure.legends) == parts
    _, axes = pyplot.subplots(1, 2)
    side, above = yw.plots.plot_pedals(pair(), axes)
    assert labels(side.get_legend()) == parts
    assert side.figure.legends == []
    assert above.get_legend() is None
    side, _ = yw.plots.plot_ball_rod(rod(), [0.0, 0.1, -0.1])
    assert labels(*side.figure.legends) == ["arm", "rod", "pivot", "joint", "at 5.7 deg, at −5.7 deg"]
    side, _ = yw.plots.plot_ball_rod(rod())
    assert labels(*side.figure.legends) == ["arm", "rod", "pivot", "joint"]


def test_swivel_speaks_of_what_the_arms_are():
    linkage = pair().rod("left")
    ax = yw.plots.plot_swivel(linkage, (-0.2, 0.2), names=("left pedal", "crank"))
    assert ax.get_xlabel() == "Left pedal angle (deg)"
    said = labels(ax.get_legend())
    assert said == ["joint on the left pedal", "rated swivel"]
    assert not any("°" in text.get_text() for text in ax.texts)
    with pytest.raises(yw.InvalidValueError, match="two are needed"):
        yw.plots.plot_swivel(linkage, (-0.2, 0.2), names=("left pedal",))


def test_swivel_with_its_limits():
    linkage = pair().rod("left")
    ax = yw.plots.plot_swivel(linkage, (-0.2, 0.2))
    curve = next(line for line in ax.lines if line.get_label() == "joint on the input arm").get_xydata()
    for angle, swivel in curve[::40]:
        assert swivel == pytest.approx(linkage.swivels(angle * deg)[0] / deg)
    with pytest.raises(yw.InvalidValueError, match="stud"):
        yw.plots.plot_swivel(rod())
    with pytest.raises(yw.InvalidValueError, match="locks"):
        yw.plots.plot_swivel(linkage, (-3.0, 3.0))


def test_ratio_of_a_ball_joint_rod():
    ax = yw.plots.plot_ratio(rod(), (-0.3, 0.3))
    curve = next(line for line in ax.lines if line.get_label() == "ratio").get_xydata()
    for angle, ratio in curve[::40]:
        assert ratio == pytest.approx(rod().transfer(angle * deg).ratio, rel=1e-9)
