"""Sweeps from the bench: reading, calibration, firmware and identification, against SciPy and by use."""

import numpy as np
import pytest
from matplotlib import pyplot
from scipy import interpolate, optimize, stats

import yokewright as yw
from yokewright import deg, mm, plots

PARTS = {
    "throw": (-6 * deg, 6 * deg),
    "sensor": yw.hall.LinearHall(supply=5.0, sensitivity=20 * yw.mV_per_mT),
    "converter": yw.hall.Converter(bits=12, reference=5.0),
}


def layout():
    cube = yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0))
    return yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)


def mean_counts(arrangement, angle):
    flux, valid = arrangement.axis(**PARTS).fluxes_at(angle)
    assert valid.all()
    return PARTS["sensor"].outputs(flux)[0] / PARTS["converter"].lsb


def bent(rows=201, sd=0.0, seed=3):
    """There and back over 20 degrees, bent at the ends."""
    up = np.linspace(-10, 10, rows) * deg
    angle = np.concatenate([up, up[::-1]])
    noise = sd * np.random.default_rng(seed).standard_normal(len(angle))
    return angle, np.round(2048 + 1900 * np.sin(6 * angle) + noise)


def test_text_and_arrays_give_the_same_sweep():
    angle, count = bent(41)
    rows = [f"{a / deg:.17g};{c}\n".replace(".", ",") for a, c in zip(angle, count, strict=True)]
    text = "angle_deg;count\n" + "".join(rows)
    read = yw.axis.BenchLog.read(text, bits=12)
    given = yw.axis.BenchLog(angle, count, bits=12)
    np.testing.assert_allclose(read.angle, given.angle, rtol=1e-14)
    assert read.sweep().count.tolist() == given.sweep().count.tolist() == count.tolist()
    # Lines of text begin with the headings.
    assert (read.line[0], given.line[0]) == (2, 1)
    sweep = given.sweep()
    assert (sweep.rows, sweep.passes) == (82, 2)
    assert sweep.rising.tolist() == [True] * 41 + [False] * 41
    with pytest.raises(ValueError, match="read-only"):
        sweep.count[0] = 1.0


def test_doubts_are_left_out_on_request_only():
    angle, count = bent(41)
    count[5], count[30] = np.nan, 9999
    log = yw.axis.BenchLog(angle, count, bits=12)
    assert [(doubt.line, doubt.reason) for doubt in log.doubts[:2]] == [(6, "missing"), (31, "impossible")]
    with pytest.raises(yw.InvalidValueError, match="line 6"):
        log.sweep()
    assert log.sweep(leave_out=["missing", "impossible"]).rows == 80
    with pytest.raises(yw.InvalidValueError, match="reason"):
        log.sweep(leave_out=["ugly"])


def test_cubic_is_that_of_scipy():
    points = np.array([[100, -0.2], [500, -0.15], [1500, -0.02], [2500, 0.03], [3900, 0.2]])
    curve = yw.axis.CalibrationCurve.monotone_cubic(points)
    counts = np.linspace(100, 3900, 501)
    scipy = interpolate.PchipInterpolator(points[:, 0], points[:, 1])
    # Both with a dozen roundings of values below 1.
    np.testing.assert_allclose(curve.positions(counts)[0], scipy(counts), atol=1e-14)


def test_line_is_that_of_linregress():
    rng = np.random.default_rng(5)
    angle = np.linspace(-0.2, 0.2, 301)
    count = 2048 + 8000 * angle + 3 * rng.standard_normal(301)
    sweep = yw.axis.BenchSweep(angle, count, bits=12)
    fit = sweep.calibrate_polynomial(1, robust=False, held_back=0.0)
    line = stats.linregress(count, angle)
    told = fit.curve.positions(count)[0]
    np.testing.assert_allclose(told, line.intercept + line.slope * count, atol=1e-14)
    assert fit.after.rms == pytest.approx(np.sqrt(np.mean((told - angle) ** 2)), rel=1e-9)


