"""Feel from Python: arrays, errors, pickles, and the motion beside SciPy's integrator."""

import math
import pickle

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

SPRING = yw.spring.LinearSpring(rate=500.0, free_length=80 * mm, action="above")
NO_GRAVITY = (0.0, 0.0, 0.0)


def lever(*elements, gravity=NO_GRAVITY, **changes):
    """A lever on the x axis that stands up along z, its grip 400 mm up."""
    parts = {
        "pivots": [yw.linkage.Pivot((0, 0, 0), (1, 0, 0))],
        "travel": [(-15 * deg, 15 * deg)],
        "grip": (0, 0, 400 * mm),
        "elements": list(elements),
        "gravity": gravity,
    }
    return yw.feel.Control(**parts | changes)


def opposed():
    on_lever = yw.feel.Anchor("lever", (0, 0, 60 * mm))
    return [
        yw.feel.Element.line(SPRING, on_lever, yw.feel.Anchor("ground", (0, y, 60 * mm))) for y in (-120 * mm, 120 * mm)
    ]


def moving_parts():
    """What makes a lever swing: 0.5 kg near the grip, and damping."""
    return [
        yw.feel.Element.mass(0.5, yw.feel.Anchor("lever", (0, 0, 350 * mm))),
        yw.feel.Element.damper("lever", 0.05),
    ]


def test_a_curve_and_its_state_agree():
    control = lever(*opposed())
    curve = control.curve(points=31)
    assert len(curve) == 31
    for name in ("angle", "way", "energy", "torque", "stiffness", "force", "friction"):
        values = getattr(curve, name)
        assert values.dtype == np.float64
        assert values.shape == (31,)
    assert curve.valid.all()
    assert curve.valid.dtype == np.bool_
    state = control.state([curve.angle[4]])
    assert state.torque == pytest.approx([curve.torque[4]], abs=1e-13)
    assert state.stiffness.shape == (1, 1)
    assert state.force[0] == pytest.approx(-state.torque[0] / 0.4)
    assert [line.state for line in state.lines] == ["working", "working"]
    # The way of the grip is an arc of 400 mm radius.
    assert curve.way == pytest.approx(0.4 * curve.angle)
    # Force is the derivative of the energy: NumPy's differences are off by h^2/3 times its third derivative,
    # with a step h of a degree and a derivative of up to 4 N m/rad^2.
    slope = np.gradient(curve.energy, curve.angle, edge_order=2)
    assert slope == pytest.approx(-curve.torque, abs=5e-4)


@pytest.mark.parametrize("ends", [(-120 * mm, 120 * mm), (-70 * mm, 70 * mm)])
def test_a_wound_spring_pulls_as_its_straight_law_does(ends):
    measures = {"wire": "EN 10270-1 SM", "wire_diameter": 1.6 * mm, "outer_diameter": 16 * mm}
    wound = (
        yw.spring.ExtensionSpring(**measures, body_turns=20.0, initial_tension=5.0)
        if ends[1] > 100 * mm
        else yw.spring.CompressionSpring(**measures, active_turns=10.0, free_length=90 * mm)
    )

    def force(spring):
        on_lever = yw.feel.Anchor("lever", (0, 0, 60 * mm))
        pair = [yw.feel.Element.line(spring, on_lever, yw.feel.Anchor("ground", (0, y, 60 * mm))) for y in ends]
        return lever(*pair).curve(points=11).force

    assert np.ptp(force(wound)) > 1.0
    np.testing.assert_array_equal(force(wound), force(wound.line_spring))


def test_a_table_that_ends_gives_nan_rows():
    cord = yw.spring.ForceTable([100 * mm, 125 * mm, 130 * mm], [0.0, 8.0, 10.0])
    anchors = yw.feel.Anchor("lever", (0, 0, 60 * mm)), yw.feel.Anchor("ground", (0, 120 * mm, 60 * mm))
    control = lever(yw.feel.Element.line(cord, *anchors))
    curve = control.curve(points=101)
    assert not curve.valid.all()
    assert curve.valid.any()
    for name in ("energy", "torque", "force", "friction"):
        assert (np.isnan(getattr(curve, name)) == ~curve.valid).all()
    (span,) = control.spring_envelopes()
    assert span.refused is not None
    assert span.longest > 130 * mm
    with pytest.raises(yw.InvalidValueError, match="length"):
        control.equilibrium_bands()


