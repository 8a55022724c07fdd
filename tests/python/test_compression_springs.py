"""Spring wire, compression springs, their fatigue and the search for them, beside SciPy."""

import math
import pickle
import threading

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.optimize import brentq

import yokewright as yw
from public_names import PUBLIC
from yokewright import mm

MPA = 1e6
SPRING = {
    "wire": "EN 10270-1 SM",
    "wire_diameter": 2 * mm,
    "outer_diameter": 18 * mm,
    "active_turns": 8,
    "free_length": 40 * mm,
}
NAMES = {name: PUBLIC[name] for name in ("CompressionSpring", "Endurance", "Wire")}


def spring(**changes):
    return yw.spring.CompressionSpring(**SPRING | changes)


def own_wire(**changes):
    figures = {
        "name": "club's coil",
        "family": "tempered",
        "moduli": [(math.inf, 206e9, 79.5e9)],
        "density": 7850,
        "max_celsius": 150,
        "sources": [("all", "the club's own pull test", "seen")],
        "listed": [(1 * mm, 1700 * MPA, 1900 * MPA), (2 * mm, 1600 * MPA, 1800 * MPA)],
    }
    return yw.spring.Wire(**figures | changes)


def test_wires():
    wire = yw.spring.Wire.named("astm a228")
    assert wire.tensile_strength(2 * mm) == pytest.approx(2211e6 / 2**0.145, rel=1e-14)
    assert wire.max_tensile_strength(2 * mm) is None
    assert yw.spring.Wire.named("EN 10270-1 SH").max_tensile_strength(2 * mm) == 2200 * MPA
    assert (wire.elastic_modulus(2 * mm), wire.shear_modulus(2 * mm)) == (196.5e9, 81e9)
    assert wire.shares.shear == 0.45
    assert wire.shares.shear_set_removed == (0.6, 0.7)
    assert isinstance(wire.standard_diameters, np.ndarray)
    assert np.all(np.diff(wire.standard_diameters) > 0)
    low, high = wire.diameter_range
    assert low <= wire.standard_diameters[0] < wire.standard_diameters[-1] <= high
    assert {wire.sources[0][2] for wire in yw.spring.Wire.all()} == {"seen", "from memory"}


@pytest.mark.parametrize("wire", [*yw.spring.Wire.all(), own_wire()], ids=lambda wire: wire.name)
def test_wires_survive_pickling_and_printing(wire):
    assert pickle.loads(pickle.dumps(wire)) == wire
    if wire.name != "club's coil":
        assert eval(repr(wire), NAMES) == wire


def test_a_wire_of_your_own():
    wire = own_wire()
    middle = math.sqrt(2) * mm
    assert wire.tensile_strength(middle) == pytest.approx(1650 * MPA, rel=1e-12)
    steps = own_wire(listed=None, steps=(1 * mm, [(2 * mm, 1500 * MPA)]))
    assert steps.tensile_strength(1.9 * mm) == 1500 * MPA
    power = own_wire(listed=None, power=[(1 * mm, 2 * mm, 1700 * MPA, 0.1)])
    assert power.tensile_strength(2 * mm) == pytest.approx(1700 * MPA / 2**0.1, rel=1e-14)
    with pytest.raises(yw.InvalidValueError, match="exactly one of power, listed and steps"):
        own_wire(steps=(1 * mm, [(2 * mm, 1500 * MPA)]))
    assert spring(wire=wire).wire == wire


def test_a_spring_by_hand():
    made = spring()
    d, mean = 2e-3, 16e-3
    assert made.index == pytest.approx(8)
    assert made.rate == pytest.approx(81.5e9 * d**4 / (8 * mean**3 * 8), rel=1e-13)
    force = made.force(30 * mm)
    assert force == pytest.approx(made.rate * 10 * mm, rel=1e-12)
    assert made.length(force) == pytest.approx(30 * mm, rel=1e-12)
    assert made.curvature_factor == pytest.approx(34 / 29, rel=1e-14)
    assert made.stress(force) == pytest.approx(34 / 29 * 8 * force * mean / (math.pi * d**3), rel=1e-12)
    assert made.total_turns == 10
    assert made.solid_length == pytest.approx(20 * mm)
    assert made.clash_allowance(30 * mm) == pytest.approx(1.0)


