"""Templates measured as a builder would: with the numbers in the files."""

import io
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import numpy as np
import pytest

import yokewright as yw
from yokewright import deg, mm
from yokewright.templates import gate_plate, lever_arm, magnet_mount, sensor_mount

SVG = "{http://www.w3.org/2000/svg}"


def arm(joint, axis=(0, 1, 0), pivot=(0, 0, 0)):
    return yw.linkage.Arm(pivot, axis, joint)


def read(template):
    """The document, and the holes and outlines of a DXF in it, mm."""
    document = ezdxf.read(io.StringIO(template.to_dxf()))
    assert document.units == ezdxf.units.MM
    space = document.modelspace()
    circles = [(*circle.dxf.center.xyz[:2], 2 * circle.dxf.radius) for circle in space.query("CIRCLE")]
    lines = {layer: [] for layer in ("cut", "mark")}
    for line in space.query("LWPOLYLINE"):
        lines[line.dxf.layer].append(np.array(line.get_points("xy")))
    return circles, lines, [text.dxf.text for text in space.query("TEXT")]


def test_an_arm_has_its_holes_where_its_joint_is():
    # 60 and 25 mm at right angles to the axis; what it stands off along the axis is not seen.
    template = lever_arm(arm((60 * mm, 7 * mm, -25 * mm)), pivot_hole=8 * mm, joint_hole=6 * mm, width=20 * mm)
    circles, lines, texts = read(template)
    assert circles == [pytest.approx((0, 0, 8)), pytest.approx((65, 0, 6))]
    assert template.holes == ((0.0, 0.0, 0.008), (pytest.approx(0.065), 0.0, 0.006))
    (outline,) = lines["cut"]
    assert np.ptp(outline, axis=0) == pytest.approx((85, 20), abs=1e-3)
    # Area of a bar with round ends, but for the corners of its arcs.
    x, y = outline.T
    area = 0.5 * abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
    assert area == pytest.approx(65 * 20 + np.pi * 100, rel=1e-4)
    assert "65.00 mm" in " ".join(texts)


def test_arms_of_one_crank_keep_their_angle():
    turned = yw.Pose(rotation=(0, 40 * deg, 0)).apply(np.array([70 * mm, 0, 0]))
    template = lever_arm(
        [arm((50 * mm, 0, 0)), arm(turned, axis=(0, 3, 0), pivot=(0, 5 * mm, 0))],
        pivot_hole=8 * mm,
        joint_hole=6 * mm,
        width=16 * mm,
    )
    (_, first, second) = template.holes
    assert first[:2] == (pytest.approx(50 * mm), 0.0)
    assert np.hypot(*second[:2]) == pytest.approx(70 * mm)
    assert np.arctan2(second[1], second[0]) == pytest.approx(40 * deg)


@pytest.mark.parametrize("bad", [arm((0, 0, 0.05), axis=(1, 0, 0)), arm((0.05, 0, 0.01), pivot=(0, 0, 0.01))])
def test_arms_on_different_axes_are_no_one_part(bad):
    with pytest.raises(yw.InvalidValueError, match="arm 2 turns about another axis"):
        lever_arm([arm((50 * mm, 0, 0)), bad], pivot_hole=8 * mm, joint_hole=6 * mm, width=16 * mm)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"pivot_hole": 0.0}, "pivot hole = 0 m is not above 0"),
        ({"pivot_hole": -0.0}, "pivot hole = -0 m"),
        ({"joint_hole": float("nan")}, "joint hole = nan m"),
        ({"width": 20}, r"width of the arm = 20 m .*did you mean 20 \* mm"),
        ({"width": 7 * mm}, "leaves nothing around a hole of 8 mm"),
        ({"width": "wide"}, "a length in m is needed"),
        ({"pivot_hole": True}, "a length in m is needed"),
        ({"arms": []}, "no arm to draw"),
        ({"arms": [3]}, "an Arm is needed, got int"),
    ],
)
def test_what_cannot_be_drilled_is_refused(change, says):
    given = {"arms": arm((0.05, 0, 0)), "pivot_hole": 8 * mm, "joint_hole": 6 * mm, "width": 16 * mm} | change
    with pytest.raises(yw.YokewrightError, match=says):
        lever_arm(given.pop("arms"), **given)


CUBE = yw.magnet.Block(size=(8 * mm, 6 * mm, 4 * mm), polarization=(0, 1.3, 0))
LAYOUT = yw.axis.SwungLayout(
    magnet=CUBE, arm=20 * mm, gap=3 * mm, package=yw.axis.SensorPackage(4 * mm, 3 * mm, 1.5 * mm)
)


