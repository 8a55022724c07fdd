"""Arrangements from Python: their field by integration of the surface charge, their measures, their drawings."""

import numpy as np
import pytest
from matplotlib import pyplot
from matplotlib.figure import Figure
from matplotlib.text import Text
from scipy.integrate import dblquad

import yokewright as yw
from yokewright import deg, mm

SMALLEST_TYPE_PT = 9.0  # what the eye reads at arm's length (common practice)
# Of the integrals over smooth surfaces at some millimeters: they are asked for 1e-11.
QUADRATURE = 1e-9
SENSOR = yw.hall.LinearHall(
    supply=5.0,
    nominal_supply=5.0,
    quiescent=2.5,
    sensitivity=10.0,
    rail_low=0.2,
    rail_headroom=0.2,
    noise=1 * yw.mV,
    depth=0.4 * mm,
)
CONVERTER = yw.hall.Converter(bits=12, reference=5.0)
LYING = yw.Pose(rotation=(0, 90 * deg, 0))
BLOCK = yw.magnet.Block((4 * mm, 5 * mm, 6 * mm), (0.0, 1.2, 0.0))
BAR = yw.magnet.Block((3 * mm, 6 * mm, 6 * mm), (1.2, 0.0, 0.0))
DISC = yw.magnet.Cylinder(6 * mm, 2.5 * mm, (1.2, 0.0, 0.0))
RING = yw.magnet.Ring(14 * mm, 8 * mm, 4 * mm, (1.2, 0.0, 0.0))
PLATE = yw.axis.BackPlate(0.5 * mm)
PACKAGE = yw.axis.SensorPackage(4 * mm, 3 * mm, 1.5 * mm)

ARRANGEMENTS = {
    "swung": yw.axis.SwungLayout(magnet=BLOCK, arm=20 * mm, gap=3 * mm),
    "swung inside": yw.axis.SwungLayout(magnet=BLOCK, arm=20 * mm, gap=3 * mm, side="inner", package=PACKAGE),
    "swung past its end": yw.axis.SwungLayout(
        magnet=yw.magnet.Cylinder(5 * mm, 8 * mm, (0, 0, 1.2)), arm=20 * mm, gap=3 * mm, side="axial", plate=PLATE
    ),
    "tilted": yw.axis.SwungLayout(
        magnet=yw.magnet.Cylinder(6 * mm, 3 * mm, (0, 0, 1.2), LYING),
        arm=20 * mm,
        gap=3 * mm,
        magnet_tilt=(0, 0, 8 * deg),
        sensor_tilt=(0, 0, -5 * deg),
        offset=(0, 1 * mm, 0),
        plate=PLATE,
        package=PACKAGE,
    ),
    "pair": yw.axis.PairLayout(magnets=BAR, arm=20 * mm, gap=4 * mm, spacing=3 * mm),
    "pair on a round carrier": yw.axis.PairLayout(
        magnets=BAR, arm=20 * mm, gap=4 * mm, spacing=3 * mm, carrier="round", plate=PLATE
    ),
    "head on": yw.axis.HeadOnLayout(magnet=BLOCK, arm=25 * mm, gap=5 * mm),
    "shaft end": yw.axis.ShaftEndLayout(magnet=DISC, gap=2 * mm, eccentricity=(0.2 * mm, 0.1 * mm)),
    "beside the shaft": yw.axis.ShaftEndLayout(magnet=RING, gap=2 * mm, side="beside"),
}
each = pytest.mark.parametrize("arrangement", ARRANGEMENTS.values(), ids=ARRANGEMENTS)


@pytest.fixture(autouse=True)
def _no_figure_stays_open():
    yield
    pyplot.close("all")


def charged(point, density, radius, angle, height):
    """Flux density of the charge of a mantle's spot, T/m2, at a point."""
    spot = np.array([radius * np.cos(angle), radius * np.sin(angle), height])
    away = point - spot
    return density * radius * away / (4 * np.pi * np.linalg.norm(away) ** 3)