@pytest.mark.parametrize("degree", [5, 9])
def test_polynomials_are_those_of_numpy_and_scipy(degree):
    angle, count = bent(201, sd=3.0)
    # Within the counts of the others.
    count[17::40] = np.minimum(count[17::40] + 200, 3600)
    sweep = yw.axis.BenchSweep(angle, count, bits=12)
    x = 2 * (count - count.min()) / (count.max() - count.min()) - 1
    basis = np.polynomial.chebyshev.chebvander(x, degree)
    plain = sweep.calibrate_polynomial(degree, robust=False, held_back=0.0).curve.coefficients
    np.testing.assert_allclose(plain, np.linalg.lstsq(basis, angle)[0], atol=1e-12)
    robust = sweep.calibrate_polynomial(degree, held_back=0.0).curve.coefficients
    # Huber's estimate with the scale that it ends with: SciPy finds the same place from its own start.
    residuals = basis @ robust - angle
    scale = 1.345 * np.median(np.abs(residuals)) * 1.482602218505602
    found = optimize.least_squares(
        lambda c: basis @ c - angle, plain, jac=lambda c: basis, loss="huber", f_scale=scale, xtol=1e-15, gtol=1e-15
    )
    # SciPy ends where its sum changes by a rounding no more: the root of it in the coefficients.
    np.testing.assert_allclose(robust, found.x, atol=1e-6)


def test_what_points_are_worth_is_what_interpolation_leaves():
    angle, count = bent(401)
    calibration = yw.axis.BenchSweep(angle, count, bits=12).calibrate_table(9, held_back=0.0)
    counts = np.linspace(*calibration.reference.counts, 20001)
    positions = calibration.reference.positions(counts)[0]
    for row in calibration.points_worth([2, 5, 9]):
        angles = np.linspace(positions[0], positions[-1], row.points)
        at = np.interp(angles, positions, counts)
        left = np.max(np.abs(np.interp(counts, at, angles) - positions))
        # Both look at thousands of places of an arch.
        assert row.even == pytest.approx(left, rel=1e-3)
        assert row.placed < row.even
        assert row.even_share == pytest.approx(row.even / (positions[-1] - positions[0]), rel=1e-9)


def test_firmware_follows_the_calibration_at_every_code():
    angle, count = bent(401)
    calibration = yw.axis.BenchSweep(angle, count, bits=12).calibrate_cubic(17)
    firmware = calibration.firmware("left brake", dead_zone=0.1 * deg, end_zone=0.2 * deg, knots=33)
    outputs, model = firmware.outputs(), firmware.model()
    assert outputs.dtype == np.int32
    assert len(outputs) == 4096
    assert np.max(np.abs(outputs - model)) == firmware.worst_error
    assert [firmware.output(code) for code in (0, 77, 4095, 10**6)] == [*outputs[[0, 77, 4095, 4095]]]
    # By the definition of the zones.
    position = calibration.curve.positions(np.arange(4096))[0]
    part = np.clip((np.abs(position) - 0.1 * deg) / (10 * deg - 0.3 * deg), 0, 1)
    np.testing.assert_allclose(model, 32767 * part * np.sign(position), atol=1e-6)
    assert "axis_left_brake_output" in firmware.c_source()
    assert "axis_left_brake_output" in firmware.rust_source()
    assert firmware.csv().count("\n") == 4097


def test_identification_is_that_of_scipy():
    rng = np.random.default_rng(8)
    angle = np.linspace(-6, 6, 61) * deg
    built = layout().with_measure("gap", 2.3 * mm).with_measure("tangential offset", 0.1 * mm)
    count = np.round(mean_counts(built, angle) + 2 * rng.standard_normal(61))
    sweep = yw.axis.BenchSweep(angle, count, bits=12)
    within = {"gap": (1 * mm, 4 * mm), "tangential offset": (-1 * mm, 1 * mm)}
    found = yw.axis.identify_axis(sweep, layout(), **PARTS, within=within)

    def departures(x):
        arrangement = layout().with_measure("gap", x[0]).with_measure("tangential offset", x[1])
        return mean_counts(arrangement, angle) - count

    scipy = optimize.least_squares(departures, [2 * mm, 0.0], x_scale=[mm, mm], jac="3-point", xtol=1e-14, ftol=1e-14)
    sd = np.sqrt(np.sum(scipy.fun**2) / (61 - 2))
    errors = sd * np.sqrt(np.diag(np.linalg.inv(scipy.jac.T @ scipy.jac)))
    values = [found.quantity(name).value for name in within]
    # Far below the standard errors; differences of a smooth model.
    np.testing.assert_allclose(values, scipy.x, atol=1e-3 * errors.min())
    np.testing.assert_allclose([found.quantity(name).standard_error for name in within], errors, rtol=1e-3)
    assert found.reading_sd == pytest.approx(sd, rel=1e-6)
    covariance = np.linalg.inv(scipy.jac.T @ scipy.jac)
    correlation = covariance[0, 1] / np.sqrt(covariance[0, 0] * covariance[1, 1])
    assert found.correlation[0, 1] == pytest.approx(correlation, abs=1e-3)
    assert "move the sensor 0.3" in found.advice[0].text


