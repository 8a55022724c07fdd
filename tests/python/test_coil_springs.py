"""Extension and torsion springs, their sizing and the stock list from Python."""

import pickle
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

import yokewright as yw
from yokewright import deg, mm

DRAWER = Path(__file__).parents[2] / "examples" / "drawer_springs.csv"
COLUMNS = {
    "name": ("no", ""),
    "outer_diameter": ("outer mm", "mm"),
    "wire_diameter": ("wire mm", "mm"),
    "free_length": ("free mm", "mm"),
    "limit_length": ("longest mm", "mm"),
    "rate": ("rate N/mm", "N/mm"),
    "initial_tension": ("initial N", "N"),
}
WIRE = "EN 10270-1 SM"
# Share that some ten operations round.
ROUNDING = 1e-12

EXTENSION = yw.spring.ExtensionSpring(
    wire=WIRE, wire_diameter=1 * mm, mean_diameter=9 * mm, body_turns=30, initial_tension=4.0
)
HALF = yw.spring.ExtensionSpring(
    wire="ASTM A228",
    wire_diameter=1 * mm,
    outer_diameter=10 * mm,
    body_turns=20.5,
    hook="half",
    bend_radius=1.8 * mm,
    design_code="EN 13906",
)
TORSION = yw.spring.TorsionSpring(
    wire="ASTM A228",
    wire_diameter=1.8 * mm,
    mean_diameter=15 * mm,
    body_turns=4.25,
    legs=(25 * mm, 25 * mm),
    arbor=11 * mm,
)


def drawer():
    text = DRAWER.read_text(encoding="utf-8")
    return yw.spring.StockList.read(
        text, kind="extension", columns=COLUMNS, delimiter=";", decimal_comma=True, wire=WIRE
    )


def test_an_extension_spring_in_figures():
    # By hand: G = 81.5 GPa, E = 206 GPa.
    turns = 30 + 81.5 / 206
    assert pytest.approx(turns, rel=ROUNDING) == EXTENSION.active_turns
    assert EXTENSION.rate == pytest.approx(81.5e9 * 1e-12 / (8 * 9**3 * 1e-9 * turns), rel=ROUNDING)
    assert EXTENSION.free_length == pytest.approx(31 * mm + 2 * 8 * mm, rel=ROUNDING)
    shear = 8 * 10 * 9 * mm / (np.pi * (1 * mm) ** 3)
    stresses = EXTENSION.stresses(10.0)
    assert stresses.body == pytest.approx(38 / 33 * shear, rel=ROUNDING)
    assert stresses.hook_torsion == pytest.approx(15 / 12 * shear, rel=ROUNDING)
    assert stresses.use_of(EXTENSION.allowable) == pytest.approx(10.0 / EXTENSION.max_tension)
    law = EXTENSION.line_spring
    assert law.longest == EXTENSION.max_length
    assert law.response(EXTENSION.free_length).state == "slack"


def test_the_hook_is_a_curved_beam():
    # Winkler: the stress at the inside by quadrature over the round section, r from the center of curvature.
    index = 2 * EXTENSION.bend_radius / EXTENSION.wire_diameter

    def over(f):
        return quad(lambda a: 2 * np.cos(a) ** 2 * f(index + np.sin(a)), -np.pi / 2, np.pi / 2)[0]

    neutral = over(lambda r: 1.0) / over(lambda r: 1 / r)
    moment = over(lambda r: (r - neutral) ** 2 / r)
    factor = (neutral - index + 1) / (index - 1) / moment / (4 / np.pi)
    d, arm = EXTENSION.wire_diameter, EXTENSION.mean_diameter / 2
    expected = factor * 32 * arm / (np.pi * d**3) + 4 / (np.pi * d**2)
    # Wahl's factor approximates it within a thousandth.
    assert EXTENSION.stresses(1.0).hook_bending == pytest.approx(expected, rel=1e-3)


