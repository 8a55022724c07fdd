"""Four-bar and slider-crank from Python: arrays, masks, text and pickles, beside SciPy's root finding."""

import pickle

import matplotlib.pyplot as plt
import numpy as np
import pytest
from scipy.optimize import fsolve

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

BAR = yw.linkage.FourBar(ground=100 * mm, crank=40 * mm, coupler=120 * mm, rocker=80 * mm)
SLIDER = yw.linkage.SliderCrank(40 * mm, 100 * mm, 15 * mm)
DRAWING = ((0, 0), (0, 50 * mm), (120 * mm, 40 * mm), (120 * mm, 10 * mm))
# fsolve stops at 1.5e-8 of the unknowns; another step of Newton's method makes the square of it.
FSOLVE = 1e-9


def closure(angles, crank):
    coupler, rocker = angles
    return [
        BAR.crank * np.cos(crank) + BAR.coupler * np.cos(coupler) - BAR.ground - BAR.rocker * np.cos(rocker),
        BAR.crank * np.sin(crank) + BAR.coupler * np.sin(coupler) - BAR.rocker * np.sin(rocker),
    ]


@pytest.mark.parametrize("branch", ["open", "crossed"])
def test_a_sweep_beside_fsolve(branch):
    angles = np.linspace(-180, 180, 61) * deg
    coupler, rocker, valid = BAR.track(angles, branch)
    assert valid.all()
    start = BAR.pose(angles[0], branch)
    guess = [start.coupler_angle, start.rocker_angle]
    for n, angle in enumerate(angles):
        guess = fsolve(closure, guess, args=(angle,), xtol=1e-12)
        off = (np.array(guess) - [coupler[n], rocker[n]] + np.pi) % (2 * np.pi) - np.pi
        assert np.abs(off).max() < FSOLVE
    assert np.abs(np.diff(rocker)).max() < 0.3


def test_the_slider_beside_fsolve():
    def miss(unknown, angle):
        rod, position = unknown
        return [
            SLIDER.crank * np.cos(angle) + SLIDER.rod * np.cos(rod) - position,
            SLIDER.crank * np.sin(angle) + SLIDER.rod * np.sin(rod) - SLIDER.offset,
        ]

    angles = np.linspace(-180, 180, 37) * deg
    found = SLIDER.transfers(angles, "open")
    assert found.valid.all()
    for n, angle in enumerate(angles):
        pose = SLIDER.pose(angle, "open")
        _, position = fsolve(miss, [pose.rod_angle + 0.1, 0.1], args=(angle,), xtol=1e-12)
        assert found.position[n] == pytest.approx(position, abs=FSOLVE)
        assert pose.slide_joint == pytest.approx([position, SLIDER.offset], abs=FSOLVE)
    slope = np.gradient(found.position, angles, edge_order=2)
    # Second-order differences over 10 degrees.
    np.testing.assert_allclose(found.ratio, slope, atol=2 * mm)


def test_many_angles_and_many_linkages():
    angles = np.linspace(-3, 3, 1001)
    solved = BAR.solve_many(angles)
    assert solved.valid.dtype == np.bool_
    assert solved.valid.all()
    for n in (0, 200, 777):
        for branch in ("open", "crossed"):
            pose = BAR.pose(angles[n], branch)
            assert getattr(solved, f"{branch}_rocker")[n] == pytest.approx(pose.rocker_angle, abs=1e-14)
            assert getattr(solved, f"{branch}_coupler")[n] == pytest.approx(pose.coupler_angle, abs=1e-14)
    rng = np.random.default_rng(5)
    nominal = np.array([BAR.ground, BAR.crank, BAR.coupler, BAR.rocker])
    lengths = nominal + rng.normal(0.0, 0.2 * mm, (50, 4))
    lengths[7, 2] = -1.0
    lengths[9, 2] = 0.3
    grid = yw.linkage.solve_four_bars(lengths, angles[::100])
    assert grid.open_rocker.shape == grid.valid.shape == (50, 11)
    assert grid.valid.all(axis=1).tolist() == [n not in (7, 9) for n in range(50)]
    np.testing.assert_array_equal(np.isnan(grid.open_rocker), ~grid.valid)
    one = yw.linkage.FourBar(**dict(zip(("ground", "crank", "coupler", "rocker"), lengths[3], strict=True)))
    np.testing.assert_array_equal(grid.crossed_coupler[3], one.solve_many(angles[::100]).crossed_coupler)
    assert yw.linkage.solve_four_bars(np.zeros((0, 4)), angles).valid.shape == (0, 1001)
    assert yw.linkage.solve_four_bars(lengths, []).valid.shape == (50, 0)
    with pytest.raises(yw.InvalidValueError, match=r"\(N, 4\)"):
        yw.linkage.solve_four_bars(lengths[:, :3], angles)


