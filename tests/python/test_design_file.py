"""A design file's mistakes come back as one message: file, line, key, value, what is allowed."""

import re
from pathlib import Path

import pytest

import yokewright as yw

EXAMPLES = Path(__file__).parents[2] / "examples"
EXAMPLE = EXAMPLES / "trainer_stick.toml"
RIG = EXAMPLES / "training_rig.toml"

DESIGN = """\
title = "Two-seat trainer, front stick"

[magnet.cube]
size_mm = [5.0, 5.0, 5.0]
polarization_mT = [0.0, 1300.0, 0.0]

[sensor.linear]
supply_V = 3.3
nominal_supply_V = 3.3
quiescent_V = 1.65
sensitivity_mV_per_mT = 15.0
rail_low_V = 0.2
rail_headroom_V = 0.2
noise_mV = 1.0
depth_mm = 0.5

[converter.board]
bits = 12
reference_V = 3.3
rounding = "nearest"
noise_mV = 0.4

[[axis]]
name = "pitch"
throw_deg = [-6.0, 6.0]
magnet = "cube"
sensor = "linear"
converter = "board"
arm_mm = 12.0
gap_mm = 2.0

[axis.targets]
linearity_max_percent = 1.0
clearance_min_mm = 1.0
"""


def line_of(text, part):
    return next(number for number, line in enumerate(text.splitlines(), 1) if part in line)


def refusal(text):
    with pytest.raises(yw.DesignFileError) as caught:
        yw.rig.Design.parse(text, name="club.toml").evaluate(points=11)
    return str(caught.value)


def changed(old, new):
    assert DESIGN.count(old) == 1
    return DESIGN.replace(old, new)


def test_the_unchanged_design_is_good():
    design = yw.rig.Design.parse(DESIGN, name="club.toml")
    assert design.title == "Two-seat trainer, front stick"
    assert [axis.name for axis in design.evaluate(points=11).axes] == ["pitch"]


def test_file_and_text_give_the_same_design(tmp_path):
    path = tmp_path / "club.toml"
    path.write_text(DESIGN, encoding="utf-8")
    assert yw.rig.Design.load(path).evaluate().to_json() == yw.rig.Design.parse(DESIGN).evaluate().to_json()


def test_examples_use_no_key_that_is_not_in_the_table():
    known = {re.split(r"[.\s]", key)[-1].strip("[]") for key, _, _ in yw.rig.DESIGN_KEYS}
    for path in (EXAMPLE, RIG):
        used = re.findall(r"^([A-Za-z_]+) =", path.read_text(encoding="utf-8"), re.MULTILINE)
        assert used
        assert set(used) <= known


