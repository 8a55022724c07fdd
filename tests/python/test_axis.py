"""An axis from Python: figures by another route, and what is read back or given wrongly is refused."""

import json
import math
import pickle

import numpy as np
import pytest
from scipy.optimize import brentq, linprog

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm, mT, mV


def make_axis(sensitivity=25 * yw.mV_per_mT, throw=(-6 * deg, 5 * deg), **changes):
    cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
    layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)
    sensor = yw.hall.LinearHall(
        supply=5.0,
        nominal_supply=5.0,
        quiescent=2.5,
        sensitivity=sensitivity,
        rail_low=0.2,
        rail_headroom=0.3,
        noise=0.15 * mV,
        depth=0.0,
    )
    converter = yw.hall.Converter(bits=12, reference=5.0, noise=0.4 * mV)
    axis = layout.axis(throw=throw, sensor=sensor, converter=converter)
    if not changes:
        return axis
    names = (
        "pivot",
        "direction",
        "throw",
        "magnets",
        "sensor",
        "sensor_pose",
        "converter",
        "moving",
        "area",
        "plate",
    )
    return yw.axis.Axis(**{name: getattr(axis, name) for name in names} | changes)


def narrowest(x, y):
    """Half the height of the narrowest strip that holds the samples, by linear programming."""
    ones = np.ones_like(x)
    rows = np.vstack([np.column_stack([x, ones, -ones]), np.column_stack([-x, -ones, -ones])])
    best = linprog([0, 0, 1], A_ub=rows, b_ub=np.concatenate([y, -y]), bounds=(None, None))
    assert best.success
    return best.fun


@pytest.mark.parametrize("sensitivity", [25 * yw.mV_per_mT, 50 * yw.mV_per_mT])
def test_figures_by_scipy(sensitivity):
    axis = make_axis(sensitivity)
    figures, sensor, converter = axis.figures(), axis.sensor, axis.converter
    low, high = axis.throw
    x = np.linspace(low, high, 4001)
    flux, valid = axis.fluxes_at(x)
    assert valid.all()
    rail_low, rail_high = sensor.output_range
    # Where the rails are met, so that the corners are among the samples.
    corners = [
        brentq(lambda angle, limit=limit: axis.flux_at(angle) - limit, low, high, xtol=1e-14)
        for limit in sensor.flux_range
        if (flux.min() - limit) * (flux.max() - limit) < 0
    ]
    x = np.sort(np.concatenate([x, corners]))
    flux, _ = axis.fluxes_at(x)
    volts = np.clip(2.5 + sensitivity * flux, rail_low, rail_high)
    span = np.ptp(volts)
    assert figures.volts_span == pytest.approx(span, rel=1e-12)
    # A vertex lies within half a step of a sample: there the departure bends by less than 1e-7 of the span.
    assert figures.linearity_volts.independent == pytest.approx(narrowest(x, volts) / span, abs=1e-7)
    assert figures.linearity_flux.independent == pytest.approx(narrowest(x, flux) / np.ptp(flux), abs=1e-7)
    ends = sorted([low, *corners, high])
    open_ends = (ends[1], ends[-2]) if corners else (low, high)
    assert figures.clipped_share == pytest.approx(1 - (open_ends[1] - open_ends[0]) / (high - low), abs=1e-11)
    # The slope by SciPy's own difference, of sixth order: 1e-9 of it.
    step = 1e-3
    weights = np.array([-1, 9, -45, 0, 45, -9, 1]) / 60

    def slope(angle):
        return sensitivity * weights @ axis.fluxes_at(angle + step * np.arange(-3, 4))[0] / step

    slopes = np.array([abs(slope(angle)) for angle in np.linspace(*open_ends, 401)])
    lsb = 5.0 / 4096
    noise = math.hypot(0.15 * mV, 0.4 * mV)
    assert figures.step_quantization_center == pytest.approx(lsb / abs(slope(0.0)), rel=1e-8)
    assert figures.step_noise_center == pytest.approx(noise / abs(slope(0.0)), rel=1e-8)
    # The least of 401 slopes lies within 1e-5 of the least of all.
    assert figures.step_quantization_worst == pytest.approx(lsb / slopes.min(), rel=1e-5)
    assert figures.step_noise_worst == pytest.approx(noise / slopes.min(), rel=1e-5)
    total = math.sqrt(noise**2 + lsb**2 / 12)
    assert figures.effective_bits == pytest.approx(math.log2(span / (math.sqrt(12) * total)), rel=1e-12)
    codes = np.clip(np.floor(volts / lsb + 0.5), 0, 4095)
    assert figures.code_range == (codes.min(), codes.max())
    assert converter.lsb == lsb


def test_figures_do_not_depend_on_the_number_of_points():
    axis = make_axis(50 * yw.mV_per_mT)
    bends = [axis.figures(points).linearity_volts.independent for points in (11, 101, 1001)]
    assert np.ptp(bends) < 1e-9


