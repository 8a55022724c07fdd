"""Where the money of a rig goes."""

import numpy as np
from matplotlib import pyplot
from matplotlib.axes import Axes

from .._core import Cost
from . import _checks
from ._style import BAND, CURVE, FONT_PT, INK, dress


def plot_cost(cost: Cost, currency: str | None = None, ax: Axes | None = None) -> Axes:
    """Draw what each control costs as bars, the dearest first; what belongs to the rig itself is a bar too."""
    _checks.kind(cost, Cost)
    shares = sorted((share for share in cost.shares if share.amount > 0.0), key=lambda share: -share.amount)
    if ax is None:
        _, ax = pyplot.subplots(figsize=(6.4, 1.0 + 0.42 * max(len(shares), 1)), layout="constrained")
    places = np.arange(len(shares))
    amounts = [share.amount for share in shares]
    colors = [CURVE if share.name != "rig" else BAND for share in shares]
    ax.barh(places, amounts, height=0.62, color=colors, edgecolor=INK, linewidth=0.8)
    most = max(amounts, default=1.0)
    for place, share in zip(places, shares, strict=True):
        text = f"{share.amount:.2f}, {100.0 * (share.share or 0.0):.0f} %"
        ax.text(share.amount + 0.015 * most, float(place), text, va="center", fontsize=FONT_PT, color=INK)
    ax.set_yticks(places, [share.name for share in shares])
    ax.invert_yaxis()
    ax.set_xlim(0.0, 1.35 * most)
    dress(ax, "Cost" if currency is None else f"Cost ({currency})", "")
    ax.grid(False, axis="y")
    ax.tick_params(axis="y", length=0)
    return ax
