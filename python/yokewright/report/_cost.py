"""What the rig costs and draws."""

from html import escape

from .. import plots
from .._core import BillItem, Evaluation
from ._pieces import figure, head, items, number, row, table

_BILL = ("What", "Quantity", "Price", "Total", "For", "Note")
_DRAWS = ("What", "Quantity", "Draws", "Together")


def cost_section(evaluation: Evaluation) -> str:
    """The bill of materials, where the money goes, and the current drawn; nothing if the file tells neither."""
    cost, supply = evaluation.cost, evaluation.supply
    told = any(item.price is not None for item in cost.items)
    if not told and supply is None:
        return ""
    currency = f" {escape(evaluation.currency)}" if evaluation.currency else ""
    parts = ["<section class='axis' aria-labelledby='cost'><h2 id='cost'>Bill of materials</h2>"]
    if told:
        parts.append(f"<p>All that has a price costs {cost.total:.2f}{currency}.</p>")
    parts.append(table(head(_BILL), [_item(item, currency) for item in cost.items], "errors"))
    if told:
        shares = [share for share in cost.shares if share.amount > 0.0]
        words = "; ".join(f"{share.name} {share.amount:.2f}{currency}" for share in shares)
        parts.append(
            figure(
                lambda drawing: plots.plot_cost(cost, evaluation.currency, drawing.add_subplot()),
                (6.4, 1.0 + 0.42 * len(shares)),
                f"What each control costs: {words}.",
                "Where the money goes: what several controls use is shared out evenly among them.",
                narrow=(3.6, 1.0 + 0.42 * len(shares)),
            )
        )
    if supply is not None:
        limit = "" if supply.limit is None else f"; the port may be asked for {number(supply.limit * 1e3)} mA"
        rows = [
            row(_DRAWS, [escape(name), str(count), f"{number(1e3 * one)} mA", f"{number(1e3 * count * one)} mA"])
            for name, count, one in supply.consumers
        ]
        parts.append(f"<h3>Supply</h3><p>The rig draws {number(supply.current * 1e3)} mA{limit}.</p>")
        parts.append(table(head(_DRAWS), rows, "errors"))
    notes = [note for note in evaluation.notes if note]
    if notes:
        parts.append(f"<h3>Notes</h3><ul>{items(notes)}</ul>")
    parts.append("</section>")
    return "\n".join(parts)


def _item(item: BillItem, currency: str) -> str:
    def told(price: float | None) -> str:
        return "not told" if price is None else f"{price:.2f}{currency}"

    users = ", ".join(dict.fromkeys(item.used_by)) or "the rig"
    cells = [
        escape(f"{item.kind} {item.name}"),
        str(item.quantity),
        told(item.price),
        told(item.total),
        escape(users),
        escape(item.note or ""),
    ]
    return row(_BILL, cells)