@pytest.mark.parametrize("column", ["angle", "flux", "volts", "counts", "clipped"])
def test_a_sweep_of_unequal_columns_is_refused(column):
    stored = json.loads(make_axis().sweep(11).to_json())
    stored[column].pop()
    with pytest.raises(yw.InvalidValueError, match="10"):
        yw.axis.Sweep.from_json(json.dumps(stored))


def test_results_travel():
    axis = make_axis()
    for result in (axis.sweep(11), axis.figures(), axis.figures().linearity_volts):
        assert pickle.loads(pickle.dumps(result)) == result


@pytest.mark.parametrize("length", [1e160, 1e-160, 1e-200, 1e-310])
def test_a_direction_of_any_length_turns(length):
    plain = make_axis(direction=(0, 0, 1))
    axis = make_axis(direction=(0, 0, length))
    assert axis.flux_at(0.05) == plain.flux_at(0.05)
    assert abs(axis.flux_at(0.05) - axis.flux_at(0.0)) > 0.01


def test_no_number_gives_no_number_back():
    line = make_axis().figures().linearity_volts.independent_line
    assert line.at(0.0) == line.offset
    with pytest.raises(yw.InvalidValueError, match="x on the line"):
        line.at(math.nan)


def test_a_noise_of_a_volt_is_a_slip():
    with pytest.raises(yw.InvalidValueError, match=r"did you mean 1 \* mV\?"):
        yw.hall.LinearHall(
            supply=3.3,
            nominal_supply=3.3,
            quiescent=1.65,
            sensitivity=15.0,
            rail_low=0.2,
            rail_headroom=0.2,
            noise=1.0,
            depth=0.0,
        )


def test_a_throw_beyond_the_travel_is_no_slip_of_the_unit():
    with pytest.raises(yw.InvalidValueError) as caught:
        yw.hall.Potentiometer(travel=60 * deg, supply=5.0).share(70 * deg)
    assert "did you mean" not in str(caught.value)


def test_over_a_plate_and_with_an_area():
    """The same readings as of explicit images, and as of a dense mean over them."""
    axis = make_axis()
    pose = axis.sensor_pose
    # Beside the arm, along the pivot, so that the magnet turns over it.
    plate = yw.magnet.SteelPlate((0, 0, -4 * mm), (0, 0, 1))
    area = yw.magnet.ActiveArea.rectangle(0.3 * mm, 0.2 * mm)
    over = plate.over(axis.magnets)
    for mount in ("frame", "moving"):
        at_point = make_axis(magnets=over, plate=mount)
        assert at_point.magnets == over
        assert at_point.plate == mount
        assert at_point.area is None
        with_area = make_axis(magnets=over, plate=mount, area=area)
        assert with_area.area == area
        angles = np.linspace(-0.1, 0.1, 7)
        point, valid = at_point.fluxes_at(angles)
        mean, valid_mean = with_area.fluxes_at(angles)
        assert valid.all()
        assert valid_mean.all()
        for angle, flux, flux_mean in zip(angles, point, mean, strict=True):
            source = plate.with_images(axis.magnets_at(angle))
            direction = pose.matrix @ axis.sensor.direction
            active = np.array([0, 0, -axis.sensor.depth])
            # One field seen from the magnets and from the sensor: rounding of 0.1 T.
            assert flux == pytest.approx(source.field_at(pose.apply(active)) @ direction, abs=1e-14)
            nodes, weights = np.polynomial.legendre.leggauss(12)
            sides = np.meshgrid(nodes * 0.15 * mm, nodes * 0.1 * mm, indexing="ij")
            grid = np.stack([*sides, np.zeros_like(sides[0])], axis=-1)
            fields, _ = source.fields_at(pose.apply(grid + active))
            expected = np.einsum("ijk,k,i,j->", fields, direction, weights, weights) / 4
            # The axis goes to 1e-11 of the mean of |B|.
            assert flux_mean == pytest.approx(expected, abs=1e-11)
        for one in (at_point, with_area):
            for copy in (pickle.loads(pickle.dumps(one)), eval(repr(one), dict(PUBLIC))):
                assert copy == one
                assert copy.figures(101) == one.figures(101)
    # A plate through the magnet, and one in the place of the sensor.
    with pytest.raises(yw.CollisionError):
        yw.magnet.SteelPlate((0, 0, -1 * mm), (0, 0, 1)).over(axis.magnets)
    lowered = yw.magnet.SteelPlate((20 * mm, 0, 0), (-1, 0, 0)).over(axis.magnets)
    with pytest.raises(yw.YokewrightError, match="behind the face of the steel plate"):
        make_axis(magnets=lowered, sensor_pose=yw.Pose((25 * mm, 0, 0), (0, 0, 0)))
    with pytest.raises(yw.InvalidTypeError, match="a Magnet, a MagnetGroup or MagnetsOverPlate"):
        make_axis(magnets=plate)
    with pytest.raises(yw.InvalidValueError, match="mount of the plate"):
        make_axis(magnets=over, plate="floor")