def test_the_two_mounts_laid_on_one_another_show_the_gap():
    pocket = np.array(magnet_mount(LAYOUT, pivot_hole=8 * mm).outline)
    assert np.ptp(pocket, axis=0) == pytest.approx((8 * mm, 6 * mm))
    assert pocket.mean(axis=0) == pytest.approx((20 * mm, 0), abs=1e-12)
    body = np.array(sensor_mount(LAYOUT, pivot_hole=8 * mm).outline)
    # The package's thickness lies along the radius, its width along the tangent.
    assert np.ptp(body, axis=0) == pytest.approx((1.5 * mm, 4 * mm))
    assert body[:, 0].min() - pocket[:, 0].max() == pytest.approx(3 * mm)
    (_, lines, texts) = read(magnet_mount(LAYOUT, pivot_hole=8 * mm))
    assert len(lines["cut"]) == 1
    assert "gap 3.00 mm" in texts


def test_a_sensor_without_a_size_has_no_pocket():
    bare = yw.axis.SwungLayout(magnet=CUBE, arm=20 * mm, gap=3 * mm)
    assert len(magnet_mount(bare, pivot_hole=8 * mm).outline) == 4
    with pytest.raises(yw.InvalidValueError, match="SensorPackage"):
        sensor_mount(bare, pivot_hole=8 * mm)
    with pytest.raises(yw.InvalidTypeError, match="an Arrangement is needed"):
        magnet_mount(CUBE, pivot_hole=8 * mm)


STICK = yw.linkage.Gimbal(
    outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
    inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
    stick=[(0, 0, 0), (0, 0, 0.4)],
)


@pytest.mark.parametrize(("tilt", "height", "diameter"), [(15, 60, 16), (5, 100, 12), (25, 40, 20)])
def test_a_round_gate_opens_as_far_as_the_leaning_stick_reaches(tilt, height, diameter):
    template = gate_plate(STICK, yw.linkage.Gate.round(tilt * deg), height=height * mm, stick_diameter=diameter * mm)
    radius = np.hypot(*np.array(template.outline).T) / mm
    # The middle of the stick is h tan a off; cut slantwise, it is r / cos a long that way.
    wanted = height * np.tan(tilt * deg) + diameter / 2 / np.cos(tilt * deg)
    # The edge is met at 720 places: between two of them it is missed by less than a thousandth of its radius.
    assert radius == pytest.approx(np.full(len(radius), wanted), rel=1e-4)


def test_a_square_gate_opens_by_each_axis():
    gate = yw.linkage.Gate.square((-15 * deg, 10 * deg), (-8 * deg, 8 * deg))
    outline = np.array(gate_plate(STICK, gate, height=60 * mm, stick_diameter=16 * mm).outline) / mm
    along = outline[np.abs(outline[:, 1]) < 1e-9, 0]
    ends = [60 * np.tan(a * deg) + 8 / np.cos(a * deg) for a in (10, 15)]
    assert sorted(along) == pytest.approx([-ends[1], ends[0]], rel=1e-4)
    across = outline[np.abs(outline[:, 0]) < 1e-9, 1]
    assert np.abs(across) == pytest.approx(np.full(2, 60 * np.tan(8 * deg) + 8 / np.cos(8 * deg)), rel=1e-4)


def test_the_stick_goes_through_the_opening_everywhere_in_the_gate():
    gate = yw.linkage.Gate.polygon(np.array([(15, 0), (4, 4), (0, 12), (-10, 3), (-8, -9), (5, -6)]) * deg)
    outline = np.array(gate_plate(STICK, gate, height=60 * mm, stick_diameter=16 * mm).outline) / mm
    angle, radius = np.arctan2(*outline.T[::-1]), np.hypot(*outline.T)
    order = np.argsort(angle)
    rng = np.random.default_rng(5)
    positions = rng.uniform(-15, 15, (4000, 2)) * deg
    positions = positions[np.asarray(STICK.allowed(gate, *positions.T))]
    assert len(positions) > 300
    around = np.linspace(0, 2 * np.pi, 60)
    for outer, inner in positions:
        lean = STICK.stick_at(outer, inner)[1] / 0.4
        # Points of its skin at the height of the plate: an ellipse about the middle.
        middle = 60 * lean[:2] / lean[2]
        across = np.array([lean[1], -lean[0]]) / (np.hypot(*lean[:2]) or 1.0)
        long = np.array([-across[1], across[0]])
        skin = middle + 8 * (np.outer(np.cos(around), across) + np.outer(np.sin(around), long) / lean[2])
        x, y = skin.T  # x is where a positive turn of the outer axis, about y, takes the stick
        room = np.interp(np.arctan2(y, x), angle[order], radius[order], period=2 * np.pi)
        assert np.all(np.hypot(x, y) <= room + 0.02)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"height": 500 * mm}, "not on the stick's first straight piece, 0 to 400 mm"),
        ({"height": 60.0}, r"did you mean 60 \* mm"),
        ({"stick_diameter": 0.0}, "stick diameter = 0 m"),
        ({"gate": 3}, "a Gate is needed"),
        ({"gimbal": 3}, "a Gimbal is needed"),
        ({"gate": yw.linkage.Gate.square((1 * deg, 5 * deg), (-5 * deg, 5 * deg))}, "does not hold the neutral stick"),
    ],
)
def test_what_makes_no_plate_is_refused(change, says):
    given = {
        "gimbal": STICK,
        "gate": yw.linkage.Gate.round(10 * deg),
        "height": 60 * mm,
        "stick_diameter": 16 * mm,
    } | change
    with pytest.raises(yw.YokewrightError, match=says):
        gate_plate(given.pop("gimbal"), given.pop("gate"), **given)