# What is changed into what -> where the message points to, and what else it must say.
MISTAKES = {
    "unknown key": ("gap_mm = 2.0", "gap_mn = 2.0", "gap_mn", ["gap_mn", "did you mean", "gap_mm"]),
    "unknown key of a target": (
        "clearance_min_mm = 1.0",
        "clearance_mm = 1.0",
        "clearance_mm",
        ["clearance_mm", "did you mean", "clearance_min_mm"],
    ),
    "key without its unit": ("arm_mm = 12.0", "arm = 12.0", "arm = ", ["axis.arm = 12.0", "arm_mm"]),
    "wrong type": ("bits = 12", 'bits = "twelve"', "bits", ["bits", "twelve"]),
    "fraction of a bit": ("bits = 12", "bits = 12.5", "bits", ["bits", "12.5"]),
    "too short a list": (
        "size_mm = [5.0, 5.0, 5.0]",
        "size_mm = [5.0, 5.0]",
        "size_mm",
        ["size_mm", "3"],
    ),
    "magnet of 5 m": (
        "size_mm = [5.0, 5.0, 5.0]",
        "size_mm = [5000.0, 5.0, 5.0]",
        "size_mm",
        ["size_mm", "5000"],
    ),
    "throw of 600 degrees": (
        "throw_deg = [-6.0, 6.0]",
        "throw_deg = [-6.0, 600.0]",
        "throw_deg",
        ["throw_deg", "600"],
    ),
    "throw the wrong way round": (
        "throw_deg = [-6.0, 6.0]",
        "throw_deg = [6.0, -6.0]",
        "throw_deg",
        ["throw_deg = [6.0, -6.0]", "center"],
    ),
    "not a number": ("arm_mm = 12.0", "arm_mm = nan", "arm_mm", ["arm_mm = nan", "0 to 1000 mm"]),
    "infinite": ("gap_mm = 2.0", "gap_mm = inf", "gap_mm", ["gap_mm = inf", "0 to 200 mm"]),
    "negative gap": ("gap_mm = 2.0", "gap_mm = -2.0", "gap_mm", ["gap_mm", "-2"]),
    "unknown magnet": (
        'magnet = "cube"',
        'magnet = "cub"',
        'magnet = "cub"',
        ["magnet", "cub", "cube"],
    ),
    "unknown sensor": ('sensor = "linear"', 'sensor = "lin"', 'sensor = "lin"', ["lin", "linear"]),
    "unknown converter": (
        'converter = "board"',
        'converter = "brd"',
        'converter = "brd"',
        ["brd", "board"],
    ),
    "unknown rounding": (
        'rounding = "nearest"',
        'rounding = "up"',
        "rounding",
        ["rounding", "up", "nearest", "down"],
    ),
}


@pytest.mark.parametrize("mistake", MISTAKES)
def test_mistake(mistake):
    old, new, place, words = MISTAKES[mistake]
    text = changed(old, new)
    message = refusal(text)
    assert re.search(rf"club\.toml\W+(line )?{line_of(text, place)}\b", message), message
    for word in words:
        assert word in message


@pytest.mark.parametrize(
    ("mistake", "low", "high"),
    [("magnet of 5 m", "0", "mm"), ("throw of 600 degrees", "-180", "180")],
)
def test_range_is_told_in_the_unit_of_the_key(mistake, low, high):
    message = refusal(changed(*MISTAKES[mistake][:2]))
    assert low in message
    assert high in message
    assert "rad" not in message


@pytest.mark.parametrize("key", ["arm_mm = 12.0\n", 'name = "pitch"\n', "throw_deg = [-6.0, 6.0]\n"])
def test_missing_key_of_an_axis(key):
    message = refusal(changed(key, ""))
    assert "club.toml" in message
    assert key.split(" = ")[0] in message
    assert re.search(rf"\b{line_of(DESIGN, '[[axis]]')}\b", message), message


def test_missing_key_of_a_part():
    message = refusal(changed("sensitivity_mV_per_mT = 15.0\n", ""))
    assert "sensitivity_mV_per_mT" in message
    assert re.search(rf"\b{line_of(DESIGN, '[sensor.linear]')}\b", message), message


def test_axis_without_a_target_is_neither_met_nor_missed():
    text = DESIGN[: DESIGN.index("[axis.targets]")]
    evaluation = yw.rig.Design.parse(text).evaluate(points=11)
    assert evaluation.axes[0].verdicts == []
    assert evaluation.state == "met"
    assert "no targets" in str(evaluation)
    assert "No targets are set" in yw.report.report_html(evaluation)


def test_two_axes_of_one_name():
    axis = DESIGN[DESIGN.index("[[axis]]") :]
    message = refusal(DESIGN + "\n" + axis)
    assert "club.toml" in message
    assert "pitch" in message


def test_key_given_twice():
    message = refusal(changed("gap_mm = 2.0\n", "gap_mm = 2.0\ngap_mm = 3.0\n"))
    assert re.search(rf"\b{line_of(DESIGN, 'gap_mm') + 1}\b", message), message


@pytest.mark.parametrize("text", ["", "\n\n# only a comment\n"])
def test_empty_file(text):
    message = refusal(text)
    assert "club.toml" in message
    assert "title" in message or "axis" in message


