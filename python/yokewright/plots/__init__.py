"""Drawings of a control and of the magnets in it.

Every function takes the matplotlib axes to draw into, or makes its own, and returns them.
Shade, dash and hatching carry the meaning; color only helps, so a gray printout reads as well.
"""

from .arrangement import draw_arrangement, plot_arrangement
from .axis import draw_throw, plot_curve, plot_departure, plot_layout, plot_throw
from .ball_rod import plot_ball_rod, plot_pedal_motion, plot_pedals, plot_swivel
from .bench import plot_calibration, plot_correlation, plot_points_worth
from .budget import plot_comparison, plot_error_budget
from .compression import plot_endurance, plot_spring_stress
from .cost import plot_cost
from .feel import plot_force_travel, plot_release
from .field_map import plot_field_map
from .latency import plot_devices, plot_latency, plot_latency_stages
from .line_spring import plot_extension_stress, plot_force_law
from .linkage import plot_four_bar, plot_linkage, plot_ratio
from .load_line import plot_load_line
from .on_axis import plot_on_axis
from .stick import plot_clearance, plot_stick_reach
from .tolerance import plot_builds, plot_importance, plot_yield_histogram, plot_yields
from .two_axis import plot_crosstalk, plot_gate_readings

__all__ = [
    "draw_arrangement",
    "draw_throw",
    "plot_arrangement",
    "plot_ball_rod",
    "plot_builds",
    "plot_calibration",
    "plot_clearance",
    "plot_comparison",
    "plot_correlation",
    "plot_cost",
    "plot_crosstalk",
    "plot_curve",
    "plot_departure",
    "plot_devices",
    "plot_endurance",
    "plot_error_budget",
    "plot_extension_stress",
    "plot_field_map",
    "plot_force_law",
    "plot_force_travel",
    "plot_four_bar",
    "plot_gate_readings",
    "plot_importance",
    "plot_latency",
    "plot_latency_stages",
    "plot_layout",
    "plot_linkage",
    "plot_load_line",
    "plot_on_axis",
    "plot_pedal_motion",
    "plot_pedals",
    "plot_points_worth",
    "plot_ratio",
    "plot_release",
    "plot_spring_stress",
    "plot_stick_reach",
    "plot_swivel",
    "plot_throw",
    "plot_yield_histogram",
    "plot_yields",
]
