"""Latency against NumPy and SciPy, and what a notebook relies on."""

import numpy as np
import pytest
from scipy import stats

import yokewright as yw
from yokewright import ms
from yokewright.axis import CameraRuns, Delay, LatencyBudget, LatencyStage

# Of an incomplete beta function with up to 2e4 degrees of freedom.
LOST = 1e-10

RATES = (100.0, 240.0, 1000.0)


def usual() -> LatencyBudget:
    rng = np.random.default_rng(5)
    chain = yw.hall.SignalChain(
        converter=yw.hall.Converter(bits=12, reference=3.3), filter=yw.hall.LowPass(100.0), averaging=None
    )
    return LatencyBudget(
        [
            LatencyStage("filter", Delay.filter(chain)),
            LatencyStage("firmware loop", Delay.wait(1 * ms)),
            LatencyStage("bus polling", Delay.usb_polling("full", 8)),
            LatencyStage("host", Delay.triangular(0.1 * ms, 0.3 * ms, 2 * ms)),
            LatencyStage("simulator frame", Delay.frame_wait(60, missed=0.05)),
            LatencyStage("display scan", Delay.scan(120, 0.5)),
            LatencyStage("display response", Delay.sample(rng.normal(5, 1, 40).round(2) * ms)),
        ]
    )


def test_a_sum_is_the_convolution_of_its_stages() -> None:
    """On a grid so fine that what it rounds is small beside the tolerance."""
    step = 0.01 * ms
    places = np.arange(0, 8000) * step

    def masses(delay: Delay) -> np.ndarray:
        """Shares of each step, out of the stage alone."""
        alone = LatencyBudget([LatencyStage("other", delay)])
        return np.diff(alone.distributions(places - 0.5 * step), append=1.0)

    budget = usual()
    together = np.array([1.0])
    for stage in budget.stages:
        together = np.convolve(together, masses(stage.delay))
    shares = np.cumsum(together)
    for share in (0.05, 0.5, 0.95):
        coarse = np.searchsorted(shares, share) * step
        # Half a step for each of seven stages, and one for the search.
        assert budget.quantile(share) == pytest.approx(coarse, abs=4.5 * step)
    assert budget.mean == pytest.approx(float(together @ (np.arange(len(together)) * step)), abs=3.5 * step)
    assert budget.percentiles == tuple(budget.quantile(share) for share in (0.05, 0.5, 0.95))
    assert budget.time_error == 0.0


def test_density_is_the_slope_of_the_distribution() -> None:
    budget = usual()
    low, high = budget.range
    times = np.linspace(low - 1 * ms, high + 1 * ms, 4001)
    shares, densities = budget.distributions(times), budget.densities(times)
    assert shares.dtype == densities.dtype == np.float64
    assert np.all(np.diff(shares) >= -1e-15)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    # Trapezoids over a density that jumps at none of its pieces; 4001 of them.
    assert np.trapezoid(densities, times) == pytest.approx(1.0, abs=1e-5)
    assert budget.distribution(times[2000]) == shares[2000]
    assert budget.density(times[2000]) == densities[2000]


def test_effects_name_what_to_attack() -> None:
    budget = usual()
    effects = budget.effects()
    assert [effect.name for effect in effects] == [stage.name for stage in budget.stages]
    assert sum(effect.share_of_mean or 0.0 for effect in effects) == pytest.approx(1.0)
    assert sum(effect.share_of_variance or 0.0 for effect in effects) == pytest.approx(1.0)
    attack = budget.stage_to_attack()
    assert attack.p95_halved == min(effect.p95_halved for effect in effects)
    assert attack.name == "simulator frame"
    assert "frames a second" in attack.remedy


def test_group_delay_is_that_of_the_chain() -> None:
    filtering = usual().stages[0].delay
    assert filtering.mean == pytest.approx(1 / (2 * np.pi * 100.0), rel=1e-14)
    assert filtering.range == (filtering.mean, filtering.mean)


@pytest.mark.parametrize("freedom", [1, 1.5, 2, 7, 30, 1000, 19_998])
@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.9999])
def test_students_t(freedom: float, confidence: float) -> None:
    expected = stats.t.isf((1 - confidence) / 2, freedom)
    assert yw.axis.student_t(freedom, confidence=confidence) == pytest.approx(expected, rel=LOST)


@pytest.mark.parametrize("seed", range(20))
def test_intervals_and_welch(seed: int) -> None:
    rng = np.random.default_rng(seed)
    first, second = (
        CameraRuns(rate, np.round(rng.normal(mean, spread, count) * rate).astype(int))
        for rate, mean, spread, count in zip(
            rng.choice(RATES, 2), rng.uniform(0.09, 0.14, 2), rng.uniform(0.01, 0.03, 2), rng.integers(2, 40, 2),
            strict=True,
        )
    )  # fmt: skip
    for runs in (first, second):
        low, high = stats.t.interval(0.9, runs.count - 1, runs.times.mean(), stats.sem(runs.times))
        assert runs.mean_interval(0.9) == pytest.approx((low, high), rel=LOST)
        assert runs.standard_deviation == pytest.approx(runs.times.std(ddof=1), rel=1e-12)
    found = first.compared_with(second, confidence=0.99)
    expected = stats.ttest_ind(first.times, second.times, equal_var=False)
    interval = expected.confidence_interval(0.99)
    # The mean of SciPy's own sums has lost some digits where the devices are nearly alike.
    assert found.t == pytest.approx(expected.statistic, rel=LOST)
    assert found.p == pytest.approx(expected.pvalue, rel=1e-9)
    assert found.degrees_of_freedom == pytest.approx(expected.df, rel=LOST)
    assert found.interval == pytest.approx((interval.low, interval.high), rel=1e-9)


