"""Transmissions at the boundary: what comes in and goes out, names of what ends them, and driven bodies."""

import pickle

import numpy as np
import pytest

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

# Central differences over 1e-5 rad where the third derivative is some tens: h^2 / 6 of it, and roundings
# over h.
DIFFERENCE = 1e-7


def pedals():
    hinge = yw.linkage.Arm((0, 120 * mm, 0), (0, 1, 0), (0, 43 * mm, 90 * mm))
    left = yw.linkage.Pedal(hinge, (-10 * mm, 120 * mm, 180 * mm), (1, 0, 0), stops=(-15 * deg, 15 * deg))
    crank = yw.linkage.Arm((-150 * mm, 0, 85 * mm), (0, 0, 1), (-150 * mm, 45 * mm, 85 * mm))
    return yw.linkage.PedalPair.mirrored(left, crank)


def rod():
    pedal = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 100 * mm))
    crank = yw.linkage.Arm((200 * mm, -60 * mm, 100 * mm), (0, 0, 1), (200 * mm, -10 * mm, 100 * mm))
    return yw.linkage.BallRod(pedal, crank)


def four_bar():
    bar = yw.linkage.FourBar(ground=100 * mm, crank=60 * mm, coupler=90 * mm, rocker=40 * mm)
    return yw.linkage.CenteredFourBar(bar, "open", 0.7)


EVERY = [
    yw.linkage.FixedRatio(-1.5),
    rod(),
    four_bar(),
    yw.linkage.UniversalJoint(25 * deg, 0.3),
    pedals().transmission("left", "crank"),
    pedals().transmission("right", "left"),
    yw.linkage.TransmissionChain([pedals().transmission("left", "crank"), yw.linkage.FixedRatio(-0.5), rod()]),
]
NEW = [EVERY[0], *EVERY[4:]]


@pytest.mark.parametrize("transmission", EVERY, ids=lambda each: type(each).__name__)
def test_derivatives_are_those_of_the_angles(transmission):
    angles = 0.1 + 1e-5 * np.array([-1.0, 0.0, 1.0])
    many = transmission.transfers(angles)
    here = transmission.transfer(0.1)
    assert many.valid.all()
    assert abs((many.angles[2] - many.angles[0]) / 2e-5 - here.ratio) < DIFFERENCE
    assert abs((many.ratios[2] - many.ratios[0]) / 2e-5 - here.curvature) < DIFFERENCE


@pytest.mark.parametrize("transmission", NEW, ids=lambda each: type(each).__name__)
def test_it_can_be_pickled_and_typed_back(transmission):
    assert pickle.loads(pickle.dumps(transmission)) == transmission
    assert eval(repr(transmission), dict(PUBLIC)) == transmission


def test_a_member_follows_as_in_the_pose_of_the_pair():
    pair = pedals()
    member = pair.transmission("left", "crank")
    assert (member.pair, member.given, member.driven) == (pair, "left", "crank")
    assert member.transfer(0.1) == pair.pose("left", 0.1).crank
    # The pedal that goes forward comes to its stop first; the crank turns against the left one.
    assert member.travel == (pair.reach()[1].left, 15 * deg)


def test_ends_have_names():
    lower, upper = pedals().transmission("left", "crank").reach()
    assert (lower.limit, upper.limit) == ("right stop", "left stop")
    chain = yw.linkage.TransmissionChain([yw.linkage.FixedRatio(2.0), rod()])
    low, high = rod().travel
    assert [end.limit for end in chain.reach()] == ["lock of part 2 of 2"] * 2
    assert chain.travel == pytest.approx((low / 2, high / 2), rel=1e-14)
    assert yw.linkage.TransmissionChain([yw.linkage.FixedRatio(2.0)]).reach() == (None, None)
    assert repr(lower) == f"<TransmissionEnd input {lower.input!r} rad: right stop>"


def test_a_row_multiplies_ratios():
    row = yw.linkage.TransmissionChain([rod(), yw.linkage.FixedRatio(-3.0)])
    one = rod().transfer(0.2)
    at = row.transfer(0.2)
    assert (at.angle, at.ratio, at.curvature) == (-3 * one.angle, -3 * one.ratio, -3 * one.curvature)
    assert row.parts == (rod(), yw.linkage.FixedRatio(-3.0))