def test_the_bar_and_its_caution_are_on_every_sheet(tmp_path):
    template = magnet_mount(LAYOUT, pivot_hole=8 * mm, title="Roll <sensor> & magnet")
    _, lines, texts = read(template)
    lengths = [np.ptp(line[:, 0]) for line in lines["mark"] if len(line) == 2]
    assert any(length == pytest.approx(50.0, abs=1e-9) for length in lengths)
    assert any("check it before you drill" in text for text in texts)

    root = ET.fromstring(template.to_svg())
    width, height = (float(root.get(name).removesuffix("mm")) for name in ("width", "height"))
    left, top, *box = map(float, root.get("viewBox").split())
    # A unit of the drawing is a millimeter of paper.
    assert box == [pytest.approx(width), pytest.approx(height)]
    assert template.size == (pytest.approx(width * mm), pytest.approx(height * mm))
    assert root.find(f"{SVG}title").text == "Roll <sensor> & magnet, 1:1"
    places = re.findall(r"(-?[\d.]+),(-?[\d.]+)", " ".join(line.get("points") for line in root.iter(f"{SVG}polyline")))
    assert all(left <= float(x) <= left + width and top <= float(y) <= top + height for x, y in places)
    assert any("check it before you drill" in text.text for text in root.iter(f"{SVG}text"))

    for name in ("mount.svg", "mount.DXF"):
        template.save(tmp_path / name)
        assert (tmp_path / name).stat().st_size > 500
    with pytest.raises(yw.InvalidValueError, match=r"\.svg or \.dxf"):
        template.save(tmp_path / "mount.pdf")
    assert template._repr_svg_() == template.to_svg()


def test_nothing_larger_than_a_sheet_is_drawn():
    with pytest.raises(yw.InvalidValueError, match="up to 3 m"):
        lever_arm(arm((0, 0, 4.0)), pivot_hole=8 * mm, joint_hole=6 * mm, width=16 * mm)


# --- of a whole design ----------------------------------------------------------------------------

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def rig():
    return yw.rig.Design.load(EXAMPLES / "training_rig.toml").evaluate()


def test_a_design_draws_every_mount_arm_and_plate(rig):
    found = yw.templates.design_templates(rig)
    assert set(found.drawn) == {
        *("pitch-magnet-mount", "pitch-sensor-mount", "roll-magnet-mount", "roll-sensor-mount"),
        *("rudder-magnet-mount", "rudder-sensor-mount", "rudder-left-pedal", "rudder-right-pedal", "rudder-crank"),
        *("trim-magnet-mount", "stick-gate-plate"),
    }
    # The lever has no magnet, the angle sensor of the wheel no size.
    assert set(found.left_out) == {"airbrake: magnet mount", "trim: sensor mount"}
    assert "SensorPackage" in found.left_out["trim: sensor mount"]


def test_its_holes_are_where_the_file_says(rig):
    found = yw.templates.design_templates(rig, pivot_hole=10 * mm, joint_hole=5 * mm, arm_width=24 * mm)
    # Of the crank: both joints 45 mm from the pivot, on opposite sides.
    assert found.drawn["rudder-crank"].holes == (
        (0.0, 0.0, pytest.approx(10 * mm)),
        (pytest.approx(45 * mm), 0.0, pytest.approx(5 * mm)),
        (pytest.approx(-45 * mm), pytest.approx(0.0, abs=1e-9), pytest.approx(5 * mm)),
    )
    # Of the pedal: (0, -50, 90) mm from hinge to joint, about an axis along y.
    assert found.drawn["rudder-left-pedal"].holes[1][0] == pytest.approx(90 * mm)
    arrangement = next(axis for axis in rig.axes if axis.name == "pitch").arrangement
    alone = magnet_mount(arrangement, pivot_hole=10 * mm, title="pitch: magnet mount")
    assert found.drawn["pitch-magnet-mount"] == alone


def test_a_plate_that_cannot_be_is_left_out_with_the_reason(rig):
    found = yw.templates.design_templates(rig, gate_height=0.9)
    assert "height of the plate" in found.left_out["stick: gate plate"]
    assert "stick-gate-plate" not in found.drawn
    with pytest.raises(yw.InvalidTypeError, match="an Evaluation is needed, got Design"):
        yw.templates.design_templates(rig.design)


def test_names_become_files_of_their_own():
    text = (EXAMPLES / "trainer_stick.toml").read_text(encoding="utf-8")
    text = text.replace('name = "pitch"', 'name = "../a b"').replace('name = "roll"', 'name = "A/B"')
    names = list(yw.templates.design_templates(yw.rig.Design.parse(text).evaluate(11)).drawn)
    assert names[0] == "a-b-magnet-mount"
    assert names[1] == "a-b-magnet-mount-2"
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[\w-]+", name) for name in names)
