"""Drawings of a stick in its gate show what was calculated."""

import numpy as np
import pytest
from matplotlib import pyplot
from matplotlib.contour import ContourSet
from mpl_toolkits.mplot3d.art3d import Poly3DCollection

import yokewright as yw
from yokewright import deg, mm
from yokewright.plots import plot_clearance, plot_stick_reach
from yokewright.plots.stick import _faces

STICK = yw.linkage.Gimbal(
    outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
    inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
    stick=[(0, 0, 0), (0, 0, 0.25), (-0.06, 0, 0.45)],
    stick_radius=10 * mm,
    grip_radius=45 * mm,
)
GATES = [
    yw.linkage.Gate.round(17 * deg),
    yw.linkage.Gate.square((-15 * deg, 12 * deg), (-10 * deg, 10 * deg)),
    # A notch: not every position between two allowed ones is allowed.
    yw.linkage.Gate.polygon([[-0.3, -0.3], [0.3, -0.3], [0.3, 0.3], [0.0, 0.05], [-0.3, 0.3]]),
]
OBSTACLES = [
    yw.linkage.Obstacle.block((0.3, 0.4, 0.1), yw.Pose((-0.4, 0, 0.35), (0.1, 0.2, 0.3))),
    yw.linkage.Obstacle.cylinder(60 * mm, 0.3, yw.Pose((0.3, 0, 0.4), (0.2, 0.3, 0))),
    yw.linkage.Obstacle.capsule((-0.2, 0.35, 0.4), (0.1, 0.35, 0.45), 60 * mm),
    yw.linkage.Obstacle.capsule((0, -0.4, 0.3), (0, -0.4, 0.3), 50 * mm),
]
each_gate = pytest.mark.parametrize("gate", GATES, ids=[gate.kind for gate in GATES])


@pytest.fixture(autouse=True)
def _no_figure_stays_open():
    yield
    pyplot.close("all")


def line(ax, label):
    return next(line for line in ax.lines if line.get_label() == label)


@each_gate
def test_reach_is_drawn_to_scale(gate):
    clearance = STICK.clearance(gate, OBSTACLES)
    ax = plot_stick_reach(STICK, gate, OBSTACLES, clearance=clearance)
    stick = np.array(line(ax, "stick at neutral").get_data_3d()).T
    np.testing.assert_allclose(stick, STICK.stick / mm)
    edge = np.array(line(ax, "grip at the edge of the gate").get_data_3d()).T
    grips = STICK.envelope(gate, 2 * deg).edge_grips / mm
    np.testing.assert_allclose(edge, np.vstack([grips, grips[:1]]))
    label = f"least clearance {clearance.distance / mm:.1f} mm"
    ends = np.array(line(ax, label).get_data_3d()).T * mm
    # As long as it says, and from surface to surface: a hair farther on is inside the obstacle.
    assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(clearance.distance, rel=1e-9)
    obstacle = OBSTACLES[clearance.obstacle]
    assert obstacle.distance(ends[1]) == pytest.approx(0.0, abs=1e-9)
    assert obstacle.distance(ends[0]) == pytest.approx(clearance.distance, rel=1e-9)
    assert obstacle.distance(ends[1] + 1e-3 * (ends[1] - ends[0])) <= 0.0
    # The envelope of the grip, the obstacles, and the ball of the grip where it is nearest.
    bodies = [part for part in ax.collections if isinstance(part, Poly3DCollection)]
    assert len(bodies) == 2 + len(OBSTACLES)
    assert [axis.get_label_text() for axis in (ax.xaxis, ax.yaxis, ax.zaxis)] == [
        "x (mm)",
        "y (mm)",
        "z (mm)",
    ]


@pytest.mark.parametrize("obstacle", OBSTACLES, ids=["block", "cylinder", "capsule", "ball"])
def test_facets_lie_on_the_surface(obstacle):
    """Corners of facets are on the surface of the body: a hair farther out is outside."""
    corners = np.vstack(_faces(obstacle)) * mm
    middle = corners.mean(axis=0)
    for corner in corners:
        assert obstacle.distance(corner) == pytest.approx(0.0, abs=1e-12)
        assert obstacle.distance(middle + 1.001 * (corner - middle)) > 0.0


@each_gate
def test_map_of_clearance(gate):
    ax = plot_clearance(STICK, gate, OBSTACLES)
    least = STICK.clearance(gate, OBSTACLES)
    mark = line(ax, f"least clearance {least.distance / mm:.1f} mm")
    np.testing.assert_allclose(np.ravel(mark.get_data()), np.array(least.angles) / deg)
    ring = np.array(line(ax, "gate").get_data()).T * deg
    assert STICK.allowed(gate, *ring.T).all()
    shown = next(part for part in ax.collections if isinstance(part, ContourSet))
    # Whatever is drawn is within the scale.
    assert shown.levels[0] * mm <= least.distance
    assert ax.get_xlabel() == "Outer angle (deg)"
    ax = plot_clearance(STICK, gate, OBSTACLES, names=("pitch", "roll"))
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("Pitch angle (deg)", "Roll angle (deg)")


def test_a_collision_is_marked():
    wall = [yw.linkage.Obstacle.block((0.02, 1.0, 1.0), yw.Pose((0.05, 0, 0.5)))]
    ax = plot_clearance(STICK, GATES[1], wall)
    labels = [text.get_text() for text in ax.get_legend().get_texts()]
    assert labels == ["collision", "gate", "deepest"]
    ax = plot_stick_reach(STICK, GATES[1], wall, clearance=STICK.clearance(GATES[1], wall))
    assert "collision" in [text.get_text() for text in ax.get_legend().get_texts()]


def test_given_axes_are_used():
    _, flat = pyplot.subplots()
    assert plot_clearance(STICK, GATES[0], OBSTACLES, flat) is flat
    solid = pyplot.figure().add_subplot(projection="3d")
    assert plot_stick_reach(STICK, GATES[0], ax=solid) is solid


@pytest.mark.parametrize("names", ["ab", ("a",), ("a", "b", "c"), ("", "roll"), 3])
def test_names_are_two(names):
    for draw in (plot_clearance, plot_stick_reach):
        with pytest.raises(yw.InvalidValueError, match="two are needed"):
            draw(STICK, GATES[0], OBSTACLES, names=names)


def test_axes_are_called_what_the_caller_calls_them():
    ax = plot_stick_reach(STICK, GATES[0], names=("pitch", "roll"))
    labels = {text.get_text() for text in ax.get_legend().get_texts()}
    assert {"pitch axis", "roll axis"} <= labels
    assert not any("outer" in label or "inner" in label for label in labels)


@pytest.mark.parametrize("kind", [one.kind for one in OBSTACLES])
def test_line_of_the_clearance_is_as_long_as_it_says(kind):
    for obstacle in OBSTACLES:
        if obstacle.kind == kind:
            clearance = STICK.clearance(GATES[0], [obstacle])
            ax = plot_stick_reach(STICK, GATES[0], [obstacle], clearance=clearance)
            label = f"least clearance {clearance.distance / mm:.1f} mm"
            start, end = np.array(line(ax, label).get_data_3d()).T
            assert np.linalg.norm(end - start) == pytest.approx(clearance.distance / mm, rel=1e-9)