@pytest.mark.parametrize("text", ["title = ", "dear builder,\n", "title = 'a'\n[[axis\n", "\x00"])
def test_not_toml(text):
    message = refusal(text)
    assert "club.toml" in message
    assert re.search(r"\b[12]\b", message), message


def test_parts_that_collide_leave_the_other_axes():
    axis = DESIGN[DESIGN.index("[[axis]]") :]
    broken = axis.replace('"pitch"', '"roll"').replace("gap_mm = 2.0", "gap_mm = 2.0\noffset_mm = [-4.0, 0.0, 0.0]")
    evaluation = yw.rig.Design.parse(f"{DESIGN}\n{broken}").evaluate(points=11)
    assert [axis.name for axis in evaluation.axes] == ["pitch"]
    assert [axis.name for axis in evaluation.broken] == ["roll"]
    assert "collide" in evaluation.broken[0].reason
    assert evaluation.broken[0].line == line_of(f"{DESIGN}\n{broken}", '"roll"') - 1
    assert evaluation.state == "missed"
    assert "1 control cannot be evaluated" in str(evaluation)
    page = yw.report.report_html(evaluation)
    assert "Cannot be evaluated" in page
    assert "collide" in page


def test_clipping_is_told_without_a_target_for_it():
    text = changed("sensitivity_mV_per_mT = 15.0", "sensitivity_mV_per_mT = 50.0")
    text = text.replace("linearity_max_percent = 1.0", "range_used_min_percent = 50.0")
    evaluation = yw.rig.Design.parse(text).evaluate(points=11)
    verdict = evaluation.axes[0].verdicts[0]
    assert (verdict.target, verdict.state, verdict.margin_unit) == ("range used", "met", "points")
    assert "clipped" in verdict.qualification
    assert any("clipped" in note for note in evaluation.axes[0].notes)
    assert "1 note" in str(evaluation).splitlines()[1]
    page = yw.report.report_html(evaluation)
    assert verdict.qualification in page
    assert "read the notes (pitch)" in page
    assert "points" in page


def test_all_mistakes_at_once():
    text = changed("gap_mm = 2.0", "gap_mm = -2.0").replace("bits = 12", "bits = 99")
    first, second = refusal(text).splitlines()
    assert f"line {line_of(text, 'bits')}, column 8, " in first
    assert f"line {line_of(text, 'gap_mm')}, column 10, " in second


def test_missing_file_is_the_operating_systems_error(tmp_path):
    with pytest.raises((FileNotFoundError, yw.DesignFileError), match=r"nowhere\.toml"):
        yw.rig.Design.load(tmp_path / "nowhere.toml")


def test_file_that_is_not_text(tmp_path):
    path = tmp_path / "club.toml"
    path.write_bytes(b"title = '\xff\xfe'")
    with pytest.raises(yw.DesignFileError, match=r"club\.toml"):
        yw.rig.Design.load(path)


# --- the whole rig ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def rig():
    return yw.rig.Design.load(RIG).evaluate()


def test_the_rig_has_all_of_its_controls(rig):
    assert rig.broken == []
    assert [axis.name for axis in rig.axes] == ["pitch", "roll", "rudder", "airbrake", "trim"]
    assert [(stick.name, stick.axes) for stick in rig.sticks] == [("stick", ("pitch", "roll"))]
    assert [control.name for control in rig.comparison.controls] == [axis.name for axis in rig.axes]
    # All that is told without a study of builds, which the file asks for.
    assert rig.state == "not studied"
    assert rig.currency == "EUR"