@pytest.mark.parametrize("ratio", [0.0, -0.0, 1e-160, 1e160, 0.005, np.nan, np.inf])
def test_a_ratio_no_gears_have_is_refused(ratio):
    with pytest.raises(yw.InvalidValueError, match="ratio of a coupling"):
        yw.linkage.FixedRatio(ratio)


def test_what_is_no_transmission_is_refused():
    with pytest.raises(yw.InvalidTypeError, match=r"a transmission is needed .* got 'rod'"):
        yw.linkage.TransmissionChain(["rod"])
    with pytest.raises(yw.InvalidValueError, match="transmissions in a row: 0 given"):
        yw.linkage.TransmissionChain([])


def test_a_rod_the_other_way_round():
    one = rod()
    other = one.assembled_at(0.1, "other")
    assert other.transfer(0.1).angle == one.output_angle(0.1, "other")
    assert one.stretches()[0] == one.travel
    assert len(one.stretches()) == 2
    assert pickle.loads(pickle.dumps(other)) == other
    assert eval(repr(other), dict(PUBLIC)) == other
    assert other.assembly == "other"
    assert one.assembly == "neutral"


def test_any_transmission_drives_a_body():
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    row = yw.linkage.TransmissionChain([yw.linkage.FixedRatio(2.0), yw.linkage.FixedRatio(-1.0)])
    drive = yw.feel.Drive(pivot, "lever", row)
    assert (drive.pivot, drive.by, drive.transmission) == (pivot, "lever", row)
    assert pickle.loads(pickle.dumps(drive)) == drive
    assert yw.feel.Drive.ratio(pivot, "lever", -2.0).transmission == yw.linkage.FixedRatio(-2.0)


def control_axis(**changes):
    cube = yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0))
    layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)
    sensor = yw.hall.LinearHall(
        supply=5.0,
        nominal_supply=5.0,
        quiescent=2.5,
        sensitivity=10 * yw.mV_per_mT,
        rail_low=0.2,
        rail_headroom=0.3,
        noise=0.15 * yw.mV,
        depth=0.0,
    )
    return layout.axis(sensor=sensor, converter=yw.hall.Converter(bits=12, reference=5.0), **changes)


def test_pedal_to_count_is_one_row():
    row = yw.linkage.TransmissionChain([pedals().transmission("left", "crank"), yw.linkage.FixedRatio(-0.25)])
    axis = control_axis(drive=row, lever=180 * mm)
    assert axis.throw == row.travel
    assert axis.throw_ends == ("right stop of part 1 of 2", "left stop of part 1 of 2")
    assert (axis.drive, axis.lever) == (row, 180 * mm)
    # By hand: the crank from the pair, the flux from the axis on its own pivot.
    pivot = -0.25 * pedals().pose("left", 0.2).crank.angle
    plain = control_axis(throw=(-8 * deg, 8 * deg))
    assert axis.pivot_at(0.2).angle == pivot
    assert axis.flux_at(0.2) == plain.flux_at(pivot)
    figures = axis.figures(101)
    assert figures.ratio == axis.pivot_at(0.0).ratio
    assert figures.at_pivot.gain_counts == pytest.approx(plain.figures(101).gain_counts, rel=1e-12)
    assert figures.at_grip.gain_counts == pytest.approx(figures.gain_counts / (180 * mm), rel=1e-15)
    assert figures.at_grip.step_noise == pytest.approx(figures.step_noise_center * 180 * mm, rel=1e-15)
    assert (plain.drive, plain.lever, plain.throw_ends) == (None, None, (None, None))
    assert plain.figures(101).at_grip is None
    for one in (axis, plain):
        assert pickle.loads(pickle.dumps(one)) == one
        assert eval(repr(one), dict(PUBLIC)) == one
    stored = type(figures).from_json(figures.to_json())
    assert stored == figures


def test_a_throw_is_needed_or_a_drive():
    with pytest.raises(yw.InvalidValueError, match="a throw is needed"):
        control_axis()
    with pytest.raises(yw.CannotCloseError, match=r"16 deg is beyond 15 deg, where the travel ends: left stop"):
        control_axis(drive=pedals().transmission("left", "crank"), throw=(-0.1, 16 * deg))
    with pytest.raises(yw.InvalidValueError, match="distance of pad or grip"):
        control_axis(throw=(-0.1, 0.1), lever=180.0)