def test_a_breakout_is_felt_from_both_sides():
    control = lever(*opposed(), yw.feel.Element.breakout("lever", preload=0.8))
    above, below = control.state([0.0]), control.state([0.0], side="below")
    assert above.torque[0] == pytest.approx(-0.8)
    assert below.torque[0] == pytest.approx(0.8)
    curve = control.curve(points=11)
    assert len(curve) == 12
    assert list(curve.angle).count(0.0) == 2
    (rest,) = control.equilibrium_bands()
    assert (rest.kind, rest.stable, rest.middle) == ("jump", True, 0.0)
    centering = control.centering()
    assert centering.centers
    assert centering.error == 0.0
    assert centering.breakout_up == pytest.approx(0.8 / 0.4)


def test_the_friction_band_closes_with_friction():
    def band(torque):
        return lever(*opposed(), yw.feel.Element.friction("lever", torque)).centering()

    errors = [band(torque).error for torque in (0.1, 0.01, 0.001, 0.0)]
    assert errors == sorted(errors, reverse=True)
    assert errors[3] == pytest.approx(0.0, abs=1e-14)  # rounding
    stiffness = lever(*opposed()).state([0.0]).stiffness[0, 0]
    assert errors[2] == pytest.approx(0.001 / stiffness, rel=1e-4)
    # 4096 counts over 30 degrees.
    per_radian = 4096 / (30 * deg)
    assert band(0.01).error_counts(per_radian) == pytest.approx(errors[1] * per_radian)
    # The ends of the band beside SciPy.
    control = lever(*opposed())
    end = brentq(lambda q: -control.state([q]).torque[0] - 0.1, 0.0, 0.2, xtol=1e-14)
    assert band(0.1).center.upper == pytest.approx(end, abs=1e-12)
    # Twice the friction times the travel.
    assert band(0.1).loop_area == pytest.approx(2 * 0.1 * 30 * deg)


def test_release_beside_scipy():
    """Weight, springs, damping, a breakout crossed many times; SciPy integrates the torque of `state`."""
    control = lever(*opposed(), *moving_parts(), yw.feel.Element.breakout("lever", 0.02), gravity=(0, 0, -9.80665))
    release = control.free_response(start=12 * deg, duration=4.0, points=301)
    inertia, damping = 0.5 * 0.35**2, 0.05

    def rate(_, state):
        angle, speed = state
        side = "above" if angle >= 0.0 else "below"
        torque = control.state([np.clip(angle, -15 * deg, 15 * deg)], side=side).torque[0]
        return [speed, (torque - damping * speed) / inertia]

    def center(_, state):
        return state[0]

    center.terminal = True
    # From one passage of the center to the next, so that SciPy never steps across the jump.
    time, state, times, angles = 0.0, np.array([12 * deg, 0.0]), [], []
    while time < 4.0:
        found = solve_ivp(
            rate,
            (time, 4.0),
            state,
            method="DOP853",
            rtol=1e-10,
            atol=1e-12,
            events=center,
            dense_output=True,
        )
        inside = (release.time >= time) & (release.time <= found.t[-1])
        times.extend(release.time[inside])
        angles.extend(found.sol(release.time[inside])[0])
        time, state = found.t[-1], found.y[:, -1]
        # Off the center, so that the same passage does not end the next stretch at once.
        state = state + 1e-13 * np.array([math.copysign(1.0, state[1]), 0.0])
    reference = np.interp(release.time, times, angles)
    assert abs(release.angle - reference).max() < 1e-7
    assert len(release.turns) > 4


