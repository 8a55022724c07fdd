"""A stick with a sensor for each axis, against explicit rotations and NumPy."""

import numpy as np
import pytest
from matplotlib import pyplot

import yokewright as yw
from yokewright import deg, mm, mV_per_mT
from yokewright.plots import plot_crosstalk, plot_gate_readings

CUBE = (5 * mm, 5 * mm, 5 * mm)
PITCH_AT, ROLL_AT = np.array([-20 * mm, 50 * mm, 0.0]), np.array([10 * mm, 0.0, -20 * mm])
HALL = yw.hall.LinearHall(
    supply=5.0,
    nominal_supply=5.0,
    quiescent=2.5,
    sensitivity=5 * mV_per_mT,
    rail_low=0.2,
    rail_headroom=0.3,
    noise=0.0005,
    depth=0.5 * mm,
)
CONVERTER = yw.hall.Converter(bits=12, reference=5.0)
SQUARE = yw.linkage.Gate.square((-15 * deg, 15 * deg), (-12 * deg, 12 * deg))


def rig(pitch_on="ring", roll_on="stick", sensors_on=("frame", "ring"), gate=SQUARE, hall=HALL):
    return yw.axis.TwoAxis(
        gimbal=yw.linkage.Gimbal(
            outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
            inner=yw.linkage.Pivot((0, 0, 5 * mm), (1, 0, 0)),
            stick=[(0, 0, 0), (0, 0, 0.4)],
        ),
        gate=gate,
        magnets=[
            yw.axis.CarriedMagnets(yw.magnet.Block(CUBE, (0, 0, 1.2), yw.Pose(PITCH_AT)), pitch_on, "outer"),
            yw.axis.CarriedMagnets(yw.magnet.Block(CUBE, (0, 1.2, 0), yw.Pose(ROLL_AT)), roll_on, "inner"),
        ],
        outer=yw.axis.CarriedSensor(hall, yw.Pose((-29 * mm, 50 * mm, 0), (0, 90 * deg, 0)), sensors_on[0], CONVERTER),
        inner=yw.axis.CarriedSensor(hall, yw.Pose((10 * mm, 0, -30 * mm)), sensors_on[1], CONVERTER),
    )


def about_y(angle):
    s, c = np.sin(angle), np.cos(angle)
    return np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])


def about_x(angle):
    s, c = np.sin(angle), np.cos(angle)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


def motion(carrier, outer, inner):
    """Rotation and what is added, by matrices of our own."""
    turn_outer, turn_inner, pivot = about_y(outer), about_x(inner), np.array([0, 0, 5 * mm])
    if carrier == "frame":
        return np.eye(3), np.zeros(3)
    if carrier == "ring":
        return turn_outer, np.zeros(3)
    return turn_outer @ turn_inner, turn_outer @ (pivot - turn_inner @ pivot)


def expected_flux(two, outer, inner):
    """Both flux densities: the sensor is brought into the frame in which each magnet lies straight."""
    flux = []
    for sensor in (two.outer, two.inner):
        turn, move = motion(sensor.carrier, outer, inner)
        start = sensor.pose.matrix
        point = turn @ (sensor.pose.position + start @ np.array([0, 0, -0.5 * mm])) + move
        direction = turn @ start @ np.array([0, 0, 1.0])
        total = 0.0
        for carried, at, polarization in zip(two.magnets, (PITCH_AT, ROLL_AT), ((0, 0, 1.2), (0, 1.2, 0)), strict=True):
            turn, move = motion(carried.carrier, outer, inner)
            block = yw.magnet.Block(CUBE, polarization)
            field = turn @ block.field_at(turn.T @ (point - move) - at)
            total += field @ direction
        flux.append(total)
    return flux


@pytest.mark.parametrize("pitch_on", ["ring", "stick"])
@pytest.mark.parametrize("sensors_on", [("frame", "ring"), ("frame", "frame"), ("ring", "stick")])
def test_readings_are_those_of_explicit_rotations(pitch_on, sensors_on):
    two = rig(pitch_on=pitch_on, sensors_on=sensors_on)
    outer = np.linspace(-15, 15, 9).repeat(7) * deg
    inner = np.tile(np.linspace(-12, 12, 7), 9) * deg
    flux, valid = two.fluxes_at(outer, inner)
    assert valid.all()
    expected = np.array([expected_flux(two, *pair) for pair in zip(outer, inner, strict=True)])
    # Of fields of some 0.1 T, places rounded to 1e-17 m.
    np.testing.assert_allclose(flux, expected, rtol=0, atol=1e-13)
    readings = two.readings_at(outer, inner)
    volts = np.clip(2.5 + 5.0 * expected, 0.2, 4.7)
    np.testing.assert_allclose(readings.volts, volts, atol=1e-11)
    counts = np.floor(volts / (5.0 / 4096) + 0.5)
    assert np.max(np.abs(readings.counts - counts)) <= 1
    assert np.mean(readings.counts != counts) < 0.01
    one = two.reading_at(outer[5], inner[5])
    assert one.counts == tuple(readings.counts[5])
    assert one.volts == pytest.approx(readings.volts[5], abs=1e-12)


