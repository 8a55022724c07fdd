"""Sensors on a shaft, filters and chains against SciPy and NumPy."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.linalg import toeplitz
from scipy.optimize import brentq
from scipy.signal import freqz, lti

import yokewright as yw
from yokewright import deg, mT, mV

# What a well-behaved quadrature or a sum of some thousand terms loses.
INTEGRAL = 1e-9


def test_the_noise_behind_filter_and_sensor_is_the_integral_of_its_density() -> None:
    density, sensitivity, bandwidth, cutoff = 130e-9, 30.0, 20e3, 700.0
    noise = yw.hall.noise_from_density(density, sensitivity, bandwidth)
    filter = yw.hall.LowPass(cutoff)

    def power(decade: float) -> float:
        frequency = np.exp(decade)
        gains = [1 / (1 + (frequency / pole) ** 2) for pole in (bandwidth, cutoff)]
        return frequency * gains[0] * gains[1]

    # In the logarithm of the frequency; what lies beyond the ends is below 1e-15 of it.
    both, _ = quad(power, np.log(1e-13), np.log(1e12), limit=500, points=[np.log(cutoff), np.log(bandwidth)])
    chain = yw.hall.SignalChain(converter=yw.hall.Converter(bits=16, reference=3.3), filter=filter)
    assert chain.noise(noise, bandwidth).sensor == pytest.approx(density * sensitivity * np.sqrt(both), rel=INTEGRAL)
    # The filter alone, behind white noise.
    alone, _ = quad(lambda f: 1 / (1 + (f / cutoff) ** 2), 0, np.inf)
    assert filter.noise_bandwidth == pytest.approx(alone, rel=INTEGRAL)


def test_the_filter_is_the_transfer_function_of_its_time_constant() -> None:
    filter = yw.hall.LowPass.from_rc(10e3, 47e-9)
    system = lti([1.0], [filter.time_constant, 1.0])
    frequencies = np.array([1.0, 50.0, filter.cutoff, 5e3, 1e5])
    _, response = system.freqresp(2 * np.pi * frequencies)
    found = [filter.gain(f) * np.exp(1j * filter.phase(f)) for f in frequencies]
    np.testing.assert_allclose(found, response, rtol=1e-12)
    # Its step response reaches 1 - 1/1000 when it is said to.
    time = filter.settling_time(1e-3)
    _, risen = system.step(T=np.linspace(0, time, 2001))
    assert 1 - risen[-1] == pytest.approx(1e-3, rel=1e-6)


def two_poles(lag: np.ndarray, one: float, other: float) -> np.ndarray:
    """Correlation of white noise behind two poles (Hz), from its spectrum by partial fractions."""
    a, b = 2 * np.pi * one, 2 * np.pi * other
    return (b * np.exp(-a * lag) - a * np.exp(-b * lag)) / (b - a)


def test_the_correlation_of_two_poles_is_the_transform_of_their_spectrum() -> None:
    one, other = 300.0, 2000.0

    def power(f: float) -> float:
        return 1 / ((1 + (f / one) ** 2) * (1 + (f / other) ** 2))

    whole, _ = quad(power, 0, np.inf)
    for lag in (1e-4, 5e-4, 2e-3):
        cosine, _ = quad(power, 0, np.inf, weight="cos", wvar=2 * np.pi * lag)
        assert cosine / whole == pytest.approx(float(two_poles(np.array(lag), one, other)), abs=1e-7)


@pytest.mark.parametrize(("samples", "interval"), [(1, 1e-3), (7, 1e-3), (64, 2e-4), (500, 1e-5)])
def test_the_noise_of_a_mean_is_that_of_its_covariance(samples: int, interval: float) -> None:
    cutoff, bandwidth, noise, own = 300.0, 2000.0, 4 * mV, 1 * mV
    lags = interval * np.arange(samples)
    averaging, filter = yw.hall.Averaging(samples, interval), yw.hall.LowPass(cutoff)

    def mean(correlation: np.ndarray) -> float:
        return float(np.sqrt(toeplitz(correlation).sum()) / samples)

    one_pole = mean(np.exp(-2 * np.pi * cutoff * lags))
    assert averaging.noise_factor_behind(filter) == pytest.approx(one_pole, rel=INTEGRAL)
    converter = yw.hall.Converter(bits=12, reference=4.096, noise=own)
    chain = yw.hall.SignalChain(converter=converter, filter=filter, averaging=averaging)
    found = chain.noise(noise, bandwidth)
    passed = noise * np.sqrt(cutoff / (cutoff + bandwidth))
    assert found.sensor == pytest.approx(passed * mean(two_poles(lags, cutoff, bandwidth)), rel=INTEGRAL)
    assert found.converter == pytest.approx(own / np.sqrt(samples), rel=INTEGRAL)


def test_the_quantization_left_is_that_of_simulated_readings() -> None:
    """Readings at places all over a step, some alike by the filter, with a seed: what their mean misses."""
    samples, interval, cutoff = 8, 1e-3, 40.0
    converter = yw.hall.Converter(bits=12, reference=4.096, noise=0.1 * mV)
    chain = yw.hall.SignalChain(
        converter=converter, filter=yw.hall.LowPass(cutoff), averaging=yw.hall.Averaging(samples, interval)
    )
    noise = 0.2 * mV
    found = chain.noise(noise)
    draw = np.random.default_rng(5)
    count = 400_000
    alike = np.linalg.cholesky(toeplitz(np.exp(-2 * np.pi * cutoff * interval * np.arange(samples))))
    volts = draw.uniform(1.0, 1.001, (count, 1)) + noise * draw.standard_normal((count, samples)) @ alike.T
    volts += 0.1 * mV * draw.standard_normal((count, samples))
    errors = np.floor(volts / converter.lsb + 0.5) * converter.lsb - volts
    # The scatter of a mean square of 400,000 is below a quarter of a percent, that of its root half of it.
    assert found.quantization == pytest.approx(np.sqrt(np.mean(errors.mean(axis=1) ** 2)), rel=5e-3)


def test_the_gain_of_a_mean_is_that_of_its_taps() -> None:
    averaging = yw.hall.Averaging(12, 1e-3)
    frequencies = np.array([1.0, 30.0, 83.0, 250.0, 499.0])
    _, response = freqz(np.full(12, 1 / 12), worN=frequencies, fs=1000.0)
    np.testing.assert_allclose([averaging.gain(f) for f in frequencies], abs(response), rtol=1e-10, atol=1e-15)
    # Late by the delay of symmetric taps.
    _, slow = freqz(np.full(12, 1 / 12), worN=[0.01], fs=1000.0)
    assert averaging.group_delay == pytest.approx(-np.angle(slow[0]) / (2 * np.pi * 0.01), rel=1e-6)


@pytest.mark.parametrize("load", [None, 1e6, 22e3, 2e3])
def test_a_loaded_potentiometer_is_the_solution_of_its_nodes(load: float | None) -> None:
    travel, supply, track, ends = 300 * deg, 5.0, 10e3, (15.0, 40.0)
    pot = yw.hall.Potentiometer(travel=travel, supply=supply, resistance=track, end_resistances=ends, load=load)

    def nodes(share: float) -> float:
        # Three nodes: the ends of the track and the wiper between them.
        down, up = 1 / max(share * track, 1e-9), 1 / max((1 - share) * track, 1e-9)
        matrix = [
            [1 / ends[0] + down, -down, 0.0],
            [-down, down + up + (1 / load if load else 0.0), -up],
            [0.0, -up, up + 1 / ends[1]],
        ]
        return float(np.linalg.solve(matrix, [0.0, 0.0, supply / ends[1]])[1])

    angles = np.linspace(0.01, 0.99, 25) * travel
    volts, valid = pot.outputs(angles)
    assert valid.all()
    np.testing.assert_allclose(volts, [nodes(angle / travel) for angle in angles], rtol=1e-11)
    for angle, volt in zip(angles, volts, strict=True):
        assert pot.angle_for(volt) == pytest.approx(angle, abs=1e-11)
        # A bracketing root finder for the same angle.
        assert brentq(lambda a, volt=volt: pot.output(a) - volt, 0, travel) == pytest.approx(angle, abs=1e-9)
    unloaded = yw.hall.Potentiometer(travel=travel, supply=supply, resistance=track, end_resistances=ends)
    fine = np.linspace(0, travel, 20001)
    worst = (unloaded.outputs(fine)[0] - pot.outputs(fine)[0]).max()
    assert pot.max_loading_error == pytest.approx(worst, rel=1e-6, abs=1e-15)


def test_an_angle_sensor_reads_many_fields_as_one_and_as_numpy() -> None:
    sensor = yw.hall.AngleSensor(
        bits=12, offsets=(1 * mT, -2 * mT), gain_mismatch=0.05, nonorthogonality=0.03, directions=((0, 0, 1), (1, 0, 0))
    )
    fields = np.random.default_rng(3).normal(0, 0.05, (4, 5, 3))
    angles, valid = sensor.angles(fields)
    first = 1 * mT + fields[..., 2]
    second = -2 * mT + 1.05 * (np.cos(0.03) * fields[..., 0] + np.sin(0.03) * fields[..., 2])
    np.testing.assert_allclose(angles, np.arctan2(second, first), rtol=1e-12)
    assert valid.shape == (4, 5)
    assert valid.all()
    assert sensor.angle(fields[1, 2]) == angles[1, 2]
    assert sensor.components(fields[1, 2]) == pytest.approx((first[1, 2], second[1, 2]), rel=1e-12)
    _, valid = sensor.angles([[np.nan, 0, 0], [0, 0, 1]])
    assert valid.tolist() == [False, True]


def test_the_error_of_an_angle_is_that_of_numpy() -> None:
    turned = np.arange(64) * 2 * np.pi / 64
    read = turned + 0.2 + 0.03 * np.cos(turned + 1) + 0.01 * np.sin(2 * turned) + 0.002 * np.cos(5 * turned)
    found = yw.hall.AngleError.of(turned, np.angle(np.exp(1j * read)))
    error = np.unwrap(read - turned)
    np.testing.assert_allclose(found.error, error, atol=1e-13)
    assert found.mean == pytest.approx(error.mean(), abs=1e-13)
    assert found.worst == pytest.approx(abs(error - error.mean()).max(), abs=1e-13)
    assert abs(np.interp(found.worst_at, turned, error) - found.mean) == pytest.approx(found.worst, abs=1e-13)
    harmonics = found.harmonics
    assert harmonics is not None
    spectrum = np.fft.rfft(error) * 2 / 64
    for (amplitude, phase), bin_ in ((harmonics.first, spectrum[1]), (harmonics.second, spectrum[2])):
        assert amplitude * np.exp(-1j * phase) == pytest.approx(bin_, abs=1e-13)
    assert harmonics.at(1.0) == pytest.approx(0.2 + 0.03 * np.cos(2.0) + 0.01 * np.sin(2.0), abs=1e-13)
    assert yw.hall.AngleError.of([0.0, 0.1], [0.0, 0.2]).harmonics is None


def test_an_angle_sensor_needs_one_output() -> None:
    for outputs in ({}, {"bits": 12, "analog": (5.0, 0.5, 4.5, 1.0)}):
        with pytest.raises(yw.InvalidValueError, match="exactly one of bits and analog"):
            yw.hall.AngleSensor(**outputs)  # type: ignore[arg-type]
    analog = yw.hall.AngleSensor(analog=(5.0, 0.5, 4.5, 90 * deg), zero=10 * deg)
    assert analog.output(10 * deg) == 2.5
    assert analog.code(0.0) is None
    assert yw.hall.AngleSensor(bits=12).code(-1e-9) == 0


def test_an_averaged_converter_scatters_as_it_says() -> None:
    converter = yw.hall.Converter(bits=16, reference=3.3, noise=1 * mV, oversampling=16)
    readings = np.random.default_rng(1).normal(0, 1 * mV, (100_000, 16)).mean(axis=1)
    # The scatter of a deviation from 100,000 is a quarter of a percent.
    assert converter.code_noise == pytest.approx(readings.std(), rel=0.01)


def test_a_warm_sensor_drifts_along_its_line() -> None:
    sensor = yw.hall.LinearHall.named("chopped 5 V 25 mV/mT")
    warm = sensor.at_temperature(65.0)
    assert warm.sensitivity == pytest.approx(25 * (1 + 40 * sensor.sensitivity_drift), rel=1e-12)
    assert (warm.sensitivity_drift, warm.reference_celsius) == (0.0, 65.0)
    with pytest.raises(yw.InvalidValueError, match="temperature of the sensor = 300 degC"):
        sensor.at_temperature(300.0)


def test_every_typical_part_says_where_its_figures_come_from() -> None:
    parts = yw.hall.TypicalPart.all()
    assert len({part.name for part in parts}) == len(parts) > 20
    for part in parts:
        assert type(part.device).named(part.name) == part.device
        assert all(source[2] in ("seen", "from memory", "common practice") for source in part.sources)
    with pytest.raises(yw.InvalidValueError, match="nearest to it: 10 kilohm 300 degrees"):
        yw.hall.Potentiometer.named("10k")


def test_ratiometry_error_is_a_share_of_the_supply() -> None:
    assert yw.hall.ratiometry_error(2.26, 4.5, 2.5, 5.0) == pytest.approx(2.26 / 4.5 - 0.5, rel=1e-12)


def test_long_work_can_be_stopped() -> None:
    sensor, many = yw.hall.AngleSensor(bits=12), np.ones((30_000, 3))
    pot = yw.hall.Potentiometer(travel=3.0, supply=5.0)
    averaging, slow = yw.hall.Averaging(1_000_000, 1e-6), yw.hall.LowPass(1e-3)
    for work in (
        lambda: sensor.angles(many),
        lambda: pot.outputs(many[:, 0]),
        lambda: yw.hall.AngleError.of(many[:, 0], many[:, 1]),
        lambda: averaging.noise_factor_behind(slow),
    ):
        observer = yw.Observer()
        observer.stop()
        with observer, pytest.raises(yw.StoppedError):
            work()