def test_release_sticks_where_friction_holds_it():
    control = lever(*opposed(), *moving_parts(), yw.feel.Element.friction("lever", 0.3))
    release = control.free_response(start=12 * deg, duration=5.0)
    time, angle = release.rest
    band = control.centering().center
    assert band.lower <= angle <= band.upper
    after = release.time > time
    assert (release.angle[after] == angle).all()
    assert (release.speed[after] == 0.0).all()
    assert release.settling_time(band=10 * deg) < time
    # SciPy up to the first turn, where the friction still has one sign.
    inertia = 0.5 * 0.35**2

    def rate(_, state):
        torque = control.state([state[0]]).torque[0]
        return [state[1], (torque - 0.05 * state[1] + 0.3) / inertia]

    def turn(t, state):
        return state[1] if t > 1e-3 else -1.0

    turn.terminal = True
    found = solve_ivp(rate, (0.0, 1.0), [12 * deg, 0.0], rtol=1e-11, atol=1e-13, events=turn)
    assert release.turns[0] == pytest.approx([found.t[-1], found.y[0, -1]], abs=1e-8)


def test_the_swing_of_small_angles():
    control = lever(*opposed(), *moving_parts())
    swing = control.second_order_response()
    assert swing.natural_frequency == pytest.approx(math.sqrt(2 * 500 * 0.06**2 / (0.5 * 0.35**2)))
    release = control.free_response(start=0.01 * deg, duration=2.0, points=201)
    expected = [0.01 * deg * swing.share_after(time) for time in release.time]
    # Small angles: the force of the springs departs from straight by a share of the angle squared.
    assert release.angle == pytest.approx(expected, abs=1e-5 * deg)
    assert 0 < swing.damping_ratio < 1
    assert swing.settling_time(0.02) > swing.settling_time(0.05)
    assert yw.feel.SecondOrderResponse(stiffness=1.0, inertia=1.0).settling_time() is None


def test_release_behind_a_linkage_beside_scipy():
    """Mass, damper and friction on a rocker that a four-bar drives; SciPy integrates Lagrange's equation.

    J q'' + J' q'^2 / 2 + c r^2 q' + T |r| sign(q') + dU/dq = 0 with J = J0 + J1 r^2, r the four-bar's ratio.
    """
    linkage = yw.linkage.FourBar(ground=150 * mm, crank=60 * mm, coupler=140 * mm, rocker=55 * mm)
    neutral = -0.6
    branch = next(b for b in ("open", "crossed") if linkage.transfer(neutral, b).ratio > 0)
    drive = yw.feel.Drive.four_bar(yw.linkage.Pivot((0, 150 * mm, 0), (1, 0, 0)), "lever", linkage, branch, neutral)
    mass_at = np.array((0, 190 * mm, 30 * mm))
    control = lever(
        yw.feel.Element.torsion(yw.spring.LinearTorsionSpring(rate=4.0, free_angle=0.0, action="both"), "lever"),
        yw.feel.Element.inertia("lever", 0.002),
        yw.feel.Element.mass(0.4, yw.feel.Anchor("driven 0", mass_at)),
        yw.feel.Element.damper("driven 0", 0.02),
        yw.feel.Element.friction("driven 0", 0.03),
        driven=[drive],
        gravity=(0, 0, -9.80665),
        travel=[(-17 * deg, 17 * deg)],
    )
    start = linkage.transfer(neutral, branch).angle

    def rate(_, state, sign):
        angle, speed = state
        at = linkage.transfer(neutral + angle, branch)
        turn = at.angle - start
        # Height of the mass over the rocker's pivot: 40 mm sin + 30 mm cos.
        rise = 40 * mm * math.cos(turn) - 30 * mm * math.sin(turn)
        inertia = 0.002 + 0.4 * (50 * mm) ** 2 * at.ratio**2
        change = 2 * 0.4 * (50 * mm) ** 2 * at.ratio * at.curvature
        torque = -4.0 * angle - 0.4 * 9.80665 * rise * at.ratio
        lost = 0.02 * at.ratio**2 * speed + sign * 0.03 * abs(at.ratio)
        return [speed, (torque - lost - 0.5 * change * speed**2) / inertia]

    def turn(_, state, __):
        return state[1]

    release = control.free_response(start=10 * deg, duration=0.42, points=421)
    time, state, sign, turns = 0.0, [10 * deg, 0.0], -1.0, []
    while time < 0.42:
        turn.terminal, turn.direction = True, -sign
        found = solve_ivp(
            rate, (time, 0.42), state, args=(sign,), rtol=1e-11, atol=1e-13, events=turn, dense_output=True
        )
        inside = (release.time >= time) & (release.time <= found.t[-1])
        # Both integrate to some 1e-10 a step.
        assert release.angle[inside] == pytest.approx(found.sol(release.time[inside])[0], abs=1e-7)
        assert release.speed[inside] == pytest.approx(found.sol(release.time[inside])[1], abs=1e-5)
        time, state, sign = found.t[-1], [found.y[0, -1], 0.0], -sign
        turns.append(time)
    assert len(release.turns) == len(turns) - 1 >= 3
    assert release.turns[:, 0] == pytest.approx(turns[:-1], abs=1e-7)


