"""Drawings of force laws and of an extension spring's stresses: what the lines carry."""

import matplotlib as mpl
import numpy as np
import pytest

import yokewright as yw
from yokewright import mm

mpl.use("Agg")

SPRING = yw.spring.LinearSpring(rate=400.0, free_length=60 * mm, action="above", initial_tension=3.0, longest=120 * mm)
CORD = yw.spring.ForceTable([0.06, 0.08, 0.10], [0.0, 12.0, 18.0], slack_below=True)
EXTENSION = yw.spring.ExtensionSpring(
    wire="EN 10270-1 SM", wire_diameter=1 * mm, mean_diameter=9 * mm, body_turns=30, initial_tension=4.0
)


@pytest.fixture(autouse=True)
def close():
    yield
    mpl.pyplot.close("all")


def line(ax, label):
    (found,) = [line for line in ax.lines if line.get_label() == label]
    return np.asarray(found.get_xdata()), np.asarray(found.get_ydata())


def test_a_force_law_carries_the_responses():
    ax = yw.plots.plot_force_law([SPRING, CORD], (40 * mm, 130 * mm))
    x, y = line(ax, "spring of 400 N/m")
    at = SPRING.responses(x * mm).tensions
    # On the step itself rounding decides.
    drawn = np.isfinite(y) & (np.abs(x - 60) > 1e-6)
    np.testing.assert_allclose(y[drawn], at[drawn], atol=1e-9)
    # Upright at the free length, and nothing of it past 120 mm.
    assert y[x < 60 - 1e-6].max() == 0.0
    assert np.nanmax(y) == pytest.approx(27.0)
    x, y = line(ax, "table 2")
    assert np.isnan(y[x > 100 + 1e-9]).all()
    assert ax.get_xlabel() == "Length (mm)"


def test_stresses_are_shares_of_what_is_allowed():
    ax = yw.plots.plot_extension_stress(EXTENSION, (50 * mm, 60 * mm))
    shares = [
        np.interp(EXTENSION.max_length / mm, *line(ax, words))
        for words in ("coils, shear", "hook, bending", "hook, torsion")
    ]
    assert max(shares) == pytest.approx(100.0, rel=1e-3)


def test_what_drawings_refuse():
    with pytest.raises(TypeError, match="spring along a line"):
        yw.plots.plot_force_law([3.0], (0.1, 0.2))
    with pytest.raises(yw.InvalidValueError, match="at least 1"):
        yw.plots.plot_force_law([], (0.1, 0.2))
    with pytest.raises(yw.InvalidValueError, match="upward"):
        yw.plots.plot_force_law(SPRING, (0.2, 0.1))
    with pytest.raises(TypeError, match="ExtensionSpring"):
        yw.plots.plot_extension_stress(SPRING)