def test_life_of_an_extension_spring():
    life = EXTENSION.fatigue((6.0, 12.0))
    parts = (life.body, life.hook_bending, life.hook_torsion)
    assert life.safety == min(part.safety for part in parts)
    assert life.holds == all(part.holds for part in parts)
    assert EXTENSION.fatigue((6.0, 12.0), surface="peened").safety > life.safety


def test_a_torsion_spring_in_figures():
    turns = 4.25 + 50 / (3 * np.pi * 15)
    assert pytest.approx(turns, rel=ROUNDING) == TORSION.active_turns
    per_turn = (1.8 * mm) ** 4 * 196.5e9 / (10.8 * 15 * mm * turns)
    assert TORSION.torque_per_turn == pytest.approx(per_turn, rel=ROUNDING)
    wound = TORSION.state_at(40 * deg)
    body = 40 / 360 * 4.25 / turns
    assert wound.inner_diameter == pytest.approx(15 * mm * 4.25 / (4.25 + body) - 1.8 * mm, rel=ROUNDING)
    assert wound.clearance == pytest.approx(wound.inner_diameter - 11 * mm)
    assert wound.body_length == pytest.approx((5.25 + body) * 1.8 * mm, rel=ROUNDING)
    assert TORSION.fatigue((0.05, 0.3)).safety > 0
    law = TORSION.linear_torsion_spring(-20 * deg, "above")
    assert law.response(20 * deg).torque == pytest.approx(wound.torque)
    assert law.response(-21 * deg).state == "slack"


def test_it_grips_its_arbor():
    tight = yw.spring.TorsionSpring(
        wire="ASTM A228", wire_diameter=1.8 * mm, mean_diameter=15 * mm, body_turns=4.25, arbor=13 * mm
    )
    assert tight.limit == "arbor"
    assert tight.max_angle == tight.gripping_angle
    with pytest.raises(yw.InvalidValueError, match="before it grips its arbor"):
        tight.state_at(1.01 * tight.gripping_angle)


@pytest.mark.parametrize("spring", [EXTENSION, HALF, TORSION], ids=lambda s: type(s).__name__)
def test_springs_survive_pickling_and_printing(spring):
    assert pickle.loads(pickle.dumps(spring)) == spring
    names = {
        "ExtensionSpring": yw.spring.ExtensionSpring,
        "TorsionSpring": yw.spring.TorsionSpring,
        "Wire": yw.spring.Wire,
    }
    assert eval(repr(spring), names) == spring


def test_sizing_finds_what_is_wanted():
    search = yw.spring.search_extension_springs([WIRE], rate=500.0, preload=5.0, travel=40 * mm, cycles=1e6)
    best = search.best()
    assert best.spring.rate == pytest.approx(500.0)
    assert best.tensions == pytest.approx((5.0, 25.0))
    assert best.life_safety >= 1.2 - 1e-9
    assert search.fitting > 0
    search = yw.spring.search_torsion_springs(
        [WIRE], rate=0.6, preload=0.2, travel=50 * deg, legs=(30 * mm, 30 * mm), arbor=8 * mm
    )
    best = search.best()
    assert best.spring.state_at(best.angles[1]).clearance >= 0.8 * mm - 1e-12
    none = yw.spring.search_torsion_springs([WIRE], rate=0.6, preload=0.2, travel=50 * deg, bore=2 * mm)
    assert none.found == []
    assert none.nearest is not None
    with pytest.raises(yw.NothingFoundError, match=r"none of the .* torsion springs tried fits"):
        none.best()


def test_the_drawer():
    stock = drawer()
    assert len(stock) == 18
    assert stock.springs[5].name == "D06"
    search = yw.spring.search_stock(stock, rate=500.0, force=12.0, travel=20 * mm, room=(30 * mm, 200 * mm))
    assert search.tried == 18 + 3 * 171
    best = search.best()
    assert abs(best.rate / 500.0 - 1) <= 0.1
    laws = [spring.line_spring for spring in best.springs]
    opposed = yw.spring.search_stock(
        stock, rate=500.0, force=12.0, travel=20 * mm, room=(30 * mm, 200 * mm), arrangements=["opposed"]
    ).best()
    laws = [spring.line_spring for spring in opposed.springs]
    pull = [
        law.response(length + by).tension
        for law, length, by in zip(laws, opposed.lengths, (10 * mm, -10 * mm), strict=True)
    ]
    assert pull[0] - pull[1] == pytest.approx(opposed.rate * 10 * mm)
    twice = stock.with_list(stock)
    assert len(twice) == 36