def test_what_the_file_says_is_what_is_built(rig):
    pitch, roll, rudder, airbrake, trim = rig.axes
    assert [axis.stick for axis in rig.axes] == ["stick", "stick", None, None, None]
    assert isinstance(pitch.arrangement, yw.axis.SwungLayout)
    assert isinstance(trim.arrangement, yw.axis.ShaftEndLayout)
    assert airbrake.arrangement is None
    assert isinstance(airbrake.axis.sensor, yw.hall.Potentiometer)
    assert isinstance(rudder.axis.drive, yw.linkage.PedalTransmission)
    assert rudder.axis.lever == pytest.approx(180 * yw.mm, rel=1e-15)
    # Of a stick the lever is that of the grip.
    assert roll.axis.lever == pytest.approx(420 * yw.mm, rel=1e-12)
    grade = yw.magnet.Grade.named("N42")
    assert pitch.axis.remanence_drift == grade.remanence_coefficient


def test_an_axis_of_the_rig_is_the_one_built_by_hand(rig):
    """By way of Python's own classes, in which poses have been rotation vectors: a rounding of their angles."""
    trim = rig.axes[4]
    sensor = yw.hall.AngleSensor.named("shaft end 14 bit")
    grade = yw.magnet.Grade.named("N35")
    disc = yw.magnet.Cylinder(8 * yw.mm, 3 * yw.mm, (grade.remanence.nominal, 0, 0))
    layout = yw.axis.ShaftEndLayout(magnet=disc, gap=2 * yw.mm, offset=(0.2 * yw.mm, 0, 0))
    axis = layout.axis(
        throw=(-135 * yw.deg, 135 * yw.deg),
        sensor=sensor,
        lever=60 * yw.mm,
        remanence_drift=grade.remanence_coefficient,
    ).zeroed()
    assert trim.axis == axis
    figures = axis.figures(1001)
    assert trim.figures.code_range == figures.code_range
    assert trim.figures.gain_counts == pytest.approx(figures.gain_counts, rel=1e-12)
    assert trim.figures.linearity.independent == pytest.approx(figures.linearity.independent, rel=1e-6)


def test_crosstalk_of_the_stick_goes_into_the_budgets(rig):
    stick = rig.sticks[0]
    for name, crosstalk in zip(stick.axes, (stick.crosstalk.outer, stick.crosstalk.inner), strict=True):
        axis = next(axis for axis in rig.axes if axis.name == name)
        got = next(verdict.got for verdict in axis.verdicts if verdict.target == "crosstalk")
        assert got == pytest.approx(100 * crosstalk.worst.of_span, rel=1e-12)
        (row,) = [row for row in rig.comparison.controls if row.name == name]
        assert row.crosstalk == crosstalk.worst.counts
    # The map has the straight lines among its own: by least squares it can only be nearer, to the last digits.
    for before, after in zip(stick.correction.before.rms, stick.correction.after.rms, strict=True):
        assert after <= before * (1 + 1e-9)


def test_two_magnets_carried_together_are_told():
    text = RIG.read_text(encoding="utf-8").replace('magnet_on = "ring"', 'magnet_on = "stick"')
    evaluation = yw.rig.Design.parse(text).evaluate(points=101)
    assert evaluation.sticks[0].crosstalk.outer.cause == "mounting"
    page = yw.report.report_html(evaluation)
    assert "the magnet of pitch is carried by the stick" in page
    assert "Reading of pitch, held, as roll turns" in page


def test_a_lock_within_the_throw_leaves_the_other_controls():
    text = RIG.read_text(encoding="utf-8").replace("throw_deg = [-12.0, 12.0]", "throw_deg = [-40.0, 40.0]")
    evaluation = yw.rig.Design.parse(text).evaluate(points=101)
    assert [control.name for control in evaluation.broken] == ["rudder"]
    assert "stop" in evaluation.broken[0].reason
    assert len(evaluation.axes) == 4
    assert evaluation.state == "missed"


@pytest.mark.parametrize("path", [EXAMPLE, RIG])
def test_json_has_the_same_digits_from_file_and_text(path):
    text = path.read_text(encoding="utf-8")
    assert yw.rig.Design.load(path).evaluate(101).to_json() == yw.rig.Design.parse(text).evaluate(101).to_json()