def stick():
    """A stick in a gimbal with four springs and its weight."""
    on_stick = yw.feel.Anchor("lever", (0, 0, 60 * mm))
    places = [(0, 120 * mm), (0, -120 * mm), (120 * mm, 10 * mm), (-120 * mm, -10 * mm)]
    springs = [yw.feel.Element.line(SPRING, on_stick, yw.feel.Anchor("ground", (x, y, 60 * mm))) for x, y in places]
    return yw.feel.Control(
        pivots=[yw.linkage.Pivot((0, 0, 0), (1, 0, 0)), yw.linkage.Pivot((0, 0, 0), (0, 1, 0))],
        travel=[(-15 * deg, 15 * deg)] * 2,
        grip=(0, 0, 400 * mm),
        elements=[*springs, yw.feel.Element.mass(0.4, yw.feel.Anchor("lever", (0, 0, 380 * mm)))],
    )


def test_a_stick_in_a_gimbal():
    control = stick()
    state = control.state([3 * deg, -2 * deg])
    assert state.torque.shape == state.force.shape == state.arm.shape == (2,)
    assert state.stiffness.shape == (2, 2)
    assert state.stiffness[0, 1] == state.stiffness[1, 0]
    # The springs across stand askew and couple the axes.
    assert abs(state.stiffness[0, 1]) > 1e-3
    assert state.hold.shape == state.grip.shape == (3,)
    balance = control.equilibrium([10 * deg, 5 * deg])
    assert balance.stable
    assert balance.angles == pytest.approx([0.0, 0.0], abs=1e-9)
    assert balance.stiffness[0] > 0
    inner = control.curve(points=21, moving="inner", held=5 * deg)
    assert inner.torque[3] == pytest.approx(control.state([5 * deg, inner.angle[3]]).torque[1])
    assert len(control.spring_envelopes(points=11)) == 4


def test_a_body_that_is_driven():
    drive = yw.feel.Drive.ratio(yw.linkage.Pivot((0, 200 * mm, 0), (1, 0, 0)), "lever", -2.0)
    twist = yw.spring.LinearTorsionSpring(rate=3.0, free_angle=0.0, action="both")
    control = lever(yw.feel.Element.torsion(twist, "driven 0"), driven=[drive])
    assert control.state([0.1]).torque[0] == pytest.approx(-3.0 * 4 * 0.1)
    assert control.driven == (drive,)


def test_a_crank_driven_through_a_rod():
    pedal = yw.linkage.Arm((0, 0, 0), (1, 0, 0), (0, 0, 120 * mm))
    at = np.array((-60 * mm, 150 * mm, 110 * mm))
    rod = yw.linkage.BallRod(pedal, yw.linkage.Arm(at, (0, 0, 1), at + np.array((50 * mm, 0, 0))))
    drive = yw.feel.Drive.ball_rod("lever", rod)
    twist = yw.spring.LinearTorsionSpring(rate=3.0, free_angle=0.0, action="both")
    control = lever(yw.feel.Element.torsion(twist, "driven 0"), driven=[drive])
    through = rod.transfer(0.1)
    assert control.state([0.1]).torque[0] == pytest.approx(-3.0 * through.angle * through.ratio)
    assert pickle.loads(pickle.dumps(drive)) == drive
    with pytest.raises(yw.InvalidValueError, match="input pivot"):
        lever(pivots=[yw.linkage.Pivot((0, 1 * mm, 0), (1, 0, 0))], driven=[drive])


def test_stops():
    control = lever(*opposed())
    lower, upper = control.stop_forces(hand_force=1200.0, radius=40 * mm)
    held = control.state([15 * deg]).force[0]
    assert upper == pytest.approx((1200.0 - held) * 0.4 / 0.04)
    assert lower == pytest.approx(upper)


