"""Springs, feel, linkage and gate of an evaluated rig, as Python sees them."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import approx_fprime, brentq

import yokewright as yw
from yokewright import deg, mm

RIG = Path(__file__).parents[2] / "examples" / "training_rig.toml"
GRAVITY = 9.80665


@pytest.fixture(scope="module")
def design():
    return yw.rig.Design.load(RIG)


@pytest.fixture(scope="module")
def evaluation(design):
    return design.evaluate(101)


def axis(evaluation, name):
    return next(axis for axis in evaluation.axes if axis.name == name)


def test_the_rig_meets_its_targets(evaluation):
    assert evaluation.broken == []
    states = {verdict.target: verdict.state for stick in evaluation.sticks for verdict in stick.verdicts}
    assert set(states.values()) == {"met"}
    assert "clearance of the stick" in states
    # All that is told without a study of builds, which the file asks for.
    assert evaluation.state == "not studied"


def test_attributes_are_those_of_the_json(evaluation):
    """Bit for bit: JSON holds every digit."""
    stored = json.loads(evaluation.to_json())
    rudder = axis(evaluation, "rudder")
    told = next(one for one in stored["axes"] if one["name"] == "rudder")
    linkage, feel = rudder.linkage, rudder.feel
    assert told["linkage"]["ratios"] == list(linkage.ratios)
    assert told["linkage"]["lock_margins"] == list(linkage.lock_margins)
    assert [one["swivel"] for one in told["linkage"]["joints"]] == [joint.swivel for joint in linkage.joints]
    assert [one["force"] for one in told["linkage"]["rods"]] == [rod.force for rod in linkage.rods]
    along = feel.along[0]
    assert told["feel"]["along"][0]["end_forces"] == list(along.end_forces)
    assert told["feel"]["along"][0]["curve"]["force"] == along.curve.force.tolist()
    assert told["feel"]["along"][0]["centering_counts"] == along.centering_counts
    stick = evaluation.sticks[0]
    [of_stick] = stored["sticks"]
    assert of_stick["gate"]["clearance"]["distance"] == stick.gate.clearance.distance
    tensions = [spring.tensions for spring in stick.feel.springs]
    assert [tuple(one["tensions"]) for one in of_stick["feel"]["springs"]] == tensions
    assert [one["got"] for one in of_stick["verdicts"]] == [verdict.got for verdict in stick.verdicts]


def test_force_along_pitch_is_the_gradient_of_an_energy_typed_here(evaluation):
    along = evaluation.sticks[0].feel.along[0]
    assert along.axis == "pitch"
    wire = {"wire": "EN 10270-1 SM", "wire_diameter": 1.6 * mm, "outer_diameter": 15 * mm}
    spring = yw.spring.ExtensionSpring(**wire, body_turns=26, initial_tension=6.0)

    def energy(angles):
        (angle,) = angles
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])  # of x and z, about y
        hook = turn @ np.array([0.0, -70.0]) * mm
        total = 0.0
        for x in (100.0, -100.0):
            by = np.hypot(*(np.array([x, -70.0]) * mm - hook)) - spring.free_length
            total += 6.0 * by + 0.5 * spring.rate * by**2
        for mass, at in ((0.22, (50.0, 380.0)), (0.26, (20.0, 200.0)), (0.54, (-30.0, -40.0))):
            total += mass * GRAVITY * (turn @ np.array(at) * mm)[1]
        return total

    arm = np.hypot(50.0, 420.0) * mm
    for angle, force in zip(along.curve.angle[::10], along.curve.force[::10], strict=True):
        expected = (energy([angle + 1e-5]) - energy([angle - 1e-5])) / 2e-5 / arm
        assert force == pytest.approx(expected, abs=1e-5)
    slope = approx_fprime([12 * deg], energy, 1e-7)[0]
    assert along.end_forces[1] == pytest.approx((slope + 0.008) / arm, rel=1e-4)


def test_what_a_lock_leaves_is_found_by_a_root(evaluation):
    linkage = axis(evaluation, "rudder").linkage
    pair = axis(evaluation, "rudder").axis.drive.pair
    neutral = pair.pose("left", 0.0).right.ratio

    def closes(angle):
        """Negative beyond the lock: the other pedal turns back there, or the rods do not reach."""
        try:
            return 1.0 if pair.pose("left", angle).right.ratio * neutral > 0.0 else -1.0
        except yw.YokewrightError:
            return -1.0

    for sense, end, margin in zip((-1.0, 1.0), linkage.throw, linkage.lock_margins, strict=True):
        beyond = next(step for step in np.arange(0.01, 2.0, 0.01) if closes(end + sense * step) < 0.0)
        lock = brentq(lambda way, end=end, sense=sense: closes(end + sense * way), beyond - 0.01, beyond, xtol=1e-9)
        assert margin == pytest.approx(lock, abs=1e-6)


def test_magnets_are_told_with_their_force(design):
    handling = design.handling()
    cube = next(magnet for magnet in handling.magnets if magnet.name == "cube")
    block = yw.magnet.Block((8 * mm,) * 3, (0, yw.magnet.Grade.named("N42").remanence.nominal, 0))
    assert cube.contact_force == pytest.approx(yw.magnet.contact_force(block), rel=1e-9)
    assert cube.axes == ["pitch", "roll"]
    assert cube.hottest == 35.0
    factor = yw.magnet.demagnetizing_factor(block)
    point = yw.magnet.WorkingPoint(yw.magnet.Grade.named("N42"), factor, celsius=35.0, bound="highest")
    assert cube.margin == pytest.approx(point.margin, rel=1e-12)
    assert any("hold together with 35 N" in note for note in cube.notes)
    assert "cube" in str(handling)


def test_the_report_tells_feel_linkage_and_magnets(evaluation):
    page = yw.report.report_html(evaluation)
    for text in (
        "Gate and clearance",
        "<h3>Feel</h3>",
        "<h3>Linkage</h3>",
        "Magnets to handle",
        "left rod at the pedal",
    ):
        assert text in page, text
