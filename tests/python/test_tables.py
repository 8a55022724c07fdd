"""Results as tables in a notebook: their figures, in the reader's units, and no text that becomes markup."""

from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

import yokewright as yw
from yokewright import deg, mm, ms
from yokewright._tables import table, tables, text

EXAMPLES = Path(__file__).parents[2] / "examples"
HOSTILE = "<script>alert(1)</script> & 'x'"


class Cells(HTMLParser):
    """The texts of the cells, and every tag."""

    def __init__(self, source):
        super().__init__()
        self.tags, self.cells = set(), []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        if tag in ("td", "th", "caption"):
            self.cells.append("")

    def handle_data(self, data):
        self.cells[-1] += data


def cube_axis(gap=2.0):
    cube = yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0))
    layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=gap * mm)
    return layout.axis(
        throw=(-6 * deg, 6 * deg),
        sensor=yw.hall.LinearHall(supply=5.0, sensitivity=20.0),
        converter=yw.hall.Converter(bits=12, reference=5.0),
    )


def yields():
    return yw.axis.study_yield(
        yw.axis.CallableDesign(
            inputs={HOSTILE: 5e-3}, figures={HOSTILE: "m"}, build=lambda **inputs: {HOSTILE: inputs[HOSTILE]}
        ),
        [yw.axis.Tolerance(HOSTILE, 0.1e-3)],
        targets=[yw.axis.YieldTarget(HOSTILE, max=5e-3)],
        builds=200,
    )


def hostile_rig():
    source = (EXAMPLES / "trainer_stick.toml").read_text(encoding="utf-8")
    return yw.rig.Design.parse(source.replace('name = "pitch"', f'name = "{HOSTILE}"')).evaluate(101)


def latency():
    stage = yw.axis.LatencyStage("bus polling", yw.axis.Delay.usb_polling("full", 8), name=HOSTILE)
    return yw.axis.LatencyBudget([stage, yw.axis.LatencyStage("host", yw.axis.Delay.fixed(2 * ms))])


def search():
    cube = yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0))
    return yw.axis.search_arrangements(
        [yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=3 * mm)],
        sensors=[yw.hall.LinearHall(supply=5.0, sensitivity=25.0)],
        converter=yw.hall.Converter(bits=12, reference=5.0),
        throw=(-6 * deg, 6 * deg),
        vary={"arm": (8 * mm, 16 * mm, 2 * mm), "gap": (1 * mm, 6 * mm, 1 * mm)},
    )


RESULTS = {
    "Evaluation": hostile_rig,
    "AxisEvaluation": lambda: hostile_rig().axes[0],
    "Verdict": lambda: hostile_rig().axes[0].verdicts[0],
    "StickEvaluation": lambda: yw.rig.Design.load(EXAMPLES / "training_rig.toml").evaluate(101).sticks[0],
    "AxisFigures": lambda: cube_axis().figures(),
    "Linearity": lambda: cube_axis().figures().linearity,
    "ErrorBudget": lambda: yw.axis.error_budget(cube_axis(), celsius=(5.0, 35.0)),
    "Comparison": lambda: yw.axis.compare({HOSTILE: cube_axis(), "other": cube_axis(3.0)}),
    "LatencyBudget": latency,
    "Yield": yields,
    "ArrangementSearch": search,
    "SearchResult": lambda: search().result,
    "RigYield": lambda: yw.rig.Design.load(EXAMPLES / "training_rig.toml").study_yields(8),
    "Cost": lambda: yw.rig.Design.load(EXAMPLES / "training_rig.toml").evaluate(51).cost,
    "CameraRuns": lambda: yw.axis.CameraRuns(1000, [108, 113, 110, 112]),
}


@pytest.mark.parametrize("name", RESULTS)
def test_every_result_shows_itself_as_a_table(name):
    value = RESULTS[name]()
    assert type(value).__name__ == name
    shown = value._repr_html_()
    cells = Cells(shown)
    assert cells.tags <= {"table", "caption", "thead", "tbody", "tr", "th", "td"}
    assert len(cells.cells) > 6
    assert "<script>" not in shown


@pytest.mark.parametrize("name", ["Evaluation", "AxisEvaluation", "Comparison", "LatencyBudget", "Yield"])
def test_hostile_names_are_shown_as_they_are(name):
    cells = Cells(RESULTS[name]()._repr_html_()).cells
    assert any(HOSTILE in cell for cell in cells)


def test_what_is_typed_back_has_no_table():
    for value in (yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0)), yw.hall.Converter(bits=12, reference=5.0)):
        assert not hasattr(value, "_repr_html_")


def test_figures_are_in_the_units_of_the_reader():
    figures = cube_axis().figures()
    rows = {row[0]: row[1] for row in tables(figures)[0].rows}
    assert rows["counts"] == str(figures.counts)
    assert rows["flux span"] == f"{1e3 * figures.flux_span:.3g} mT"
    assert rows["clearance"] == f"{1e3 * figures.clearance:.3g} mm"
    assert rows["step quantization center"] == f"{np.degrees(figures.step_quantization_center):.3g} deg"
    assert rows["monotonic"] == "yes"
    assert rows["lever"] == "none"


def test_a_latency_budget_tells_its_stages():
    (shown,) = tables(latency())
    # 8 frames of 1 ms, of which it waits half on the average.
    assert shown.rows[0][:3] == (HOSTILE, "bus polling", "4 ms")
    assert shown.rows[1][2:4] == ("2 ms", "0 ms")


def test_plain_lines_keep_their_columns():
    made = table("Title", ("A", "Long head"), [("one", "1"), ("eleven", "22")], ["met", "missed"])
    assert text(made) == "Title\n  A       Long head\n  one     1\n  eleven  22"
    assert [made.mark(place) for place in range(3)] == ["met", "missed", ""]
    with pytest.raises(ValueError, match="a row of 1 cells under 2 heads"):
        table("Title", ("A", "B"), [("one",)])