def test_springs_for_a_wanted_feel():
    control = lever(yw.feel.Element.friction("lever", 0.05))
    drawer = [
        yw.spring.LinearSpring(rate=rate, free_length=free, action="above", longest=2.5 * free)
        for rate in (300.0, 800.0, 2500.0)
        for free in (40 * mm, 60 * mm)
    ]
    fits = control.search_springs(
        drawer,
        body="lever",
        on_body=((0, 0, 30 * mm), (0, 10 * mm, 120 * mm)),
        on_ground=((0, 60 * mm, 20 * mm), (0, 150 * mm, 120 * mm)),
        mirror=(0, 1, 0),
        full_force=(12.0, 0.2),
        gradient=(110.0, 10.0),
        starts=4,
    )
    assert fits
    assert [fit.miss for fit in fits] == sorted(fit.miss for fit in fits)
    best = fits.best()
    assert best.miss <= 1.0
    # Built as found, it does what was wanted, and its springs keep within their limits.
    spring = drawer[best.choice]
    built = control.with_elements([*control.elements, *(yw.feel.Element.line(spring, a, b) for a, b in best.anchors)])
    curve = built.curve()
    assert curve.force[-1] == pytest.approx(12.0, abs=0.2)
    assert -curve.force[0] == pytest.approx(12.0, abs=0.2)
    assert curve.stiffness[100] / 0.4**2 == pytest.approx(best.gradient)
    for span in built.spring_envelopes():
        assert span.slack is None
        assert span.overstretched is None
    for a, b in best.anchors:
        assert 60 * mm - 1e-12 <= abs(b.point[1]) <= 150 * mm + 1e-12
        assert 30 * mm - 1e-12 <= a.point[2] <= 120 * mm + 1e-12


def test_a_captured_spring_for_a_wanted_breakout():
    fits = lever().search_springs(
        [(2000.0, 40 * mm, 1.0, 60.0)],
        body="lever",
        on_body=((0, 0, 40 * mm), (0, 0, 100 * mm)),
        on_ground=((0, 100 * mm, 40 * mm), (0, 180 * mm, 100 * mm)),
        breakout=(6.0, 0.1),
        full_force=(15.0, 0.5),
    )
    best = fits.best()
    assert best.breakout == pytest.approx(6.0, abs=0.1)
    assert 1.0 <= best.preload <= 60.0


def pair_on_a_stick(moving, full_force, springs):
    """A demand for two springs in the plane of one axis of a stick."""

    def place(across, up):
        return (0, across, up) if moving == "outer" else (across, 0, up)

    return yw.feel.SpringDemand(
        springs,
        body="lever",
        on_body=(place(0, 30 * mm), place(10 * mm, 120 * mm)),
        on_ground=(place(60 * mm, 20 * mm), place(150 * mm, 120 * mm)),
        mirror=place(1, 0),
        full_force=(full_force, 0.3),
        moving=moving,
    )


def test_springs_for_both_axes_of_a_stick():
    bare = stick().with_elements([yw.feel.Element.mass(0.3, yw.feel.Anchor("lever", (0, 0, 380 * mm)))])
    spring = yw.spring.LinearSpring(rate=900.0, free_length=50 * mm, action="above", longest=140 * mm)
    demands = [pair_on_a_stick("outer", 15.0, [spring]), pair_on_a_stick("inner", 10.0, [spring])]
    ((pitch, roll),) = bare.search_springs_together(demands)
    lines = [yw.feel.Element.line(spring, a, b) for fit in (pitch, roll) for a, b in fit.anchors]
    built = bare.with_elements([*bare.elements, *lines])
    for fit, moving, wanted in ((pitch, "outer", 15.0), (roll, "inner", 10.0)):
        force = built.curve(moving=moving).force
        assert force[-1] == pytest.approx(wanted, abs=0.3)
        assert force[-1] == pytest.approx(fit.full_force, abs=1e-9)
        assert fit.miss <= 1.0
    for span in built.spring_envelopes():
        assert span.slack is None
        assert span.overstretched is None
    for demand in demands:
        assert pickle.loads(pickle.dumps(demand)) == demand
        assert eval(repr(demand), PUBLIC) == demand
    assert demands[0] != demands[1]
    with pytest.raises(yw.InvalidValueError, match="demands for springs: 0 given"):
        bare.search_springs_together([])
    with pytest.raises(yw.InvalidValueError, match="outer, inner"):
        pair_on_a_stick("pitch", 10.0, [spring])