def test_many_lengths_and_their_mask():
    made = spring()
    lengths = np.array([50, 40, 30, 20, 19]) * mm
    forces, valid = made.forces(lengths)
    assert forces.dtype == np.float64
    assert valid.tolist() == [True, True, True, True, False]
    assert math.isnan(forces[-1])
    assert forces[:2].tolist() == [0.0, 0.0]
    stresses, mask = made.stresses(lengths.tolist())
    assert mask.tolist() == valid.tolist()
    assert stresses[2] == made.stress(forces[2])
    with pytest.raises(yw.InvalidValueError, match=r"\(N,\)"):
        made.forces(np.zeros((2, 2)))


def test_surge_beside_the_wave_equation():
    """The lowest mode of m u_tt = k L^2 u_xx with both ends held, a boundary value problem."""
    made = spring()

    def slope(x, y, p):
        return np.vstack([y[1], -(p[0] ** 2) * y[0]])

    def ends(left, right, p):
        return np.array([left[0], right[0], left[1] - 1])

    x = np.linspace(0, 1, 50)
    guess = np.vstack([np.sin(3 * x), np.cos(3 * x)])
    mode = solve_bvp(slope, ends, x, guess, p=[3.0], tol=1e-9, max_nodes=100_000)
    assert mode.success
    frequency = mode.p[0] / (2 * math.pi) * math.sqrt(made.rate / made.active_mass)
    assert made.surge_frequency == pytest.approx(frequency, rel=1e-8)


def test_buckling_is_the_first_root():
    """Haringx: at the deflection y the length L0 - y buckles; the closed form beside SciPy's root."""
    made = spring(free_length=120 * mm, active_turns=15)
    wire = made.wire
    e, g = wire.elastic_modulus(2 * mm), wire.shear_modulus(2 * mm)
    free, mean = made.free_length, made.mean_diameter

    def beyond(y):
        share = y / free
        # Slenderness at which the share of deflection is critical, solved for zero.
        return share * (1 - share * (e - g) / e) - math.pi**2 * e / (2 * (2 * g + e)) * (mean / free) ** 2

    root = brentq(beyond, 1e-9, 0.5 * free)
    assert made.critical_deflection("pinned-pinned") == pytest.approx(root, rel=1e-9)
    assert made.critical_deflection("fixed-free") < root
    assert spring().critical_deflection() is None


def test_choices():
    standard = spring(design_code="EN 13906")
    assert standard.allowable_stress == pytest.approx(0.56 * 1760 * MPA)
    gap = 8 * (0.0015 * 16**2 / 2 + 0.2) * mm
    assert standard.min_working_length() == pytest.approx(20 * mm + gap, rel=1e-12)
    assert standard.min_working_length("dynamic") == pytest.approx(20 * mm + 1.5 * gap, rel=1e-12)
    assert spring(presetting="set removed").yield_force > spring().yield_force
    assert spring(curvature="Wahl").curvature_factor > spring().curvature_factor
    assert spring(ends="squared").solid_length == pytest.approx(22 * mm)
    assert spring(ends="squared", design_code="EN 13906").solid_length == pytest.approx(23 * mm)
    with pytest.raises(yw.InvalidValueError, match="squared ground"):
        spring(ends="closed")
    with pytest.raises(yw.InvalidValueError, match="exactly one of outer_diameter"):
        spring(mean_diameter=16 * mm)
    with pytest.raises(yw.InvalidValueError, match="exactly one of active_turns"):
        spring(total_turns=10)


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"outer_diameter": None, "inner_diameter": 14 * mm},
        {"active_turns": None, "total_turns": 10, "ends": "plain"},
        {"design_code": "EN 13906", "curvature": "Wahl", "presetting": "set removed"},
    ],
)
def test_springs_survive_pickling_and_printing(changes):
    made = spring(**changes)
    assert pickle.loads(pickle.dumps(made)) == made
    again = eval(repr(made), NAMES)
    assert again.rate == pytest.approx(made.rate, rel=1e-12)
    assert repr(again) == repr(made)