def test_crosstalk_of_a_square_gate_is_that_of_a_grid():
    two = rig(pitch_on="stick")
    outer, inner = np.linspace(-15, 15, 61) * deg, np.linspace(-12, 12, 61) * deg
    grid = np.array(np.meshgrid(outer, inner, indexing="ij")).reshape(2, -1)
    flux = two.fluxes_at(*grid)[0].reshape(61, 61, 2)
    change = np.ptp(flux[:, :, 0], axis=1)
    found = two.crosstalk().outer
    # A step of half a degree misses a thousandth of an extreme at most: the field changes over 6 mm, 26 steps.
    assert found.worst.flux == pytest.approx(change.max(), rel=1e-3)
    assert found.center.flux == pytest.approx(change[30], rel=1e-3)
    assert found.span_volts == pytest.approx(5.0 * np.ptp(flux[:, 30, 0]), rel=1e-3)
    assert found.worst.of_span == pytest.approx(found.worst.volts / found.span_volts)
    assert found.worst.counts == pytest.approx(found.worst.volts / (5.0 / 4096))
    assert found.cause == "mounting"
    assert "carry the magnet by the ring" in found.explanation
    assert rig().crosstalk().outer.own_flux == 0.0


@pytest.mark.parametrize("terms", ["linear", "bilinear", "quadratic"])
def test_the_map_is_that_of_numpy(terms):
    two = rig(pitch_on="stick", sensors_on=("frame", "frame"))
    points = 17
    found = two.correction(terms, points)
    readings = two.map(points, points)
    a, b = (readings.counts[:, :, i].ravel() / 1000.0 for i in (0, 1))
    columns = np.array([np.ones_like(a), a, b, a * b, a * a, b * b]).T
    powers = np.array([0, 1, 1, 2, 2, 2])
    count = {"linear": 3, "bilinear": 4, "quadratic": 6}[terms]
    angles = np.array(np.meshgrid(readings.outer, readings.inner, indexing="ij")).reshape(2, -1)
    for i, coefficients in enumerate((found.map.outer, found.map.inner)):
        solved = np.linalg.lstsq(columns[:, :count], angles[i], rcond=None)[0]
        fitted = (columns[:, :count] * 1000.0 ** powers[:count]) @ coefficients
        # Two ways through columns of which some are nearly in line.
        np.testing.assert_allclose(fitted, columns[:, :count] @ solved, rtol=0, atol=1e-9)
        left = columns[:, :count] @ solved - angles[i]
        assert found.after.rms[i] == pytest.approx(np.sqrt(np.mean(left**2)), rel=1e-6)
        assert found.after.worst[i] == pytest.approx(np.abs(left).max(), rel=1e-6)
        line = np.polyfit((a, b)[i], angles[i], 1)
        alone = np.polyval(line, (a, b)[i]) - angles[i]
        assert found.before.rms[i] == pytest.approx(np.sqrt(np.mean(alone**2)), rel=1e-6)
    outer, inner = found.map.angles_for(2000, 2100)
    terms_there = np.array([1, 2.0, 2.1, 4.2, 4.0, 4.41])[:count] * 1000.0 ** powers[:count]
    assert (outer, inner) == pytest.approx((terms_there @ found.map.outer, terms_there @ found.map.inner))


def any_sensors(**changes):
    """An AngleSensor at the outer axis, a Potentiometer on the shaft of the inner one."""
    given = rig()
    digital = yw.hall.AngleSensor(bits=14, depth=0.3 * mm, offsets=(2e-4, -1e-4), gain_mismatch=0.02, sense="reverse")
    outer = yw.axis.CarriedSensor(digital, given.outer.pose, "frame", **changes)
    wiper = yw.hall.Potentiometer(travel=300 * deg, supply=5.0)
    inner = yw.axis.CarriedSensor.on_shaft(wiper, CONVERTER)
    return yw.axis.TwoAxis(gimbal=given.gimbal, gate=SQUARE, magnets=given.magnets, outer=outer, inner=inner)