def test_nothing_fits():
    result = lever().search_springs(
        [SPRING],
        body="lever",
        on_body=((0, 0, 30 * mm), (0, 0, 60 * mm)),
        on_ground=((0, 100 * mm, 30 * mm), (0, 150 * mm, 60 * mm)),
        mirror=(0, 1, 0),
        full_force=(500.0, 1.0),
    )
    assert not result
    (shortfall,) = result.nearest.shortfalls
    assert shortfall.quantity == "force at the stops"
    assert shortfall.limit == 499.0
    assert result.nearest.candidate.full_force == pytest.approx(shortfall.value)
    with pytest.raises(yw.NothingFoundError, match=r"arrangements of springs.*force at the stops"):
        result.best()


def test_guidance():
    control = lever(*opposed(), yw.feel.Element.friction("lever", 0.2))
    measured = control.curve().measured
    assert measured.deflection == pytest.approx(15 * deg)
    assert measured.travel == pytest.approx(0.4 * 30 * deg)
    standings = yw.feel.compare_with_guidance(
        "stick", "roll", yw.feel.ControlMeasurements(force=measured.force, breakout=1.0)
    )
    known = [standing for standing in standings if standing.value is not None]
    assert known
    for standing in standings:
        text = str(standing)
        assert standing.guide.source in text
        assert standing.guide.provenance in ("seen", "from memory")
        assert ("to be checked" in text) == (standing.guide.provenance == "from memory")
    assert "certify nothing" in yw.feel.GUIDANCE_CAVEAT
    names = {guide.name for guide in yw.feel.guides_for("pedals", "yaw")}
    assert "cs22_143/yaw_temporary" in names
    assert yw.feel.gradient_limits("stick", 1, 20.0, 7.0)[1] == pytest.approx(12.0 * 4.4482216, rel=1e-7)
    assert yw.feel.min_maneuver_force("stick", 1e6) == pytest.approx(35 * 4.4482216, rel=1e-7)
    assert yw.feel.noticeable_steps(11.0, 10.0, 0.23) < 1.0
    assert yw.feel.friction_torque(0.15, 4 * mm, 60.0) == pytest.approx(0.036)
    with pytest.raises(yw.InvalidValueError, match="finger stick"):
        yw.feel.guides_for("rudder")


def every_element():
    a, b = yw.feel.Anchor("lever", (0, 0, 60 * mm)), yw.feel.Anchor("ground", (0, 120 * mm, 60 * mm))
    captured = yw.feel.CapturedSpring(neutral_length=120 * mm, preload=5.0, rate=900.0, stroke=30 * mm)
    ball = yw.magnet.Sphere(6 * mm, (0, 0, 1.2), yw.Pose((0, 0, -30 * mm)))
    other = yw.magnet.Sphere(6 * mm, (0, 0, 1.2), yw.Pose((0, 0, -50 * mm)))
    return [
        yw.feel.Element.line(SPRING, a, b),
        yw.feel.Element.line(captured, a, b),
        yw.feel.Element.line(yw.spring.ForceTable([50 * mm, 200 * mm], [0.0, 20.0]), a, b),
        yw.feel.Element.torsion(yw.spring.LinearTorsionSpring(rate=1.0, free_angle=0.1, action="above"), "lever"),
        yw.feel.Element.breakout("lever", 0.3, rate=2.0),
        yw.feel.Element.cam("lever", [-0.5, 0.0, 0.5], [4 * mm, 0.0, 4 * mm], 10.0, 500.0),
        yw.feel.Element.cam("lever", np.array([-0.5, 0.0, 0.5]), [4 * mm, 0.0, 4 * mm], 10.0, periodic=True),
        yw.feel.Element.mass(0.3, a),
        yw.feel.Element.magnets("lever", ball, "ground", other),
        yw.feel.Element.inertia("lever", 0.01),
        yw.feel.Element.damper("lever", 0.1),
        yw.feel.Element.friction("lever", 0.02),
        yw.feel.Element.joint_friction(a, b, 0.01),
    ]


