"""A design file as a function of some of its keys."""

from collections import Counter

from .._document import Document
from .._tables import judged
from ..rig import Design
from ._table import Scalar


class DesignFile:
    """What evaluates a design file with some of its keys changed; for `run` and `stream`.

    Each input of a row is a key with its place: tables by their names, one of several of a kind by the name that it
    bears, as in `axis.pitch.gap_mm` or `magnet.cube.size_mm.0` (the first number of a list). It gives the worst verdict
    as `state`, and what each target came to by the names of its control and of the target; where a control has two
    targets of one name, with the unit: `pitch: crosstalk in counts`.

    Examples
    --------
    >>> import yokewright as yw
    >>> from pathlib import Path
    >>> rig = yw.variations.DesignFile(Path("examples/trainer_stick.toml").read_text())
    >>> table = yw.variations.grid(**{"axis.roll.gap_mm": [3.2, 3.5]})
    >>> for row in map(lambda row: rig(**row), table):
    ...     print(row["state"], f"{row['roll: range used']:.1f} %")
    met 76.5 %
    close 68.7 %
    """

    def __init__(self, text: str, name: str = "design") -> None:
        """Take the text of a design file; `name` stands for the file in messages."""
        self._document = Document(Design.parse(text, name))

    def __call__(self, **keys: Scalar) -> dict[str, Scalar | None]:
        """Evaluate the design with these keys changed."""
        evaluation = self.changed(**keys).evaluate()
        verdicts = judged(evaluation)
        called = Counter((name, verdict.target) for name, verdict in verdicts)
        found: dict[str, Scalar | None] = {"state": evaluation.state}
        for name, verdict in verdicts:
            unit = f" in {verdict.unit}" if called[name, verdict.target] > 1 else ""
            found[f"{name}: {verdict.target}{unit}"] = verdict.got
        return found

    def changed(self, **keys: Scalar) -> Design:
        """Give the design with these keys changed."""
        return self._document.changed(keys)

    def __repr__(self) -> str:
        """Name the file."""
        return f"<DesignFile {self._document.name}>"
