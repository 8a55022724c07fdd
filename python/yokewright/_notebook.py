"""How results show themselves in a notebook: as tables."""

from types import ModuleType

# Results, as against what they are made of, which is shown as it is typed.
_ENDINGS = (
    *("Figures", "Evaluation", "Budget", "Yield", "Comparison", "Result", "Search", "Summary", "Candidate"),
    *("Residuals", "Calibration", "Crosstalk", "Correction", "Identification", "Importance", "Allocation", "WhatIf"),
    *("Spread", "Difference", "CameraRuns", "Envelope", "Response", "Equilibrium", "Hysteresis", "Linearity"),
    *(
        "Verdict",
        "Cost",
        "Supply",
        "Reach",
        "Loads",
        "Load",
        "Contribution",
        "StageEffect",
        "TolerantDesign",
        "WorkingPoint",
    ),
)


def attach(core: ModuleType) -> None:
    """Give every class of results of the compiled half its table."""
    for name, thing in vars(core).items():
        if isinstance(thing, type) and name.endswith(_ENDINGS):
            thing._repr_html_ = _table  # type: ignore[attr-defined]


def _table(self: object) -> str:
    """The result as HTML tables."""
    # When first shown: an analysis may never be.
    from ._tables import html

    return html(self)