def test_what_cannot_be_told_apart_is_said():
    angle = np.linspace(-6, 6, 61) * deg
    sweep = yw.axis.BenchSweep(angle, np.round(mean_counts(layout(), angle)), bits=12)
    within = {"polarization": (1.0, 1.6), "sensor gain": (15.0, 25.0)}
    found = yw.axis.identify_axis(sweep, layout(), **PARTS, within=within, noise=1.0)
    assert len(found.cannot_tell) == 1
    assert found.cannot_tell[0].endswith("measure one of them")
    assert all(quantity.standard_error is None for quantity in found.quantities)
    tied = yw.axis.identify_axis(
        sweep, layout(), **PARTS, within={"gap": (1 * mm, 4 * mm)}, plus_minus={"polarization": 0.01}, noise=1.0
    )
    assert tied.quantity("gap").value == pytest.approx(2 * mm, abs=0.03 * mm)
    with pytest.raises(yw.InvalidValueError, match="not known"):
        yw.axis.identify_axis(sweep, layout(), **PARTS, within={"color": (0.0, 1.0)})


def test_rod_that_is_too_long_is_found():
    pedal = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 100 * mm))
    crank = yw.linkage.Arm((200 * mm, -60 * mm, 100 * mm), (0, 0, 1), (200 * mm, -10 * mm, 100 * mm))
    drawn = yw.linkage.BallRod(pedal, crank)
    built = yw.linkage.BallRod(pedal, crank, rod_length=drawn.rod_length + 2 * mm)
    angles = np.linspace(-12, 12, 49) * deg
    cranks = np.array([built.transfer(angle).angle for angle in angles])
    length = drawn.rod_length
    found = yw.axis.identify_rod(drawn, angles, cranks, within={"rod length": (length - 5 * mm, length + 5 * mm)})
    assert found.quantity("rod length").value == pytest.approx(length + 2 * mm, abs=1e-6 * mm)
    assert found.advice == ()


def test_values_come_back_from_json():
    angle, count = bent(101, sd=1.0)
    sweep = yw.axis.BenchSweep(angle, count, bits=12)
    assert yw.axis.BenchSweep.from_json(sweep.to_json()) == sweep
    calibration = sweep.calibrate_table(9)
    assert yw.axis.Calibration.from_json(calibration.to_json()) == calibration


def test_pictures_show_what_they_should():
    angle, count = bent(201, sd=2.0)
    sweep = yw.axis.BenchSweep(angle, count, bits=12)
    calibration = sweep.calibrate_table(9)
    figure = plots.plot_calibration(sweep, calibration)
    above, below = figure.axes
    assert any("9 knots" in line.get_label() for line in above.get_lines())
    assert any("ends only: " in line.get_label() for line in below.get_lines())
    ax = plots.plot_points_worth(calibration)
    assert ax.get_xscale() == "log"
    within = {"gap": (1 * mm, 4 * mm), "sensor offset": (2.3, 2.7), "polarization": (1.0, 1.6)}
    angle = np.linspace(-6, 6, 61) * deg
    measured = yw.axis.BenchSweep(angle, np.round(mean_counts(layout(), angle)), bits=12)
    found = yw.axis.identify_axis(measured, layout(), **PARTS, within=within, noise=1.0)
    ax = plots.plot_correlation(found)
    assert len(ax.texts) == 9
    for draw in (plots.plot_points_worth, plots.plot_correlation):
        with pytest.raises(TypeError):
            draw(3)
    with pytest.raises(TypeError):
        plots.plot_calibration(sweep, 3)
    pyplot.close("all")
