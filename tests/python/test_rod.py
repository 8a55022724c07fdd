"""Rods through the boundary, and the factor of a clamped and pinned rod against SciPy."""

import math
import pickle

import pytest
from scipy.optimize import brentq

import yokewright as yw
from public_names import PUBLIC
from yokewright import mm

STEEL = yw.linkage.RodMaterial.named("steel S235")
TUBE = yw.linkage.RodSection.tube(8 * mm, 1 * mm)
NAMES = {name: PUBLIC[name] for name in ("Rod", "RodMaterial", "RodSection")}


def rod(**changes):
    given = {"section": TUBE, "material": STEEL, "length": 0.4}
    return yw.linkage.Rod(**given | changes)


def test_a_pedal_rod_by_hand():
    d, bore, k = 8e-3, 6e-3, math.sqrt(8e-3**2 + 6e-3**2) / 4
    area = math.pi * (d**2 - bore**2) / 4
    pinned = rod()
    assert pinned.slenderness == pytest.approx(0.4 / k, rel=1e-14)
    assert pinned.buckling == "Euler"
    assert pinned.critical_load == pytest.approx(math.pi**2 * 210e9 * area * k**2 / 0.16, rel=1e-13)
    short = rod(length=0.1)
    assert short.buckling == "Johnson"
    assert short.critical_load == short.johnson_load < min(short.euler_load, short.yield_load)
    assert short.loaded_by(-1000).limit == short.critical_load
    assert short.loaded_by(1000).safety == pytest.approx(235e6 * area / 1000, rel=1e-14)


def test_factor_of_a_clamped_and_pinned_rod():
    root = brentq(lambda x: math.sin(x) - x * math.cos(x), 4, 4.6, xtol=1e-15, rtol=1e-15)
    factor = math.pi / root
    clamped = rod(ends="fixed-pinned", factor=factor)
    assert clamped.euler_load == pytest.approx(rod().euler_load / factor**2, rel=1e-13)
    # Below the theoretical factor nothing is accepted; that is where it stands.
    with pytest.raises(yw.InvalidValueError, match="effective length factor"):
        rod(ends="fixed-pinned", factor=factor * (1 - 1e-12))


def test_without_a_factor_the_recommended_one_is_taken():
    factors = [rod(ends=ends).factor for ends in ("pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free")]
    assert factors == [1.0, 0.80, 0.65, 2.10]


def test_least_diameter_against_a_root_search():
    pressed, safety = 1200.0, 3.0

    for length in (0.05, 0.1, 0.2, 0.4, 0.8):
        given = {"length": length}
        searched = brentq(
            lambda d, given=given: (
                rod(section=yw.linkage.RodSection.round(d), **given).critical_load - pressed * safety
            ),
            1e-3,
            0.04,
            xtol=1e-15,
        )
        assert rod(**given).min_diameter(pressed, safety) == pytest.approx(searched, rel=1e-10)


def test_end_factors():
    # A clamped and pinned column buckles as a pinned one of pi over the first root of tan x = x.
    root = brentq(lambda x: math.sin(x) - x * math.cos(x), 4.0, 4.7, xtol=1e-15)
    assert yw.linkage.Rod.theoretical_factor("fixed-pinned") == pytest.approx(math.pi / root, rel=1e-14)
    assert [yw.linkage.Rod.theoretical_factor(ends) for ends in ("pinned-pinned", "fixed-fixed", "fixed-free")] == [
        1.0,
        0.5,
        2.0,
    ]
    for ends in ("pinned-pinned", "fixed-pinned", "fixed-fixed", "fixed-free"):
        assert (
            rod(ends=ends).factor == yw.linkage.Rod.recommended_factor(ends) >= yw.linkage.Rod.theoretical_factor(ends)
        )
    with pytest.raises(yw.InvalidValueError, match="rod ends"):
        yw.linkage.Rod.theoretical_factor("loose")


def test_refusals():
    with pytest.raises(yw.InvalidValueError, match=r"did you mean 8 \* mm"):
        yw.linkage.RodSection.round(8)
    with pytest.raises(yw.InvalidValueError, match="rod material: 'cheese' is not known"):
        yw.linkage.RodMaterial.named("cheese")
    with pytest.raises(yw.InvalidValueError, match="rod ends"):
        rod(ends="loose")
    with pytest.raises(yw.InvalidValueError, match="rod length"):
        rod(length=5 * mm)


def test_pickle_repr_and_names():
    for thing in (
        STEEL,
        TUBE,
        yw.linkage.RodSection.round(6 * mm),
        rod(),
        rod(ends="fixed-free", factor=2.05),
    ):
        assert pickle.loads(pickle.dumps(thing)) == thing
        assert eval(repr(thing), NAMES) == thing
    for name in yw.linkage.RodMaterial.names():
        material = yw.linkage.RodMaterial.named(name)
        assert 50e9 < material.modulus < 250e9
        assert 5e-4 < material.yield_strength / material.modulus < 5e-3