def test_a_shaft_end_reads_the_charge_of_the_mantle():
    for eccentricity in ((0.0, 0.0), (0.3 * mm, -0.2 * mm)):
        layout = yw.axis.ShaftEndLayout(magnet=DISC, gap=2 * mm, eccentricity=eccentricity)
        at = layout.sensor_pose.position
        np.testing.assert_allclose(at, [0, 0, 3.25 * mm], atol=1e-18)
        seen = at - np.array([*eccentricity, 0.0])

        def part(k, seen=seen):
            def density(height, angle):
                return charged(seen, 1.2 * np.cos(angle), 3 * mm, angle, height)[k]

            return dblquad(density, 0, 2 * np.pi, -1.25 * mm, 1.25 * mm, epsabs=1e-11)[0]

        expected = [part(k) for k in range(3)]
        np.testing.assert_allclose(layout.source.field_at(at), expected, atol=QUADRATURE)


def test_head_on_reads_the_charge_of_both_poles():
    layout = yw.axis.HeadOnLayout(magnet=BLOCK, arm=25 * mm, gap=5 * mm)
    at = layout.sensor_pose.position
    seen = at - np.array([25 * mm, 0, 0])

    def pole(side):
        def density(z, x):
            away = seen - np.array([x, side * 2.5 * mm, z])
            return side * 1.2 * away[1] / (4 * np.pi * np.linalg.norm(away) ** 3)

        return dblquad(density, -2 * mm, 2 * mm, -3 * mm, 3 * mm, epsabs=1e-11)[0]

    expected = [0.0, pole(1) + pole(-1), 0.0]
    np.testing.assert_allclose(layout.source.field_at(at), expected, atol=QUADRATURE)


@each
def test_every_measure_is_read_and_set_by_its_name(arrangement):
    names = [measure.name for measure in arrangement.measures()]
    assert len(set(names)) == len(names)
    assert "gap" in names
    for measure in arrangement.measures():
        assert arrangement.measure(measure.name) == measure.value
        assert arrangement.measure(measure.name.upper().replace(" ", "_")) == measure.value
        low, high = measure.bounds
        assert low <= measure.value <= high
        changed = arrangement.with_measure(measure.name, 0.999 * measure.value + (measure.value == 0.0) * 1e-5)
        assert type(changed) is type(arrangement)
        assert changed != arrangement
        assert changed.measure(measure.name) != measure.value
        for wrong in (np.nan, low - 1.0, high + 1.0):
            with pytest.raises(yw.InvalidValueError, match=measure.name):
                arrangement.with_measure(measure.name, wrong)
    with pytest.raises(yw.InvalidValueError, match="is not known"):
        arrangement.with_measure("girth", 1.0)


def test_a_measure_that_an_arrangement_lacks():
    layout = ARRANGEMENTS["shaft end"]
    assert layout.measure("arm") is None
    with pytest.raises(yw.InvalidValueError, match=r"measure of this arrangement: 'arm' is not known; .*gap"):
        layout.with_measure("arm", 0.01)


@each
def test_what_is_printed_makes_it_again(arrangement):
    names = {name: getattr(yw.magnet, name) for name in yw.magnet.__all__}
    names |= {name: getattr(yw.axis, name) for name in yw.axis.__all__}
    assert eval(repr(arrangement), names | {"Pose": yw.Pose}) == arrangement


def test_one_magnet_makes_a_pair_of_opposite_ones():
    one = ARRANGEMENTS["pair"]
    reversed_bar = yw.magnet.Block((3 * mm, 6 * mm, 6 * mm), (-1.2, 0.0, 0.0))
    assert one == yw.axis.PairLayout(magnets=[BAR, reversed_bar], arm=20 * mm, gap=4 * mm, spacing=3 * mm)
    for wrong in ([BAR], [BAR] * 3, []):
        with pytest.raises(TypeError, match=rf"one magnet or two are needed, got {len(wrong)}"):
            yw.axis.PairLayout(magnets=wrong, arm=20 * mm, gap=4 * mm, spacing=3 * mm)
    with pytest.raises(TypeError):
        yw.axis.PairLayout(magnets="two", arm=20 * mm, gap=4 * mm, spacing=3 * mm)