def test_everything_survives_pickling_and_printing():
    names = PUBLIC
    drives = [
        yw.feel.Drive.ratio(yw.linkage.Pivot((0, 0.1, 0), (1, 0, 0)), "lever", 0.5),
        yw.feel.Drive.four_bar(
            yw.linkage.Pivot((0, 0.15, 0), (1, 0, 0)),
            "driven 0",
            yw.linkage.FourBar(ground=0.15, crank=0.05, coupler=0.15, rocker=0.06),
            "open",
            1.2,
        ),
    ]
    control = lever(*every_element(), driven=drives)
    parts = [
        control,
        *control.elements,
        *control.driven,
        *control.pivots,
        yw.feel.Anchor("driven 1", (1 * mm, 2 * mm, 3 * mm)),
        yw.feel.CapturedSpring(neutral_length=120 * mm, preload=5.0, rate=900.0, stroke=30 * mm),
        yw.feel.SecondOrderResponse(stiffness=2.0, inertia=0.1, damping=0.2),
        yw.feel.ControlMeasurements(force=1.0),
    ]
    for part in parts:
        assert pickle.loads(pickle.dumps(part)) == part
        assert eval(repr(part), names) == part
    assert control.state([0.1]).energy > 0
    assert len({element.kind for element in control.elements}) == 10


def test_nothing_takes_nan():
    at = yw.feel.Anchor("lever", (0, 0, 60 * mm))
    for bad in (math.nan, math.inf, -1.0):
        for make in (
            lambda bad: yw.feel.Element.mass(bad, at),
            lambda bad: yw.feel.Element.inertia("lever", bad),
            lambda bad: yw.feel.Element.damper("lever", bad),
            lambda bad: yw.feel.Element.friction("lever", bad),
            lambda bad: yw.feel.ControlMeasurements(force=bad),
            lambda bad: yw.feel.ControlMeasurements(deflection=bad),
        ):
            with pytest.raises(yw.InvalidValueError):
                make(bad)
    release = lever(*opposed(), *moving_parts()).free_response(start=0.1, duration=0.5)
    for ask in (
        lambda: release.overshoot(math.nan),
        lambda: release.settling_time(math.nan),
        lambda: release.settling_time(-0.1),
        lambda: release.settling_time(0.1, center=math.inf),
    ):
        with pytest.raises(yw.InvalidValueError):
            ask()
    assert release.overshoot(0.1) is None


def test_both_ends_on_one_body():
    a, b = yw.feel.Anchor("lever", (0, 0, 20 * mm)), yw.feel.Anchor("lever", (0, 0, 60 * mm))
    ball = yw.magnet.Sphere(6 * mm, (0, 0, 1.2), yw.Pose((0, 0, -30 * mm)))
    for make in (
        lambda: yw.feel.Element.line(SPRING, a, b),
        lambda: yw.feel.Element.joint_friction(a, b, 0.01),
        lambda: yw.feel.Element.magnets("lever", ball, "lever", ball),
    ):
        with pytest.raises(yw.InvalidValueError, match=r"same body \('lever'\)"):
            make()


def test_refusals():
    with pytest.raises(yw.InvalidValueError, match="did you mean -15 "):
        lever(travel=[(-15, 15)])
    a, b = (yw.feel.Anchor(body, (0, 0, 60 * mm)) for body in ("lever", "ground"))
    with pytest.raises(yw.InvalidValueError, match="coincide"):
        lever(yw.feel.Element.line(SPRING, a, b))
    with pytest.raises(yw.InvalidValueError, match="ground, ring, lever, driven 0"):
        yw.feel.Anchor("frame", (0, 0, 0))
    with pytest.raises(yw.InvalidValueError, match="outer, inner"):
        lever().curve(moving="roll")
    with pytest.raises(yw.InvalidValueError, match="above, below"):
        lever().state([0.0], side="left")
    with pytest.raises(yw.InvalidValueError, match="pivots"):
        lever(pivots=[])
    with pytest.raises(TypeError, match="spring"):
        yw.feel.Element.line("spring", yw.feel.Anchor("lever", (0, 0, 0)), yw.feel.Anchor("ground", (0, 0, 1)))