def test_rows_that_cannot_close_are_marked():
    bar = yw.linkage.FourBar(ground=100 * mm, crank=60 * mm, coupler=50 * mm, rocker=50 * mm)
    ((start, end),) = bar.crank_travel
    angles = np.array([start - 0.01, 0.0, end + 0.01, np.nan, end])
    expected = [False, True, False, False, True]
    assert bar.solve_many(angles).valid.tolist() == expected
    assert bar.track(angles, "open")[2].tolist() == expected
    points, mask = bar.coupler_curve(angles, "crossed", 25 * mm, 10 * mm)
    assert points.shape == (5, 2)
    np.testing.assert_array_equal(np.isnan(points).any(axis=1), ~mask)
    with pytest.raises(yw.CannotCloseError, match=r"miss each other by [\d.e-]+ mm"):
        bar.pose(end + 0.01, "open")


def test_forces_and_speeds_belong_together():
    motion = BAR.motion(40 * deg, "open", 25.0)
    transfer = BAR.transfer(40 * deg, "open")
    assert motion.rocker_velocity == pytest.approx(25 * transfer.ratio)
    assert motion.rocker_acceleration == pytest.approx(625 * transfer.curvature)
    assert BAR.mechanical_advantage(40 * deg, "open") == pytest.approx(1 / transfer.ratio)
    position, velocity, acceleration = BAR.coupler_point_motion(40 * deg, "open", 0.0, 0.0, 2.0)
    # The crank joint itself.
    assert position == pytest.approx(BAR.pose(40 * deg, "open").crank_joint)
    assert np.hypot(*velocity) == pytest.approx(2.0 * BAR.crank)
    assert acceleration == pytest.approx(-4.0 * position)


def test_limits():
    assert BAR.grashof_class == "crank-rocker"
    assert BAR.grashof_margin == pytest.approx(20 * mm)
    assert BAR.crank_travel == [(-np.pi, np.pi)]
    ((low, high),) = BAR.rocker_travel("open")
    _, rocker, _ = BAR.track(np.linspace(-np.pi, np.pi, 20001), "open")
    # Between two looks the rocker moves on by the square of their distance.
    assert (low, high) == pytest.approx((rocker.min(), rocker.max()), abs=1e-6)
    assert {(dead.limit, dead.stretched) for dead in BAR.dead_centers} == {
        ("output", True),
        ("output", False),
    }
    assert BAR.min_transmission_angle(-180 * deg, 180 * deg) == pytest.approx(26.38432975 * deg)
    for pose in BAR.driven_by_rocker(BAR.pose(40 * deg, "open").rocker_angle):
        assert pose.branch in ("open", "crossed")
    assert {round(dead.pose.slide_joint[0] / mm) for dead in SLIDER.dead_centers} == {139, -139, 58, -58}
    assert SLIDER.slide_travel("open")[0][1] == pytest.approx(np.sqrt(140**2 - 15**2) * mm)
    assert SLIDER.force_ratio(1.0, "open") * SLIDER.transfer(1.0, "open").ratio == pytest.approx(1.0)


