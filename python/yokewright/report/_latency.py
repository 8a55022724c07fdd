"""How slow the controls are, from hand to screen."""

from html import escape

from .. import plots
from .._core import Evaluation, LatencyBudget, ms
from ._pieces import figure, head, number, row, table

_CONTROLS = ("Control", "Mean", "Spread", "5 % within", "Half within", "95 % within", "Attack first")


def latency_section(evaluation: Evaluation) -> str:
    """The latency of every control, and pictures of the slowest; nothing of a file without stages."""
    budgets = [(axis.name, axis.latency) for axis in evaluation.axes if axis.latency is not None]
    if not budgets:
        return ""
    name, slowest = max(budgets, key=lambda one: one[1].percentiles[2])
    effects = slowest.effects()
    stages = "; ".join(f"{effect.name} {number(effect.mean / ms)} ms" for effect in effects)
    height = 1.6 + 0.42 * len(effects)
    return "\n".join(
        [
            "<section class='axis' aria-labelledby='latency'><h2 id='latency'>From hand to screen</h2>",
            table(head(_CONTROLS), [_control(*one) for one in budgets], "errors"),
            figure(
                lambda drawing: plots.plot_latency_stages(slowest, drawing.add_subplot()),
                (7.2, height),
                f"The stages of {name} one after the other, each as long as its mean: {stages}.",
                f"The stages of {name}, the slowest control; beside each stands what half of it takes off the time "
                "that 95 % keep.",
            ),
            figure(
                lambda drawing: plots.plot_latency(slowest, drawing.add_subplot()),
                (6.4, 3.2),
                f"Distribution of the latency of {name}: 95 % within {number(slowest.percentiles[2] / ms)} ms.",
                f"How likely which latency of {name} is.",
            ),
            "</section>",
        ]
    )


def _control(name: str, budget: LatencyBudget) -> str:
    attack = budget.stage_to_attack()
    times = [budget.mean, budget.standard_deviation, *budget.percentiles]
    cells = [escape(name), *[f"{number(time / ms)} ms" for time in times]]
    return row(_CONTROLS, [*cells, escape(f"{attack.name}: {attack.remedy}")])