def scipy_power(runs: int, effect: float) -> float:
    freedom = 2 * runs - 2
    limit = stats.t.isf(0.025, freedom)
    shift = effect * np.sqrt(runs / 2)
    # SciPy has no lower tail far out, where it is nothing.
    return float(stats.nct.sf(limit, freedom, shift) + np.nan_to_num(stats.nct.cdf(-limit, freedom, shift)))


@pytest.mark.parametrize("runs", [2, 3, 5, 8, 20, 100, 2000, 10_000])
@pytest.mark.parametrize("shift", [0.1, 1.0, 2.0, 3.0, 5.0])
def test_power_by_the_noncentral_t(runs: int, shift: float) -> None:
    effect = shift / np.sqrt(runs / 2)
    expected = scipy_power(runs, effect)
    found = yw.axis.power_of_runs(runs, effect * 10 * ms, deviation=10 * ms)
    assert found == pytest.approx(expected, rel=LOST)


@pytest.mark.parametrize("power", [0.5, 0.8, 0.95])
@pytest.mark.parametrize("effect", [0.2, 0.7, 1.0, 2.5])
def test_runs_needed_are_the_fewest(effect: float, power: float) -> None:
    runs = yw.axis.runs_needed(effect * 7 * ms, deviation=7 * ms, power=power)
    assert scipy_power(runs, effect) >= power
    assert runs == 2 or scipy_power(runs - 1, effect) < power
    least = yw.axis.detectable_difference(runs, deviation=7 * ms, power=power)
    assert least <= effect * 7 * ms
    assert scipy_power(runs, least / (7 * ms)) == pytest.approx(power, rel=LOST)


def test_three_devices() -> None:
    """Eight runs each at 1000 frames a second, means of 111, 139 and 89 ms: figures of common practice."""
    rng = np.random.default_rng(1)
    devices = {}
    for name, mean in {"first": 111, "second": 139, "third": 89}.items():
        frames = rng.normal(mean, 4, 8).round().astype(int)
        devices[name] = CameraRuns(1000, frames)
    pairs = yw.axis.compare_devices(devices)
    assert [(pair.first, pair.second) for pair in pairs] == [
        ("first", "second"),
        ("first", "third"),
        ("second", "third"),
    ]
    plain = np.array([pair.difference.p for pair in pairs])
    adjusted = np.array([pair.p_of_all for pair in pairs])
    order = np.argsort(plain)
    assert adjusted[order] == pytest.approx(np.maximum.accumulate(plain[order] * [3, 2, 1]), rel=1e-14)
    assert np.all(adjusted < 1e-4)


def test_what_comes_out_is_as_it_went_in() -> None:
    runs = CameraRuns(240, [24, 30, 27])
    assert runs.frames.tolist() == [24, 30, 27]
    assert runs.frames.dtype == np.int64
    with pytest.raises(ValueError, match="read-only"):
        runs.times[0] = 1.0
    assert eval(repr(runs), {"CameraRuns": CameraRuns}) == runs
    names = {"Delay": Delay, "LatencyStage": LatencyStage}
    for stage in usual().stages[:-1]:
        assert eval(repr(stage), names) == stage
    assert "40 times" in repr(usual().stages[-1].delay)
    budget = usual()
    assert LatencyBudget.from_json(budget.to_json()) == budget
    assert "together" in str(budget)


def test_a_time_in_milliseconds_is_suspected() -> None:
    with pytest.raises(ValueError, match=r"did you mean 8\.33 \* ms\?$"):
        Delay.fixed(8.33)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: Delay.usb_polling("low", 8), "bInterval of a low-speed"),
        (lambda: Delay.usb_polling("warp", 8), "speed of a USB device"),
        (lambda: Delay.wait(1 * ms, missed=1.5), "probability of a miss"),
        (lambda: Delay.sample([]), "measured times"),
        (lambda: Delay.sample([0.01, np.nan]), "not a finite number"),
        (lambda: LatencyStage("hand", Delay.fixed(0)), "kind of a stage"),
        (lambda: LatencyBudget([]), "stages of a latency budget"),
        (lambda: LatencyBudget([LatencyStage("host", Delay.fixed(0))] * 2), "stands for two"),
        (lambda: LatencyBudget([LatencyStage("host", Delay.fixed(1e-3))]).density(1e-3), "has no density"),
        (lambda: CameraRuns(1000, [-3]), "cannot be -3"),
        (lambda: CameraRuns(1000, [2**40]), "cannot be"),
        (lambda: CameraRuns(1000, [100, 100]).mean_interval(), "all equal"),
        (lambda: CameraRuns(1000, [100]).mean_interval(), "single run"),
        (lambda: yw.axis.runs_needed(1e-6, deviation=1.0), "power that 10000 runs reach"),
        (lambda: yw.axis.hid_usage("tiller"), "usage of a device"),
    ],
)
def test_refusals(call, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        call()


def test_usages_of_a_report() -> None:
    assert yw.axis.hid_usage("Flight Yoke") == (2, 36)
    assert yw.axis.hid_logical_range(16) == (-32768, 32767)
    assert yw.axis.hid_logical_range(12, signed=False) == (0, 4095)