def test_any_sensors_read_what_their_formulas_give():
    two = any_sensors().zeroed("outer")
    readings = two.map(9, 7)
    field = np.array([[two.field_at(o, i) for i in readings.inner] for o in readings.outer])
    assert field.shape == (9, 7, 2, 3)
    components = field[:, :, 0, 0] + 2e-4, 1.02 * field[:, :, 0, 1] - 1e-4
    zero = two.outer.sensor.zero
    expected = -(np.arctan2(components[1], components[0]) - zero)
    expected = (expected + np.pi) % (2 * np.pi) - np.pi
    # Rounding of places, 1e-17 m at 100 T/m, in fields of 10 mT.
    np.testing.assert_allclose(readings.read_angle[:, :, 0], expected, rtol=0, atol=1e-12)
    counts = np.floor((expected + np.pi) / (2 * np.pi / 2**14) + 0.5)
    assert np.max(np.abs(readings.counts[:, :, 0] - counts)) <= 1
    # The wiper by its own axis: 5 V over 300 degrees, centered.
    np.testing.assert_allclose(readings.volts[:, :, 1], np.tile(2.5 + 5 * readings.inner / (300 * deg), (9, 1)))
    for column in (readings.flux, readings.read_angle[:, :, 1], readings.volts[:, :, 0]):
        assert np.isnan(column).all()
    one = two.reading_at(readings.outer[2], readings.inner[3])
    assert one.flux == (None, None)
    assert one.read_angle == (pytest.approx(readings.read_angle[2, 3, 0], abs=1e-12), None)
    assert one.volts == (None, pytest.approx(readings.volts[2, 3, 1]))
    assert readings.steps == pytest.approx((2 * np.pi / 2**14, 5.0 / 4096))
    crosstalk = two.crosstalk()
    assert (crosstalk.inner.worst.counts, crosstalk.inner.cause) == (0.0, "negligible")
    assert (crosstalk.outer.span_volts, crosstalk.outer.own_flux) == (None, None)
    change = np.ptp(two.map(61, 61).read_angle[:, :, 0], axis=1).max()
    # A step of half a degree misses a thousandth of an extreme at most.
    assert crosstalk.outer.worst.read_angle == pytest.approx(change, rel=2e-3)
    with pytest.raises(yw.InvalidValueError, match="sensitive direction"):
        two.flux_at(0.0, 0.0)
    with pytest.raises(yw.InvalidValueError, match="zero position"):
        two.zeroed("inner")
    assert rig().reading_at(0, 0).read_angle == (None, None)
    assert rig().readings_at([0], [0]).read_angle is None


def test_an_axis_of_a_stick_is_the_single_axis():
    given = rig()
    slow, mean = yw.hall.LowPass(800.0), yw.hall.Averaging(8, 0.5e-3)
    area = yw.magnet.ActiveArea.rectangle(0.8 * mm, 0.5 * mm)
    parts = {"area": area, "filter": slow, "averaging": mean, "celsius": 60.0}
    drift = {"remanence_drift": -1.1e-3, "celsius": 60.0}
    magnets = yw.axis.CarriedMagnets(given.magnets[0].magnets, "ring", "outer", **drift)
    outer = yw.axis.CarriedSensor(HALL, given.outer.pose, "frame", CONVERTER, **parts)
    two = yw.axis.TwoAxis(gimbal=given.gimbal, gate=SQUARE, magnets=[magnets], outer=outer, inner=any_sensors().inner)
    single = yw.axis.Axis(
        direction=(0, 1, 0),
        throw=(-15 * deg, 15 * deg),
        magnets=given.magnets[0].magnets,
        sensor=HALL,
        sensor_pose=given.outer.pose,
        converter=CONVERTER,
        remanence_drift=-1.1e-3,
        **parts,
    )
    sweep = single.sweep(31)
    readings = two.readings_at(sweep.angle, np.zeros(31))
    np.testing.assert_allclose(readings.flux[:, 0], sweep.flux, rtol=0, atol=1e-13)
    assert np.max(np.abs(readings.counts[:, 0] - sweep.counts)) <= 1
    figures, noise = single.figures(), two.noise_at(0.0, 0.0)[0]
    assert noise.random == pytest.approx(figures.step_noise_center * abs(figures.gain_volts))
    assert two.at_temperature(40.0).at_temperature(60.0).field_at(0.1, 0.0) == pytest.approx(two.field_at(0.1, 0.0))
    assert two.outer.area == area
    assert (two.outer.filter, two.outer.averaging, two.outer.celsius) == (slow, mean, 60.0)
    assert (two.magnets[0].remanence_drift, two.magnets[0].reference_celsius) == (-1.1e-3, 20.0)
    with pytest.raises(yw.InvalidValueError, match="converter"):
        any_sensors(converter=CONVERTER)


def test_refused_rows_keep_their_place():
    two = rig()
    readings = two.readings_at([0.0, np.nan, 0.1, 4.0], [0.1, 0.0, np.inf, 0.0])
    assert readings.valid.tolist() == [True, False, False, False]
    assert np.isnan(readings.flux[1:]).all()
    assert (readings.counts[1:] == -1).all()
    assert len(readings) == 4
    with pytest.raises(yw.InvalidValueError, match="outer angle"):
        two.flux_at(np.nan, 0.0)
    with pytest.raises(yw.InvalidValueError, match="must match"):
        two.fluxes_at([0.0], [0.0, 0.1])
    with pytest.raises(ValueError, match="read-only"):
        readings.volts[0, 0] = 1.0