@each
def test_every_arrangement_makes_an_axis(arrangement):
    throw = (-5 * deg, 5 * deg)
    area = yw.magnet.ActiveArea.rectangle(0.2 * mm, 0.2 * mm)
    drive = yw.linkage.FixedRatio(0.5)
    axis = arrangement.axis(throw=throw, sensor=SENSOR, converter=CONVERTER, area=area, drive=drive, lever=0.1)
    assert (axis.throw, axis.lever, axis.drive, axis.area) == (throw, 0.1, drive, area)
    assert axis.sensor_pose == arrangement.sensor_pose
    plain = arrangement.axis(throw=throw, sensor=SENSOR, converter=CONVERTER)
    other = arrangement.axis(throw=throw, sensor=SENSOR, converter=CONVERTER, moving="sensor")
    # Behind the ratio the pivot turns half as far; an area of 0.2 mm reads nearly as its middle does.
    assert axis.flux_at(4 * deg) == pytest.approx(plain.flux_at(2 * deg), rel=0.02, abs=1e-4)
    assert other.flux_at(-4 * deg) == pytest.approx(plain.flux_at(4 * deg), rel=1e-9)
    if arrangement.plate is not None:
        assert (plain.plate, other.plate) == ("moving", "frame")


def test_a_package_must_keep_clear():
    with pytest.raises(yw.CollisionError, match="at 0 deg the sensor's package reaches 1 mm into the magnet"):
        yw.axis.SwungLayout(magnet=BLOCK, arm=20 * mm, gap=1 * mm, offset=(-2 * mm, 0, 0), package=PACKAGE)


# --- drawings -----------------------------------------------------------------------------------


@each
def test_both_views_are_to_scale_with_their_measures(arrangement):
    figure = yw.plots.plot_arrangement(arrangement)
    assert isinstance(figure, Figure)
    side, top = figure.axes
    assert side.get_aspect() == top.get_aspect() == 1.0
    assert side.get_xlim() == top.get_xlim()
    words = [text.get_text() for ax in (side, top) for text in ax.texts]
    assert f"gap {arrangement.measure('gap') / mm:.3g} mm" in words
    if arrangement.measure("arm") is not None:
        assert f"arm {arrangement.measure('arm') / mm:.3g} mm" in words
    figure.draw_without_rendering()
    # Those of the axes, which are off, are not drawn.
    beside = {id(text) for ax in (side, top) for axis in (ax.xaxis, ax.yaxis) for text in axis.findobj(Text)}
    texts = [text for text in figure.findobj(Text) if text.get_text() and id(text) not in beside]
    assert min(text.get_fontsize() for text in texts) >= SMALLEST_TYPE_PT
    boxes = [text.get_window_extent() for text in texts]
    assert all(figure.bbox.count_contains(box.corners()) == 4 for box in boxes)
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_the_north_end_is_dark():
    """The half of the cube towards its polarization, the tangent: the upper one when seen along the pivot axis."""
    from matplotlib.colors import to_hex

    from yokewright.plots import _style

    _, top = yw.plots.plot_arrangement(ARRANGEMENTS["swung"]).axes
    (north,) = [patch for patch in top.patches if to_hex(patch.get_facecolor()) == _style.NORTH]
    low, high = np.min(north.get_xy(), axis=0), np.max(north.get_xy(), axis=0)
    np.testing.assert_allclose([low, high], [[18, 0], [22, 2.5]], atol=1e-8)


def test_only_arrangements_are_drawn():
    with pytest.raises(TypeError, match="an Arrangement is needed"):
        yw.plots.plot_arrangement(BLOCK)