def test_limits_beyond_half_a_turn():
    """The crank passes pi, and the rocker turns by more, as a scan by the law of cosines has it."""
    bar = yw.linkage.FourBar(ground=100 * mm, crank=90 * mm, coupler=130 * mm, rocker=70 * mm)
    ((start, end),) = bar.crank_travel
    # |coupler - rocker| is the third side of the triangle of ground and crank.
    limit = np.arccos((100**2 + 90**2 - 60**2) / (2 * 100 * 90))
    assert (start, end) == pytest.approx((limit, 2 * np.pi - limit), abs=1e-14)
    cranks = start + (end - start) * (0.5 - 0.5 * np.cos(np.linspace(0, np.pi, 4001)))
    diagonal = np.array([100 - 90 * np.cos(cranks), -90 * np.sin(cranks)])
    length = np.hypot(*diagonal)
    to_crank = np.unwrap(np.arctan2(-diagonal[1], -diagonal[0]))
    opening = np.arccos(np.clip((length**2 + 70**2 - 130**2) / (2 * length * 70), -1, 1))
    for branch, rocker in (("open", to_crank - opening), ("crossed", to_crank + opening)):
        ((low, high),) = bar.rocker_travel(branch)
        assert high - low > np.pi
        # Looks that crowd toward the ends leave the square of their distance; only whole turns may differ.
        assert high - low == pytest.approx(np.ptp(rocker), abs=1e-5)
        turns = (low - rocker.min()) / (2 * np.pi)
        assert turns == pytest.approx(round(turns), abs=1e-5)
        _, tracked, valid = bar.track(cranks[1:-1], branch)
        assert valid.all()
        np.testing.assert_allclose(tracked - rocker[1:-1], 2 * np.pi * round(turns), atol=1e-6)


def test_a_kite_is_left_where_it_folds():
    kite = yw.linkage.FourBar(ground=250 * mm, crank=250 * mm, coupler=500 * mm, rocker=500 * mm)
    _, rocker, valid = kite.track([-0.02, -0.01, 0.01, 0.02], "open")
    assert valid.tolist() == [True, True, False, False]
    assert np.isnan(rocker[2:]).all()
    assert kite.rocker_travel("open") == [(0.0, np.pi)]
    assert kite.crank_travel == [(0.0, 2 * np.pi)]
    short = yw.linkage.FourBar(ground=250 * mm, crank=250 * mm, coupler=150 * mm, rocker=150 * mm)
    assert [short.min_transmission_angle(*ends) for ends in short.crank_travel] == pytest.approx([0, 0], abs=1e-7)
    point = yw.linkage.FourBar(ground=100 * mm, crank=600 * mm, coupler=200 * mm, rocker=300 * mm)
    assert point.crank_travel == [(0.0, 0.0)]
    assert point.min_transmission_angle(-0.0, 0.0) == pytest.approx(0, abs=1e-7)


def test_a_transfer_is_made_of_numbers():
    with pytest.raises(yw.InvalidValueError, match="ratio of output to input"):
        yw.linkage.Transfer(0.1, float("nan"), 0.0)


def test_a_drawing_centers_the_linkage():
    built = yw.linkage.CenteredFourBar.from_joints(*DRAWING)
    np.testing.assert_allclose(built.joints(0.0), DRAWING, atol=1e-15)
    transfer = built.transfer(0.1)
    turns = built.transfers([0.1, 0.0, 1.9])
    assert turns.angles[:2] == pytest.approx([transfer.angle, 0.0])
    assert turns.valid.tolist() == [True, True, False]
    moved = built.joints(0.1)
    assert np.arctan2(*(moved[2] - moved[3])[::-1]) - 90 * deg == pytest.approx(transfer.angle)
    low, high = built.travel
    assert low < 0.0 < high
    assert built.branch == "open"


