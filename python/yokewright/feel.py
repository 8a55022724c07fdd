"""Feel: the force at the hand and the foot against travel.

A `Control` is a pivot or a gimbal with `Element`s that act on it: springs between anchors,
breakout, friction, weights, dampers, magnets. It gives the force curve, where the control comes to
rest, and what it does when it is let go. `search_springs` finds springs for a wanted feel (`SpringDemand`),
`compare_with_guidance` sets a control beside published figures (read `GUIDANCE_CAVEAT`).

>>> import yokewright as yw
>>> answer = yw.feel.SecondOrderResponse(stiffness=40.0, inertia=0.1, damping=0.8)
>>> print(f"overshoot {answer.overshoot:.0%}")
overshoot 53%
"""

from ._core import (
    GUIDANCE_CAVEAT,
    Anchor,
    CapturedSpring,
    Centering,
    Control,
    ControlMeasurements,
    ControlState,
    Drive,
    Element,
    Equilibrium,
    EquilibriumBand,
    ForceCurve,
    FreeResponse,
    GuidanceComparison,
    GuidanceFigure,
    SecondOrderResponse,
    SpringDemand,
    SpringEnvelope,
    SpringFit,
    SpringOperatingPoint,
    compare_with_guidance,
    friction_torque,
    gradient_limits,
    guides_for,
    min_maneuver_force,
    noticeable_steps,
)

__all__ = [
    "GUIDANCE_CAVEAT",
    "Anchor",
    "CapturedSpring",
    "Centering",
    "Control",
    "ControlMeasurements",
    "ControlState",
    "Drive",
    "Element",
    "Equilibrium",
    "EquilibriumBand",
    "ForceCurve",
    "FreeResponse",
    "GuidanceComparison",
    "GuidanceFigure",
    "SecondOrderResponse",
    "SpringDemand",
    "SpringEnvelope",
    "SpringFit",
    "SpringOperatingPoint",
    "compare_with_guidance",
    "friction_torque",
    "gradient_limits",
    "guides_for",
    "min_maneuver_force",
    "noticeable_steps",
]