def test_fatigue():
    made = spring()
    verdict = made.fatigue((20, 60))
    assert verdict.holds
    assert verdict.life == math.inf
    assert verdict.alternating == pytest.approx(0.5 * (made.stress(60) - made.stress(20)))
    endurance = verdict.endurance
    assert endurance == yw.spring.Endurance.zimmerli("EN 10270-1 SM", 2 * mm)
    assert verdict.safety == endurance.safety((made.stress(20), made.stress(60)))
    # Gerber's parabola by hand.
    ultimate = 0.67 * 1760 * MPA
    assert endurance.fully_reversed == pytest.approx(endurance.alternating / (1 - (endurance.mean / ultimate) ** 2))
    goodman = made.fatigue((20, 60), criterion="Goodman")
    expected = 1 / (goodman.alternating / goodman.endurance.fully_reversed + goodman.mean / goodman.endurance.ultimate)
    assert goodman.safety == pytest.approx(expected, rel=1e-12)
    assert made.fatigue((20, 60), surface="peened").safety > verdict.safety
    short = endurance.life((0, 1100 * MPA))
    assert 1e3 < short < 1e6
    assert endurance.life((0, 3000 * MPA)) == 0
    assert pickle.loads(pickle.dumps(endurance)) == endurance
    assert eval(repr(endurance), NAMES) == endurance
    assert endurance.in_bending(1760 * MPA).fully_reversed == pytest.approx(endurance.fully_reversed / 0.577)
    with pytest.raises(yw.InvalidValueError, match="steel wire"):
        yw.spring.Endurance.zimmerli("ASTM B159", 1 * mm)


def wanted(**changes):
    job = {"travel": 15 * mm, "rate": 2000, "preload": 20, "bore": 20 * mm, "cycles": 1e6}
    return yw.spring.search_compression_springs(["EN 10270-1 SM"], **job | changes)


def test_sizing():
    sizing = wanted()
    best = sizing.best()
    assert best == sizing.found[0] == next(iter(sizing))
    assert sizing
    assert len(sizing) == len(sizing.found) == len(list(sizing))
    assert sizing.nearest is None
    assert repr(sizing) == f"<SearchResult: {sizing.fitting} of {sizing.tried} compression springs fit>"
    assert str(sizing).startswith(f"{sizing.fitting} of the {sizing.tried} compression springs tried fit\n")
    assert 0 < sizing.fitting < sizing.tried
    assert best.spring.rate == pytest.approx(2000)
    assert best.forces == pytest.approx((20, 50))
    assert best.spring.force(best.lengths[1]) == pytest.approx(50)
    assert best.life_safety >= 1.2
    assert best.spring.fatigue(best.forces).safety == pytest.approx(best.life_safety)
    masses = [found.spring.mass for found in sizing.found]
    assert masses == sorted(masses)
    assert sum(rejection.count for rejection in sizing.rejected) >= sizing.tried - sizing.fitting
    narrow = wanted(rank_by="outer diameter").best().spring
    assert narrow.outer_diameter <= best.spring.outer_diameter
    at_length = wanted(rate=None, preload=None, force=50, length=40 * mm).best()
    assert at_length.spring.force(40 * mm) == pytest.approx(50)


def test_nothing_fits_says_why():
    sizing = wanted(bore=5 * mm, rate=50_000)
    assert sizing.found == []
    assert not sizing
    worst, *others = sizing.nearest.shortfalls
    assert worst.value != worst.limit
    assert all(other.share <= worst.share for other in others)
    with pytest.raises(yw.NothingFoundError, match=rf"{worst.quantity}"):
        sizing.best()
    assert "too wide for the bore" in {rejection.reason for rejection in sizing.rejected}
    with pytest.raises(yw.InvalidValueError, match="either rate"):
        wanted(force=50)


def test_the_same_answer_on_any_thread():
    expected = wanted()
    found = []
    threads = [threading.Thread(target=lambda: found.append(wanted())) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(sizing == expected for sizing in found)
    assert len(found) == 4