@pytest.mark.parametrize(
    "value",
    [
        BAR,
        SLIDER,
        yw.linkage.CenteredFourBar.from_joints(*DRAWING),
        yw.linkage.CenteredFourBar(BAR, "crossed", 0.4, (0.1, 0.2), 0.3),
        BAR.transfer(0.5, "open"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_values_survive_pickling_and_printing(value):
    assert pickle.loads(pickle.dumps(value)) == value
    assert eval(repr(value), dict(PUBLIC)) == value


def test_what_is_no_branch():
    with pytest.raises(yw.InvalidValueError, match="open, crossed"):
        BAR.pose(0.1, "left")


def test_three_points_and_a_fit():
    x = yw.linkage.chebyshev_spacing(1.0, 3.0, 3)
    assert x == pytest.approx([1.134, 2.0, 2.866], abs=5e-4)
    crank = 40 * deg + (x - 1.0) * 30 * deg
    rocker = 60 * deg + (x**0.8 - 1.0) * 40 * deg
    found = yw.linkage.three_point_four_bar(crank, rocker, 100 * mm)
    for n in range(3):
        pose = found.linkage.pose(crank[n] + found.crank_offset, found.branches[n])
        assert np.sin(0.5 * (pose.rocker_angle - rocker[n] - found.rocker_offset)) == pytest.approx(0, abs=1e-12)
    turns = np.linspace(-15, 15, 21) * deg
    goal = {"ground": 100 * mm, "lengths": (20 * mm, 150 * mm), "starts": 8, "seed": 3}
    result = yw.linkage.search_four_bars(turns, 1.5 * turns, **goal)
    assert result == yw.linkage.search_four_bars(turns, 1.5 * turns, **goal)
    fit = result.best()
    assert fit.largest_error < 0.1 * deg
    assert fit.min_transmission_angle >= 40 * deg
    assert fit.three_point_rms_error is None or fit.rms_error <= fit.three_point_rms_error
    off = fit.built.transfers(turns).angles - 1.5 * turns
    assert np.ptp(off) <= 2.0 * fit.largest_error + 1e-12
    # Over this range the diagonal of links of nearly one length changes more than such an angle allows.
    none = yw.linkage.search_four_bars(
        5 * turns,
        5 * turns,
        ground=100 * mm,
        lengths=(90 * mm, 110 * mm),
        min_transmission_angle=85 * deg,
        starts=2,
    )
    assert not none
    assert none != result
    (shortfall,) = none.nearest.shortfalls
    assert none.nearest.candidate.min_transmission_angle == shortfall.value < shortfall.limit
    with pytest.raises(yw.NothingFoundError, match="transmission angle"):
        none.best()


def test_drawings():
    built = yw.linkage.CenteredFourBar.from_joints(*DRAWING)
    turns = np.array([0.0, -20.0, 20.0]) * deg
    ax = yw.plots.plot_four_bar(built, turns, point=(60 * mm, 20 * mm))
    chains = [line.get_xydata() for line in ax.lines if len(line.get_xydata()) == 4]
    for chain, turn in zip(chains, turns, strict=True):
        np.testing.assert_allclose(chain * mm, built.joints(turn), atol=1e-12)
    # The path belongs to the coupler: it passes where the point is in the first position.
    path = next(line.get_xydata() for line in ax.lines if line.get_label() == "path") * mm
    _, crank_joint, rocker_joint, _ = built.joints(0.0)
    along = (rocker_joint - crank_joint) / np.hypot(*(rocker_joint - crank_joint))
    point = crank_joint + 60 * mm * along + 20 * mm * np.array([-along[1], along[0]])
    assert np.nanmin(np.hypot(*(path - point).T)) < 1 * mm
    names = [text.get_text() for text in ax.get_legend().get_texts()]
    assert names == ["path", "centered", "\N{MINUS SIGN}20 deg", "+20 deg"]
    ax = yw.plots.plot_ratio(built, (-20 * deg, 20 * deg))
    x, ratio = ax.lines[0].get_data()
    assert x[[0, -1]] == pytest.approx([-20, 20])
    assert ratio == pytest.approx(built.transfers(x * deg).ratios)
    plt.close("all")


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: yw.plots.plot_linkage(np.zeros((2, 3, 3))), "two coordinates"),
        (lambda: yw.plots.plot_linkage(np.zeros((0, 3, 2))), "P, K, 2"),
        (lambda: yw.plots.plot_linkage([[0.0, 0.0], [np.nan, 0.0]]), "finite"),
        (lambda: yw.plots.plot_linkage([[0.0, 0.0], [50.0, 0.0]]), "did you mean mm"),
        (lambda: yw.plots.plot_linkage([[0.0, 0.0], [0.05, 0.0]], ["one", "two"]), "must match"),
        (lambda: yw.plots.plot_ratio(yw.linkage.CenteredFourBar.from_joints(*DRAWING), (2.0, 2.1)), "travel"),
    ],
    ids=range(6),
)
def test_drawings_refuse_with_the_reason(wrong, words):
    with pytest.raises(yw.InvalidValueError, match=words):
        wrong()
    plt.close("all")