def test_what_a_list_refuses():
    text = DRAWER.read_text(encoding="utf-8").replace("0,34", "O,34")
    with pytest.raises(yw.InvalidValueError, match=r"line 3, column 'rate N/mm': rate: 'O,34' is not"):
        yw.spring.StockList.read(text, kind="extension", columns=COLUMNS, delimiter=";", decimal_comma=True)
    with pytest.raises(yw.InvalidValueError, match="column of the stock list 'diameter' is not known"):
        yw.spring.StockList.read(text, kind="extension", columns={"name": ("diameter", "")}, delimiter=";")
    with pytest.raises(yw.InvalidValueError, match="choose one of: single, opposed, parallel, series"):
        yw.spring.search_stock(
            drawer(), rate=500.0, force=12.0, travel=0.02, room=(0.03, 0.2), arrangements=["crossed"]
        )


def test_a_list_with_another_delimiter_or_too_many_cells():
    text = DRAWER.read_text(encoding="utf-8")
    with pytest.raises(yw.InvalidValueError, match="it seems, by ';'; set the delimiter to ';'"):
        yw.spring.StockList.read(text, kind="extension", columns=COLUMNS, delimiter=",", decimal_comma=True)
    commas = text.replace(";", ",")
    with pytest.raises(yw.InvalidValueError, match=r"line 2, .* under 7 headings; are there decimal commas\?"):
        yw.spring.StockList.read(commas, kind="extension", columns=COLUMNS, decimal_comma=True)


def test_the_force_gives_way_before_a_spring_is_stretched_too_far():
    text = "no,D,L0,Ln,k,F0\nE,12.7,27,59.8,2.426,4.35\n"
    columns = {
        "name": ("no", ""),
        "outer_diameter": ("D", "mm"),
        "free_length": ("L0", "mm"),
        "limit_length": ("Ln", "mm"),
        "rate": ("k", "N/mm"),
        "initial_tension": ("F0", "N"),
    }
    stock = yw.spring.StockList.read(text, kind="extension", columns=columns)
    wanted = {"rate": 2610.0, "force": 40.939, "travel": 17.763 * mm, "room": (31 * mm, 52.4 * mm)}
    choice = yw.spring.search_stock(stock, **wanted, arrangements=["single"]).best()
    assert choice.lengths == pytest.approx([59.8 * mm - 17.763 * mm], rel=ROUNDING)
    assert choice.force == pytest.approx(4.35 + 2.426 * (59.8 - 17.763 - 27), rel=ROUNDING)


def test_nothing_allowed_is_no_share():
    with pytest.raises(yw.InvalidValueError, match="stress allowed = 0 Pa"):
        EXTENSION.stresses(10.0).use_of(EXTENSION.stresses(0.0))
    assert EXTENSION.static_safety(-0.0) == np.inf


def test_bad_springs_are_told():
    with pytest.raises(yw.InvalidValueError, match=r"spring index = 1.5 \(no unit\) is outside 2 to 50"):
        yw.spring.ExtensionSpring(wire=WIRE, wire_diameter=2 * mm, mean_diameter=3 * mm, body_turns=10)
    with pytest.raises(yw.InvalidValueError, match="exactly one of"):
        yw.spring.TorsionSpring(wire=WIRE, wire_diameter=2 * mm, body_turns=10)
    with pytest.raises(yw.InvalidValueError, match="initial tension, with what body and hooks bear"):
        yw.spring.ExtensionSpring(
            wire=WIRE, wire_diameter=1 * mm, mean_diameter=9 * mm, body_turns=30, initial_tension=400.0
        )
