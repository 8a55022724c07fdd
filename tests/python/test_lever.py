"""Levers and stops through the boundary, and against SciPy."""

import pickle

import numpy as np
import pytest
from scipy.optimize import brentq

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

AXIS = yw.linkage.Pivot((0, 0, 0), (0, 1, 0))
PEDAL = yw.linkage.Lever.pivoted(AXIS, (20 * mm, 90 * mm, 210 * mm), (-30 * deg, 30 * deg))
SLIDE = yw.linkage.Lever.sliding((1, 0, 0.2), (0, 0, 50 * mm), (-40 * mm, 60 * mm))
STOP = yw.linkage.Stop(
    bumper=(0, 30 * mm, 60 * mm), face=(25 * mm, 0, 60 * mm), normal=(-1, 0, 0.3), bumper_radius=8 * mm
)
NAMES = {name: PUBLIC[name] for name in ("Lever", "Pivot", "Stop")}


def test_contact_against_a_root_search():
    below, above = PEDAL.meets(STOP)
    assert below is None or below < -30 * deg
    searched = brentq(lambda angle: PEDAL.gap(STOP, angle), 0, 30 * deg, xtol=1e-14)
    assert above == pytest.approx(searched, abs=1e-12)
    stopped = PEDAL.stopped_by([STOP])
    assert stopped.travel == (-30 * deg, above)
    assert stopped.stops == (None, 0)


def test_foot_force_on_a_stop():
    """A press of 1.2 kN on the pedal, by moments about the axis."""
    _, angle = PEDAL.meets(STOP)
    force = PEDAL.push(angle, 1200.0)
    load = PEDAL.stop_load(STOP, force)
    arm = np.hypot(20 * mm, 210 * mm)
    assert load.position == angle
    moment = np.cross(load.contact_point, STOP.normal * load.contact_force)[1]
    assert moment == pytest.approx(-1200 * arm, rel=1e-12)
    np.testing.assert_allclose(load.guide_force, -force - STOP.normal * load.contact_force, rtol=1e-12, atol=1e-9)
    near, far = PEDAL.bearing_loads(load, (-10 * mm, 110 * mm))
    np.testing.assert_allclose(near + far, load.guide_force, atol=1e-9)
    assert load.pad_pressure(100 * mm**2) == pytest.approx(load.contact_force / 100e-6)
    assert load.pin_pressure(8 * mm, 30 * mm) == pytest.approx(np.linalg.norm(load.guide_force) / 240e-6)


def test_paths():
    angles = np.linspace(-30, 30, 2001) * deg
    grips, _ = PEDAL.grips_at(angles.clip(*PEDAL.travel))
    path = np.linalg.norm(np.diff(grips, axis=0), axis=1).sum()
    assert PEDAL.path_length == pytest.approx(path, rel=1e-6)
    assert PEDAL.chord == pytest.approx(np.linalg.norm(grips[-1] - grips[0]), rel=1e-12)
    grips_there, valid = PEDAL.grips_at([0.0, 1.0])
    assert valid.tolist() == [True, False]
    assert np.isnan(grips_there[1]).all()
    assert SLIDE.path_length == pytest.approx(100 * mm)
    assert SLIDE.chord == pytest.approx(100 * mm)
    np.testing.assert_allclose(SLIDE.grip_at(60 * mm) - SLIDE.grip, 60 * mm * SLIDE.direction)


def test_stops_made_for_a_position():
    stop = PEDAL.stop_at(50 * mm, 15 * deg)
    assert PEDAL.meets(stop)[1] == pytest.approx(15 * deg, abs=1e-12)
    slide_stop = SLIDE.stop_at(20 * mm, -30 * mm, bumper_radius=5 * mm)
    assert SLIDE.meets(slide_stop)[0] == pytest.approx(-30 * mm, abs=1e-15)
    load = SLIDE.stop_load(slide_stop, (-50, 0, 0))
    # What is not along the slide goes into the slide.
    assert load.contact_force == pytest.approx(50 * SLIDE.direction[0])
    assert load.guide_force @ SLIDE.direction == pytest.approx(0, abs=1e-12)


def test_refusals():
    with pytest.raises(yw.InvalidValueError, match="moment of the force toward the stop"):
        PEDAL.stop_load(STOP, PEDAL.push(0, -100))
    with pytest.raises(yw.InvalidValueError, match="gap at the stop at neutral"):
        PEDAL.meets(yw.linkage.Stop(bumper=(0, 0, 60 * mm), face=(-5 * mm, 0, 0), normal=(-1, 0, 0)))
    with pytest.raises(yw.InvalidValueError, match="position of the lever"):
        PEDAL.grip_at(40 * deg)
    with pytest.raises(yw.InvalidValueError, match="lever with bearings"):
        SLIDE.bearing_loads(SLIDE.stop_load(SLIDE.stop_at(20 * mm, 30 * mm), (9, 0, 0)), (0, 0.1))
    with pytest.raises(yw.InvalidValueError, match=r"did you mean -30 \* deg"):
        yw.linkage.Lever.pivoted(AXIS, (0, 0, 0.2), (-30, 30))
    with pytest.raises(yw.InvalidValueError, match="distance of the grip from the pivot"):
        yw.linkage.Lever.pivoted(AXIS, (0, 0.2, 0), (-0.1, 0.1))


def test_pickle_and_repr():
    for value in (PEDAL, SLIDE, STOP):
        assert pickle.loads(pickle.dumps(value)) == value
        assert eval(repr(value), NAMES) == value
    assert PEDAL.pivot == AXIS
    assert SLIDE.pivot is None
    assert PEDAL.direction is None