def test_a_gate_without_neutral_is_refused():
    aside = yw.linkage.Gate.square((1 * deg, 5 * deg), (-5 * deg, 5 * deg))
    with pytest.raises(yw.InvalidValueError, match="neutral"):
        rig(gate=aside)
    with pytest.raises(yw.InvalidValueError, match="carrier"):
        rig(pitch_on="grip")


@pytest.fixture
def _no_figure_stays_open():
    yield
    pyplot.close("all")


@pytest.mark.usefixtures("_no_figure_stays_open")
@pytest.mark.parametrize("gate", [SQUARE, yw.linkage.Gate.round(14 * deg)], ids=["square", "round"])
@pytest.mark.parametrize("axis", ["outer", "inner"])
def test_pictures_show_what_was_computed(gate, axis):
    which = ["outer", "inner"].index(axis)
    readings = rig(pitch_on="stick", sensors_on=("frame", "frame"), gate=gate).map(31, 31)
    ax = plot_crosstalk(readings, axis, names=("pitch", "roll"))
    curves = [line for line in ax.lines if not line.get_label().startswith("_")]
    assert 3 <= len(curves) <= 5
    volts, valid = readings.volts[:, :, which], readings.valid
    held, turned = (readings.outer, readings.inner) if which == 0 else (readings.inner, readings.outer)
    if which:
        volts, valid = volts.T, valid.T
    for curve in curves:
        label = curve.get_label().replace("\N{MINUS SIGN}", "-")
        row = int(np.argmin(np.abs(held / deg - float(label.split(" at ")[1].split()[0]))))
        x, y = curve.get_data()
        np.testing.assert_allclose(x, turned[valid[row]] / deg)
        counts = volts[row][valid[row]] / (5.0 / 4096)
        np.testing.assert_allclose(np.diff(y), np.diff(counts), atol=1e-9)
        assert np.min(np.abs(y)) == 0.0
    assert ax.get_xlabel() == ("Roll angle (deg)" if which == 0 else "Pitch angle (deg)")
    ax = plot_gate_readings(readings, axis, names=("pitch", "roll"))
    assert ax.get_xlabel() == "Pitch angle (deg)"
    assert ax.get_ylabel() == "Roll angle (deg)"
    ax.figure.canvas.draw()


@pytest.mark.usefixtures("_no_figure_stays_open")
def test_a_picture_of_a_sensor_without_a_voltage_is_of_its_angle():
    readings = any_sensors().map(21, 21)
    first = plot_crosstalk(readings, "outer").lines[1]
    row = readings.read_angle[0, :, 0]
    drawn = first.get_ydata()
    np.testing.assert_allclose(np.diff(drawn), np.diff(row) / (2 * np.pi / 2**14), atol=1e-9)


@pytest.mark.usefixtures("_no_figure_stays_open")
def test_clipping_is_hatched_and_wrong_arguments_are_refused():
    narrow = yw.hall.LinearHall(
        supply=5.0,
        nominal_supply=5.0,
        quiescent=2.5,
        sensitivity=400 * mV_per_mT,
        rail_low=0.2,
        rail_headroom=0.3,
        noise=0.0005,
        depth=0.5 * mm,
    )
    readings = rig(hall=narrow).map(21, 21)
    assert readings.clipped.any()
    ax = plot_gate_readings(readings)
    assert "clipped" in ax.get_legend_handles_labels()[1]
    for plot in (plot_gate_readings, plot_crosstalk):
        with pytest.raises(yw.InvalidTypeError, match="GateMap"):
            plot(readings.counts)
        with pytest.raises(yw.InvalidValueError, match="choose one of"):
            plot(readings, "pitch")


def test_angle_sensors_tell_how_much_field_they_see_over_the_gate():
    # By default across x and y of its package: the components of the field there, on a grid of our own.
    two = any_sensors()
    angles = np.linspace(-1, 1, 31)
    sizes = [np.hypot(*two.field_at(15 * deg * a, 12 * deg * b)[0][:2]) for a in angles for b in angles]
    (least, greatest), other = two.field_ranges()
    assert other is None
    # It is smooth: on steps of a degree no more than a hundredth of an extreme is missed.
    assert least == pytest.approx(min(sizes), rel=1e-2)
    assert least <= min(sizes) * (1 + 1e-12)
    assert greatest == pytest.approx(max(sizes), rel=1e-2)
    assert greatest >= max(sizes) * (1 - 1e-12)
