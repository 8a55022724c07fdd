"""Field map, on-axis curve and load line show what the calculation says, to scale and readable."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib import pyplot
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgb
from matplotlib.contour import ContourSet
from matplotlib.figure import Figure
from matplotlib.patches import FancyArrowPatch, Polygon
from matplotlib.text import Text

import yokewright as yw
from yokewright.plots import _outlines, _style, field_map

SMALLEST_TYPE_PT = 9.0  # what the eye reads at arm's length (common practice)
MU_0 = 4e-7 * np.pi  # exact until 2019; the value measured since lies within 2e-10 (CODATA 2022)
TILTED = yw.Pose((1 * yw.mm, -0.5 * yw.mm, 0.7 * yw.mm), (0.4, -0.7, 0.3))

MAGNETS = {
    "block": yw.magnet.Block((8 * yw.mm, 5 * yw.mm, 3 * yw.mm), (0, 0, 1.3)),
    "cylinder": yw.magnet.Cylinder(8 * yw.mm, 3 * yw.mm, (0, 0, 1.3)),
    "ring": yw.magnet.Ring(10 * yw.mm, 5 * yw.mm, 3 * yw.mm, (0, 0, 1.3)),
    "sphere": yw.magnet.Sphere(6 * yw.mm, (0, 0, 1.3)),
}
SHAPES = [pytest.param(magnet, id=name) for name, magnet in MAGNETS.items()]
PLATE = yw.magnet.SteelPlate((0, 0, -5 * yw.mm), (0.2, 0, 1))


@pytest.fixture(autouse=True)
def _no_figure_stays_open():
    yield
    pyplot.close("all")


def outlines(ax):
    """Lines of the outline, mm."""
    return [
        path.vertices
        for lines in ax.collections
        if isinstance(lines, LineCollection) and lines.get_label() == "_outline"
        for path in lines.get_paths()
    ]


def streamlines(ax):
    """Pieces of the lines of direction, mm, shape (N, 2, 2)."""
    (lines,) = [lines for lines in ax.collections if lines.get_label() == "_direction"]
    lines = [path.vertices for path in lines.get_paths()]
    return np.vstack([np.stack([line[:-1], line[1:]], axis=1) for line in lines])


def bands_of(ax):
    (bands,) = [collection for collection in ax.collections if isinstance(collection, ContourSet)]
    return bands


def labeled(ax, label):
    return next(line for line in ax.get_lines() if line.get_label() == label)


# --- outlines -----------------------------------------------------------------------------------


def crossings(lines, point):
    """How often a ray to the right of a point crosses the lines."""
    count = 0
    for line in lines:
        a, b = line[:-1] - point, line[1:] - point
        over = (a[:, 1] > 0.0) != (b[:, 1] > 0.0)
        a, b = a[over], b[over]
        count += np.count_nonzero(a[:, 0] - a[:, 1] * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1]) > 0.0)
    return count


@pytest.mark.parametrize("magnet", SHAPES)
def test_every_cut_parts_inside_from_outside(magnet):
    generator = np.random.default_rng(7)
    magnet = magnet.moved(TILTED)
    size = 5 * yw.mm
    seen = {True: 0, False: 0}
    for _ in range(40):
        pose = yw.Pose(TILTED.position + generator.uniform(-0.6, 0.6, 3) * size, generator.uniform(-np.pi, np.pi, 3))
        lines = _outlines.section(magnet, pose)
        for line in lines:
            on_surface = [magnet.distance(point) for point in pose.apply(np.pad(line, ((0, 0), (0, 1))))]
            # Corners of arcs are computed from radius and height: a few roundings of a coordinate.
            np.testing.assert_allclose(on_surface, 0.0, atol=1e-14 * 1e3 * size)
        for flat in generator.uniform(-size, size, (40, 2)):
            distance = magnet.distance(pose.apply([[*flat, 0.0]])[0])
            if abs(distance) > 1e-3 * size:  # farther than a chord strays from its arc
                assert crossings(lines, flat) % 2 == (distance < 0.0)
                seen[distance < 0.0] += 1
    assert min(seen.values()) > 100


@pytest.mark.parametrize(("plane", "along"), [("xy", (0, 1)), ("xz", (0, 2)), ("yz", (1, 2))])
@pytest.mark.parametrize("magnet", SHAPES)
def test_outline_is_drawn_to_scale(magnet, plane, along):
    moved = magnet.moved(yw.Pose((2 * yw.mm, 1 * yw.mm, -1 * yw.mm)))
    ax = yw.plots.plot_field_map(moved, plane)
    points = np.vstack(outlines(ax))
    # The three planes go through the magnet, but beside its center.
    away = {"xy": 1, "xz": 1, "yz": 2}[plane]
    across = {"block": (8, 5, 3), "cylinder": (8, 8, 3), "ring": (10, 10, 3)}
    name = next(name for name, known in MAGNETS.items() if known is magnet)
    if name == "sphere":
        expected = np.full(2, 2 * np.sqrt(3**2 - away**2))
    elif name == "block" or plane == "xy":
        expected = np.array(across[name])[list(along)]
    else:
        expected = np.array([2 * np.sqrt((across[name][0] / 2) ** 2 - away**2), 3])
    np.testing.assert_allclose(np.ptp(points, axis=0), expected, rtol=1e-12)
    center = np.array([2, 1, -1])[list(along)]
    np.testing.assert_allclose(points.max(axis=0) + points.min(axis=0), 2 * center, atol=1e-12)
    assert ax.get_aspect() == 1.0


def test_ring_cut_along_its_axis_is_two_rectangles():
    lines = _outlines.section(MAGNETS["ring"], field_map.pose_of("xz")[0])
    length = sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in lines) / yw.mm
    # Two walls of 2.5 mm by 3 mm.
    assert length == pytest.approx(2 * 2 * (2.5 + 3), rel=1e-12)


def turned(count):
    """Poses in which nothing stays exact."""
    generator = np.random.default_rng(13)
    for _ in range(count):
        yield yw.Pose(generator.uniform(-0.1, 0.1, 3), generator.uniform(-np.pi, np.pi, 3))


@pytest.mark.parametrize("magnet", SHAPES)
def test_plane_beside_the_magnet_cuts_nothing(magnet):
    assert _outlines.section(magnet, yw.Pose((0, 0, 3.1 * yw.mm))) == []


@pytest.mark.parametrize("shape", ["block", "cylinder", "ring"])
def test_plane_in_a_face_shows_the_whole_face_however_it_is_turned(shape):
    magnet = MAGNETS[shape]
    for pose in turned(30):
        lines = _outlines.section(magnet.moved(pose), pose @ yw.Pose((0, 0, 1.5 * yw.mm)))
        sizes = np.ptp(np.vstack(lines), axis=0)
        # A position of 0.1 m rounds to 1e-17 m; the corners of a circle need not lie at its widest.
        np.testing.assert_allclose(sizes, _outlines.extents(magnet)[:2], rtol=1e-12 if shape == "block" else 1e-4)


@pytest.mark.parametrize("shape", ["cylinder", "ring"])
def test_plane_through_the_axis_shows_straight_walls_however_it_is_turned(shape):
    magnet = MAGNETS[shape]
    upright = field_map.pose_of("xz")[0]
    for pose in turned(30):
        sizes = np.ptp(np.vstack(_outlines.section(magnet.moved(pose), pose @ upright)), axis=0)
        np.testing.assert_allclose(sizes, _outlines.extents(magnet)[[0, 2]], rtol=1e-12)


@pytest.mark.parametrize("magnet", SHAPES)
def test_way_out_ends_on_the_surface(magnet):
    magnet = magnet.moved(TILTED)
    generator = np.random.default_rng(11)
    for direction in generator.normal(size=(20, 3)):
        direction /= np.linalg.norm(direction)
        out = _outlines.way_out(magnet, direction)
        end = magnet.pose.position + out * direction
        if isinstance(magnet, yw.magnet.Ring) and magnet.distance(end) > 1e-12:
            # Out through the bore: there the way ends in the plane of the end.
            height = magnet.pose.inverse().apply([end])[0, 2]
            assert abs(height) == pytest.approx(magnet.length / 2, rel=1e-12)
        else:
            assert magnet.distance(end) == pytest.approx(0.0, abs=1e-15)
        assert magnet.distance(end + 1e-3 * yw.mm * direction) > 0.0


@pytest.mark.parametrize("magnet", SHAPES)
def test_layout_shows_every_shape(magnet):
    sensor = yw.hall.LinearHall(
        supply=3.3,
        nominal_supply=3.3,
        quiescent=1.65,
        sensitivity=15 * yw.mV_per_mT,
        rail_low=0.2,
        rail_headroom=0.2,
        noise=1 * yw.mV,
        depth=0.0,
    )
    axis = yw.axis.Axis(
        pivot=(0, 0, 0),
        direction=(0, 0, 1),
        throw=(-5 * yw.deg, 5 * yw.deg),
        # Turned so that the axis of round shapes lies along the arm.
        magnets=yw.magnet.MagnetGroup([magnet.moved(yw.Pose((12 * yw.mm, 0, 0), (0, 90 * yw.deg, 0)))]),
        sensor=sensor,
        sensor_pose=yw.Pose((20 * yw.mm, 0, 0), (0, -90 * yw.deg, 0)),
        converter=yw.hall.Converter(bits=12, reference=3.3),
    )
    ax = yw.plots.plot_layout(axis)
    drawn = next(patch for patch in ax.patches if isinstance(patch, Polygon) and patch.get_fill())
    width, height = np.ptp(drawn.get_xy(), axis=0)
    # The arm points up: across is y, upward is the magnet's own z. A circle is drawn with 360 corners.
    sizes = _outlines.extents(magnet) / yw.mm
    assert width == pytest.approx(sizes[1], rel=1e-4)
    assert height == pytest.approx(sizes[2], rel=1e-4)


# --- field map ----------------------------------------------------------------------------------


@pytest.mark.parametrize("plane", ["xy", "xz", "yz", TILTED])
@pytest.mark.parametrize("magnet", SHAPES)
def test_bands_hold_the_magnitude_that_they_say(magnet, plane):
    magnet = magnet.moved(yw.Pose((0, 0, 0), (0.3, 0.5, 0.2)))
    ax = yw.plots.plot_field_map(magnet, plane)
    pose = plane if isinstance(plane, yw.Pose) else field_map.pose_of(plane)[0]
    bands = bands_of(ax)
    edges = np.array([0.0, *bands.levels, np.inf])
    (left, right), (bottom, top) = ax.get_xlim(), ax.get_ylim()
    generator = np.random.default_rng(3)
    flat = generator.uniform((left, bottom), (right, top), (300, 2))
    field, known = magnet.fields_at(pose.apply(np.pad(flat * yw.mm, ((0, 0), (0, 1)))))
    strength = np.linalg.norm(field, axis=1) / yw.mT
    step = max(right - left, top - bottom) / 300
    areas = [path.to_polygons(closed_only=False) for path in bands.get_paths()]
    checked = set()
    for point, value, good in zip(flat, strength, known, strict=True):
        near = magnet.distance(pose.apply([[*(point * yw.mm), 0.0]])[0]) / yw.mm
        # Within a step of the samples a surface, where the field jumps, and a border are not told apart.
        if not good or abs(near) < 2 * step or np.min(np.abs(edges[1:-1] / value - 1)) < 0.05:
            continue
        band = int(np.searchsorted(edges, value)) - 1
        inside = [crossings(polygons, point) % 2 == 1 for polygons in areas]
        assert inside == [number == band for number in range(len(inside))]
        checked.add(band)
    assert len(checked) > 3


def test_scale_steps_by_1_2_5_or_as_asked():
    magnet = MAGNETS["block"]
    levels = bands_of(yw.plots.plot_field_map(magnet)).levels
    assert {f"{level:e}"[0] for level in levels} == {"1", "2", "5"}
    assert all(1.9 < b / a < 2.6 for a, b in pairwise(levels))
    asked = bands_of(yw.plots.plot_field_map(magnet, flux=(3 * yw.mT, 100 * yw.mT))).levels
    np.testing.assert_allclose(asked, [3, 5, 10, 20, 50, 100], rtol=1e-15)


def agreement(ax, pose, source, magnet):
    """Lengths of the pieces of the lines, and their cosines to the field, off the surface of `magnet`."""
    pieces = streamlines(ax) * yw.mm
    pieces = pieces[np.any(pieces[:, 0] != pieces[:, 1], axis=1)]
    middle = pose.apply(np.pad(pieces.mean(axis=1), ((0, 0), (0, 1))))
    # The field turns on the surface, and a piece may reach over it.
    clear = [abs(magnet.distance(point)) > 0.3 * yw.mm for point in middle]
    way, (field, _) = np.diff(pieces[clear], axis=1)[:, 0], source.fields_at(middle[clear])
    flat = (field @ pose.matrix)[:, :2]
    length = np.linalg.norm(way, axis=1)
    return length, np.sum(way * flat, axis=1) / length / np.linalg.norm(flat, axis=1)


@pytest.mark.parametrize("plate", [None, PLATE])
@pytest.mark.parametrize("plane", ["xz", TILTED])
@pytest.mark.parametrize("magnet", SHAPES)
def test_lines_run_along_the_field(magnet, plane, plate):
    ax = yw.plots.plot_field_map(magnet, plane, plate=plate)
    pose = plane if isinstance(plane, yw.Pose) else field_map.pose_of(plane)[0]
    length, cosine = agreement(ax, pose, magnet if plate is None else plate.with_images(magnet), magnet)
    assert len(cosine) > 200
    # But for specks at points without a field, where between two samples the direction turns over.
    assert length[cosine < 0.99].sum() < 0.01 * length.sum()


def test_field_toward_and_away_is_marked():
    ax = yw.plots.plot_field_map(MAGNETS["block"], "xy")
    marks = {line.get_label(): np.column_stack(line.get_data()) for line in ax.get_lines()}
    toward, away = marks["_toward"], marks["_away"]
    assert len(toward) > 0
    assert len(away) > 0
    # In the plane across the middle the flux goes up inside and comes back outside.
    assert np.all(np.abs(toward) < [4, 2.5])
    assert np.all(np.any(np.abs(away) > [4, 2.5], axis=1))
    assert not [lines for lines in ax.collections if lines.get_label() == "_direction"]


@pytest.mark.parametrize("plane", ["xy", "xz", "yz"])
def test_planes_are_right_handed_and_labeled(plane):
    pose, x_label, y_label = field_map.pose_of(plane)
    right, up, normal = pose.matrix.T
    # A Pose keeps its rotation as a vector, which rounds.
    np.testing.assert_allclose(np.cross(right, up), normal, atol=1e-15)
    assert x_label == f"{'xyz'[int(np.argmax(right))]} (mm)"
    assert y_label == f"{'xyz'[int(np.argmax(up))]} (mm)"


def test_steel_is_hatched_and_nothing_is_drawn_in_it():
    ax = yw.plots.plot_field_map(MAGNETS["cylinder"], "xz", plate=PLATE)
    (steel,) = [patch for patch in ax.patches if patch.get_hatch()]
    normal = np.array([0.2, 1.0]) / np.hypot(0.2, 1.0)

    def height(points):
        return (np.asarray(points) - [0, -5]) @ normal

    corners = steel.get_xy()
    assert np.all(height(corners) < 1e-9)
    window = np.array([[x, y] for x in ax.get_xlim() for y in ax.get_ylim()])
    inside = [corner for corner in window if height(corner) < 0.0]
    for corner in inside:
        assert np.min(np.linalg.norm(corners - corner, axis=1)) < 1e-9
    assert np.count_nonzero(np.abs(height(corners)) < 1e-9) == 2
    reach = np.ptp(ax.get_xlim()) / 300
    assert np.all(height(streamlines(ax).reshape(-1, 2)) > -2 * reach)
    for path in bands_of(ax).get_paths():
        assert np.all(height(path.vertices) > -2 * reach)


def test_magnet_that_is_not_polarized_has_an_outline_only():
    ax = yw.plots.plot_field_map(yw.magnet.Block((5 * yw.mm,) * 3, (0, 0, 0)))
    assert [text.get_text() for text in ax.texts] == ["there is no field"]
    assert len(outlines(ax)) == 1
    assert len(ax.collections) == 1


def test_samples_on_an_edge_are_off_the_scale():
    step = 2.0**-14  # m, so that samples fall on the edges to the last bit
    edge, reach = 32 * step, 150 * step
    magnet = yw.magnet.Block((2 * edge,) * 3, (0, 0, 1.3))
    assert not magnet.fields_at([[edge, 0, edge]])[1].any()
    ax = yw.plots.plot_field_map(magnet, extent=(-reach, reach, -reach, reach))
    highest = bands_of(ax).get_paths()[-1].to_polygons(closed_only=False)
    for corner in np.array([[1, 1], [1, -1], [-1, 1], [-1, -1]]):
        assert crossings(highest, corner * (edge + step / 50) / yw.mm) % 2 == 1


def linear(channel):
    """From sRGB to linear light, IEC 61966-2-1."""
    channel = np.asarray(channel)
    return np.where(channel <= 0.04045, channel / 12.92, ((channel + 0.055) / 1.055) ** 2.4)


def lab(color):
    """CIELAB of an sRGB color (IEC 61966-2-1; CIE 15:2004), white D65."""
    light = linear(to_rgb(color))
    matrix = np.array(
        [
            [0.4124564, 0.3575761, 0.1804375],
            [0.2126729, 0.7151522, 0.0721750],
            [0.0193339, 0.1191920, 0.9503041],
        ]
    )
    x, y, z = np.cbrt(matrix @ light / matrix.sum(axis=1))  # no color here is dark enough for the straight part
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def test_colors_step_evenly_and_print_in_gray():
    colors = np.array([lab(field_map.RAMP(share)) for share in np.linspace(0, 1, 17)])
    steps = np.linalg.norm(np.diff(colors, axis=0), axis=1)
    # Rounding to 256 shades moves a color by up to 0.3, so a step of 3.8 by some 10 %.
    assert np.ptp(steps) < 0.2 * steps.mean()
    assert np.all(np.diff(colors[:, 0]) < -2)  # lightness alone keeps the order
    ink, darkest = ([0.2126, 0.7152, 0.0722] @ linear(to_rgb(color)) for color in (_style.INK, field_map.RAMP(1.0)))
    # Contrast as WCAG 2.1 defines it: lines need some 2 to 1 on the darkest band, where they are densest.
    assert (darkest + 0.05) / (ink + 0.05) > 2


# --- on the axis --------------------------------------------------------------------------------


def test_cylinder_follows_its_closed_form():
    diameter, length, remanence = 8 * yw.mm, 3 * yw.mm, 1.3
    ax = yw.plots.plot_on_axis(yw.magnet.Cylinder(diameter, length, (0, 0, remanence)).moved(TILTED))
    distance, flux = labeled(ax, "on the axis").get_data()
    # E. P. Furlani, Permanent Magnet and Electromechanical Devices, 2001, sec. 4.2: axial cylinder.
    x, r = distance * yw.mm, diameter / 2
    expected = remanence / 2 * ((x + length) / np.hypot(x + length, r) - x / np.hypot(x, r))
    # The difference of two terms near 1 loses one digit over this reach.
    np.testing.assert_allclose(flux * yw.mT, expected, rtol=1e-12)
    assert distance[0] == 0.0
    assert distance[-1] == pytest.approx(16, rel=1e-15)
    assert "(mm)" in ax.get_xlabel()
    assert "(mT)" in ax.get_ylabel()


@pytest.mark.parametrize("polarization", [(0, 0, 1.3), (1.3, 0, 0), (0.5, -0.4, 0.9)])
@pytest.mark.parametrize("shape", list(MAGNETS))
def test_curve_starts_at_the_north_pole_of_every_shape(shape, polarization):
    sizes = {
        "block": lambda j: yw.magnet.Block((8 * yw.mm, 5 * yw.mm, 3 * yw.mm), j),
        "cylinder": lambda j: yw.magnet.Cylinder(8 * yw.mm, 3 * yw.mm, j),
        "ring": lambda j: yw.magnet.Ring(10 * yw.mm, 5 * yw.mm, 3 * yw.mm, j),
        "sphere": lambda j: yw.magnet.Sphere(6 * yw.mm, j),
    }
    magnet = sizes[shape](polarization).moved(TILTED)
    flux = labeled(yw.plots.plot_on_axis(magnet, reach=9 * yw.mm), "on the axis").get_ydata()
    north = TILTED.matrix @ np.array(polarization) / np.linalg.norm(polarization)
    for index in (0, 200, 400):
        out = _outlines.way_out(magnet, north) + index / 400 * 9 * yw.mm
        expected = magnet.field_at(TILTED.position + out * north) @ north
        assert flux[index] * yw.mT == pytest.approx(expected, rel=1e-12)
    assert flux[-1] > 0.0


def test_span_of_the_sensor_is_a_band_and_drawn_once_in_the_key():
    magnet = MAGNETS["cylinder"]
    ax = yw.plots.plot_on_axis(magnet, (-90 * yw.mT, 110 * yw.mT), label="disc")
    assert yw.plots.plot_on_axis(MAGNETS["block"], (-90 * yw.mT, 110 * yw.mT), 20 * yw.mm, label="bar", ax=ax) is ax
    band = ax.patches[0].get_extents().transformed(ax.transData.inverted())
    assert (band.y0, band.y1) == pytest.approx((-90, 110), rel=1e-12)
    names = [text.get_text() for text in ax.get_legend().get_texts()]
    assert sorted(names) == ["bar", "disc", "range of the sensor"]
    assert ax.get_xlim() == pytest.approx((0, 20))
    yw.plots.plot_on_axis(MAGNETS["sphere"], reach=5 * yw.mm, label="ball", ax=ax)
    assert ax.get_xlim() == pytest.approx((0, 20))
    strokes = [(line.get_linestyle(), line.get_linewidth()) for line in (labeled(ax, "disc"), labeled(ax, "bar"))]
    assert strokes[0] != strokes[1]


def test_steel_behind_raises_the_curve():
    magnet = MAGNETS["cylinder"]
    plate = yw.magnet.SteelPlate((0, 0, -1.5 * yw.mm), (0, 0, 1))
    ax = yw.plots.plot_on_axis(magnet, label="alone")
    yw.plots.plot_on_axis(magnet, plate=plate, label="on steel", ax=ax)
    alone, on_steel = (labeled(ax, label).get_ydata() for label in ("alone", "on steel"))
    assert np.all(on_steel > alone)
    # Touching steel, magnet and image are one magnet of twice the length.
    double = yw.magnet.Cylinder(8 * yw.mm, 6 * yw.mm, (0, 0, 1.3))
    long = labeled(yw.plots.plot_on_axis(double, reach=16 * yw.mm), "on the axis").get_ydata()
    np.testing.assert_allclose(on_steel, long, rtol=1e-12)


# --- load line ----------------------------------------------------------------------------------


def working_point(celsius=20.0, factor=0.4, grade="N42", **load):
    return yw.magnet.WorkingPoint(yw.magnet.Grade.named(grade), factor, celsius=celsius, **load)


def marks(ax, symbol):
    return [line for line in ax.get_lines() if line.get_marker() == symbol and len(line.get_xdata()) == 1]


@pytest.mark.parametrize("outside", [0.0, -5e4, 6e5])
@pytest.mark.parametrize("celsius", [-20.0, 20.0, 60.0])
def test_working_point_lies_on_both_lines(celsius, outside):
    point = working_point(celsius, external_field=outside)
    ax = yw.plots.plot_load_line(point)
    (dot,), (knee,) = marks(ax, "o"), marks(ax, "s")
    h, b = float(dot.get_xdata()[0]), float(dot.get_ydata()[0])
    assert (1e3 * h, b) == pytest.approx((point.field_strength, point.flux_density), rel=1e-14)
    assert (1e3 * knee.get_xdata()[0], knee.get_ydata()[0]) == pytest.approx(point.knee, rel=1e-14)
    (recoil,) = [line for line in ax.get_lines() if line.get_label() == "_recoil"]
    load = labeled(ax, "load line")
    for line in (recoil, load):
        x, y = line.get_data()
        order = np.argsort(x)
        assert np.interp(h, np.asarray(x)[order], np.asarray(y)[order]) == pytest.approx(b, rel=1e-12)
        assert min(x) * (1 + 1e-12) <= h <= max(x) * (1 + 1e-12)
    start = max(0.0, point.field_strength)  # with help from outside H may point forward
    assert recoil.get_ydata()[0] == pytest.approx(point.recoil_line(start), rel=1e-14)
    assert load.get_xdata()[0] == pytest.approx(outside / 1e3)
    assert ax.get_xlim()[0] < h < ax.get_xlim()[1]
    # Slopes in units of mu0: recoil permeability, and minus the permeance coefficient of the shape.
    slope = {line: np.diff(line.get_ydata())[0] / np.diff(line.get_xdata())[0] / 1e3 / MU_0 for line in (recoil, load)}
    assert slope[recoil] == pytest.approx(1.05, rel=1e-8)
    assert slope[load] == pytest.approx(-(1 - 0.4) / 0.4, rel=1e-8)
    assert "(kA/m)" in ax.get_xlabel()
    assert "(T)" in ax.get_ylabel()


def test_margin_is_the_arrow_between_point_and_knee():
    point = working_point(60.0)
    ax = yw.plots.plot_load_line(point)
    (arrow,) = [patch for patch in ax.patches if isinstance(patch, FancyArrowPatch)]
    (start, level), (end, same_level) = arrow.get_path().vertices[[0, -1]] if False else arrow._posA_posB
    assert level == same_level == point.flux_density
    assert 1e3 * (end - start) == pytest.approx(point.margin, rel=1e-12)
    said = [text.get_text() for text in ax.get_legend().get_texts()]
    assert f"60 °C: margin {point.margin / 1e3:.0f} kA/m" in said


def test_point_past_its_knee_is_hollow_and_said():
    points = [working_point(20.0, 0.8), working_point(80.0, 0.8)]
    assert [point.reversible for point in points] == [True, False]
    ax = yw.plots.plot_load_line(points)
    fills = [to_rgb(dot.get_markerfacecolor()) for dot in marks(ax, "o")]
    assert fills == [to_rgb(_style.INK), (1.0, 1.0, 1.0)]
    said = [text.get_text() for text in ax.get_legend().get_texts()]
    assert f"80 °C: past the knee by {-points[1].margin / 1e3:.0f} kA/m" in said
    assert len([patch for patch in ax.patches if isinstance(patch, FancyArrowPatch)]) == 1


def test_temperatures_share_one_load_line_and_differ_by_stroke():
    points = [working_point(celsius) for celsius in (-20.0, 20.0, 60.0)]
    ax = yw.plots.plot_load_line(points)
    said = [text.get_text() for text in ax.get_legend().get_texts()]
    assert said.count("load line") == 1
    assert [name.partition(":")[0] for name in said[1:-1]] == ["−20 °C", "20 °C", "60 °C"]
    recoils = [line for line in ax.get_lines() if line.get_label() == "_recoil"]
    assert (
        len(
            {
                (
                    line.get_linestyle(),
                    line.get_linewidth(),
                    line._dash_pattern[1] and tuple(line._dash_pattern[1]),
                )
                for line in recoils
            }
        )
        == 3
    )
    dashed = [line for line in ax.get_lines() if line.get_label() in ("_load", "load line")]
    assert len(dashed) == 1


def test_names_tell_what_differs():
    points = [
        working_point(),
        working_point(factor=0.2, grade="Y30BH", bound="lowest"),
        working_point(external_field=-2e4),
    ]
    ax = yw.plots.plot_load_line(points)
    names = [text.get_text().partition(":")[0] for text in ax.get_legend().get_texts()]
    assert "N42, nominal remanence, N 0.4, 20 °C, 0 kA/m from outside" in names
    assert "Y30BH, lowest remanence, N 0.2, 20 °C, 0 kA/m from outside" in names
    assert "N42, nominal remanence, N 0.4, 20 °C, −20 kA/m from outside" in names
    assert len([line for line in ax.get_lines() if line.get_label() in ("_load", "load line")]) == 3


# --- all of them --------------------------------------------------------------------------------


def texts_in(figure):
    """Every text that is drawn: labels of ticks beyond the ends of an axis are not."""
    figure.draw_without_rendering()
    beyond = set()
    for ax in figure.findobj(lambda part: hasattr(part, "get_xlim")):
        for axis in (ax.xaxis, ax.yaxis):
            low, high = sorted(axis.get_view_interval())
            hidden = [tick for tick in axis.get_major_ticks() if not low <= tick.get_loc() <= high]
            beyond |= {id(label) for tick in hidden for label in (tick.label1, tick.label2)}
    texts = [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]
    return [text for text in texts if id(text) not in beyond]


GROUP = yw.magnet.MagnetGroup([MAGNETS["block"], MAGNETS["ring"].moved(yw.Pose((14 * yw.mm, 0, 0)))])
DRAWINGS = {
    "map": lambda ax: yw.plots.plot_field_map(MAGNETS["cylinder"], ax=ax),
    "map of a group": lambda ax: yw.plots.plot_field_map(GROUP, "xy", ax=ax),
    "map over steel": lambda ax: yw.plots.plot_field_map(GROUP, TILTED, plate=PLATE, ax=ax),
    "flat map": lambda ax: yw.plots.plot_field_map(
        GROUP, "xz", (-20 * yw.mm, 40 * yw.mm, -5 * yw.mm, 8 * yw.mm), ax=ax
    ),
    "upright map": lambda ax: yw.plots.plot_field_map(
        GROUP, "yz", (-8 * yw.mm, 8 * yw.mm, -25 * yw.mm, 25 * yw.mm), ax=ax
    ),
    "on the axis": lambda ax: yw.plots.plot_on_axis(MAGNETS["sphere"], (-0.1, 0.1), ax=ax),
    "load line": lambda ax: yw.plots.plot_load_line(working_point(), ax=ax),
    "load lines": lambda ax: yw.plots.plot_load_line(
        [working_point(celsius, 0.75) for celsius in (-20, 20, 80)], ax=ax
    ),
}


@pytest.mark.parametrize("size", [None, (3.5, 2.8), (6.4, 4.8)])
@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
def test_type_is_readable_whole_and_apart(draw, size):
    if size is None:
        figure = draw(None).figure
    else:
        figure = Figure(figsize=size, layout="constrained")
        draw(figure.add_subplot())
    texts = texts_in(figure)
    assert len(texts) > 5
    assert min(text.get_fontsize() for text in texts) >= SMALLEST_TYPE_PT
    boxes = [text.get_window_extent() for text in texts]
    assert all(figure.bbox.count_contains(box.corners()) == 4 for box in boxes)
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
def test_draws_into_the_axes_given(draw):
    ax = Figure().add_subplot()
    assert draw(ax) is ax
    assert pyplot.get_fignums() == []


BLOCK = MAGNETS["block"]
AXIS_OF_NONE = yw.magnet.Block((5 * yw.mm,) * 3, (0, 0, 0))


@pytest.mark.parametrize(
    ("call", "kind", "words"),
    [
        (lambda: yw.plots.plot_field_map(BLOCK, "xw"), yw.InvalidValueError, "'xw'; choose from xy, xz, yz"),
        (lambda: yw.plots.plot_field_map("block"), TypeError, "Magnet or a MagnetGroup is needed, got str"),
        (lambda: yw.plots.plot_field_map(BLOCK, extent=(1, 2, 3)), yw.InvalidValueError, "four values"),
        (
            lambda: yw.plots.plot_field_map(BLOCK, extent=(2e-3, 1e-3, 0, 1e-3)),
            yw.InvalidValueError,
            "go upward",
        ),
        (lambda: yw.plots.plot_field_map(BLOCK, extent=(0, np.nan, 0, 1)), yw.InvalidValueError, "finite"),
        (
            lambda: yw.plots.plot_field_map(BLOCK, extent=(-20, 20, -5, 5)),
            yw.InvalidValueError,
            "did you mean mm",
        ),
        (lambda: yw.plots.plot_field_map(BLOCK, flux=(0, 1)), yw.InvalidValueError, "starts above 0 T"),
        (lambda: yw.plots.plot_field_map(BLOCK, flux=(0.1, 0.1)), yw.InvalidValueError, "go upward"),
        (
            lambda: yw.plots.plot_field_map(BLOCK, plate=yw.magnet.SteelPlate((0, 0, 0), (0, 0, 1))),
            yw.YokewrightError,
            "plate",
        ),
        (lambda: yw.plots.plot_on_axis(GROUP), TypeError, "got MagnetGroup"),
        (lambda: yw.plots.plot_on_axis(AXIS_OF_NONE), yw.InvalidValueError, "polarization is 0 T"),
        (lambda: yw.plots.plot_on_axis(BLOCK, reach=-1e-3), yw.InvalidValueError, "reach is -0.001 m"),
        (lambda: yw.plots.plot_on_axis(BLOCK, reach=20), yw.InvalidValueError, "did you mean mm"),
        (
            lambda: yw.plots.plot_on_axis(BLOCK, (0.1, -0.1)),
            yw.InvalidValueError,
            "sensor_span is 0.1 to -0.1 T",
        ),
        (lambda: yw.plots.plot_on_axis(BLOCK, 0.1), yw.InvalidValueError, "two values"),
        (lambda: yw.plots.plot_load_line([]), yw.InvalidValueError, "at least 1"),
        (lambda: yw.plots.plot_load_line([BLOCK]), TypeError, "WorkingPoint is needed, got Block"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_the_reason(call, kind, words):
    with pytest.raises(kind, match=words):
        call()
    assert pyplot.get_fignums() == []
