"""What all drawings share: ink, shades, type and the dress of a plain pair of axes."""

from collections.abc import Sequence
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes

Style = dict[str, Any]

INK = "#22303a"
CURVE = "#7fa9bd"
BAND = "#e6edf0"
CLIPPED = "#dbb288"
MAGNET = "#a9b8c0"
# The two ends of a magnet: dark and light, so that a gray printout tells them apart.
NORTH = "#b98352"
SOUTH = "#d5e2e4"
PACKAGE = "#f1e7d6"
FAINT = "#98a4ab"
STEEL = "#d3dadd"
FONT_PT = 10.0
DASHED: Style = {"color": FAINT, "linewidth": 0.9, "linestyle": (0, (3, 3))}
# Kept apart by dash and weight, so that a gray printout reads as well.
STROKES: list[Style] = [
    {"linewidth": 2.0},
    {"linewidth": 1.6, "linestyle": (0, (6, 2))},
    {"linewidth": 1.6, "linestyle": (0, (1.2, 1.5))},
    {"linewidth": 1.6, "linestyle": (0, (6, 2, 1.2, 2))},
    {"linewidth": 0.8},
    {"linewidth": 0.8, "linestyle": (0, (8, 3))},
]


def dress(ax: Axes, x_label: str, y_label: str) -> None:
    """Label a plain pair of axes and give it grid, ticks and the two spines that carry numbers."""
    ax.set_xlabel(x_label, fontsize=FONT_PT, color=INK)
    ax.set_ylabel(y_label, fontsize=FONT_PT, color=INK)
    ax.tick_params(labelsize=FONT_PT, colors=INK, length=3, width=0.8)
    ax.grid(True, color=BAND, linewidth=0.8)
    ax.set_axisbelow(True)
    ax.spines[["top", "right"]].set_visible(False)
    ax.spines[["left", "bottom"]].set_color(INK)


def legend(
    ax: Axes,
    columns: int = 2,
    handle: float = 1.1,
    handles: Sequence[Artist] | None = None,
    lift: float = 0.2,
) -> None:
    """Put a legend above the axes, where no curve can run under it; lift: over their edge, in letters."""
    ax.legend(
        handles=ax.get_legend_handles_labels()[0] if handles is None else handles,
        loc="lower left",
        bbox_to_anchor=(-0.05, 1.0),
        ncols=columns,
        frameon=False,
        fontsize=FONT_PT,
        labelcolor=INK,
        handlelength=handle,
        columnspacing=0.9,
        handletextpad=0.4,
        borderaxespad=lift,
    )
