"""The drawings say what the figures say, and the report is a complete, safe and readable page."""

import base64
import re
import subprocess
import sys
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib import pyplot
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon
from matplotlib.text import Text

import yokewright as yw

EXAMPLE = Path(__file__).parents[2] / "examples" / "trainer_stick.toml"
SMALLEST_TYPE_PT = 9.0  # what the eye reads at arm's length (common practice)


def make_axis(**changes):
    """The 5 mm cube on a 12 mm arm; +-6 degrees of throw give some 170 mT from end to end."""
    parts = {"sensitivity": 15 * yw.mV_per_mT, "side": "outer", "gap": 2 * yw.mm, "moving": "magnets"}
    parts |= {"throw": (-6 * yw.deg, 6 * yw.deg), "polarization": (0, 1300 * yw.mT, 0)} | changes
    layout = yw.axis.SwungLayout(
        magnet=yw.magnet.Block((5 * yw.mm,) * 3, parts["polarization"]),
        arm=12 * yw.mm,
        gap=parts["gap"],
        side=parts["side"],
    )
    sensor = yw.hall.LinearHall(
        supply=3.3,
        nominal_supply=3.3,
        quiescent=1.65,
        sensitivity=parts["sensitivity"],
        rail_low=0.2,
        rail_headroom=0.2,
        noise=1 * yw.mV,
        depth=0.0,
    )
    return layout.axis(
        throw=parts["throw"],
        sensor=sensor,
        converter=yw.hall.Converter(bits=12, reference=3.3),
        moving=parts["moving"],
    )


@pytest.fixture(autouse=True)
def _no_figure_stays_open():
    yield
    pyplot.close("all")


def labeled(ax, label):
    return next(line for line in ax.get_lines() if line.get_label() == label)


def texts_in(figure):
    """Every text of a figure but the labels of ticks beyond the ends of an axis, which are not drawn."""
    figure.draw_without_rendering()
    beyond = set()
    for ax in figure.axes:
        for axis in (ax.xaxis, ax.yaxis):
            low, high = sorted(axis.get_view_interval())
            beyond |= {id(tick.label1) for tick in axis.get_major_ticks() if not low <= tick.get_loc() <= high}
    texts = [text for text in figure.findobj(Text) if text.get_text() and text.get_visible()]
    return [text for text in texts if id(text) not in beyond]


# --- curves -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("quantity", "unit", "word"),
    [("flux", yw.mT, "(mT)"), ("volts", 1.0, "(V)"), ("counts", 1.0, "(counts)")],
)
def test_curve_is_the_sweep_in_the_unit_of_its_label(quantity, unit, word):
    sweep = make_axis().sweep(101)
    ax = yw.plots.plot_curve(sweep, quantity)
    line = labeled(ax, "sweep")
    # One multiplication and one division away from the sweep.
    np.testing.assert_allclose(line.get_xdata() * yw.deg, sweep.angle, rtol=1e-15)
    np.testing.assert_allclose(line.get_ydata() * unit, getattr(sweep, quantity), rtol=1e-15)
    assert word in ax.get_ylabel()
    assert "(deg)" in ax.get_xlabel()


def test_straight_line_is_the_independent_one():
    sweep = make_axis().sweep(101)
    line = labeled(yw.plots.plot_curve(sweep, "volts"), "independent line")
    expected = yw.axis.linearity(sweep.angle, sweep.volts).independent_line
    assert line.get_ydata()[0] == pytest.approx(expected.at(sweep.angle[0]), rel=1e-14)
    assert line.get_ydata()[-1] == pytest.approx(expected.at(sweep.angle[-1]), rel=1e-14)


@pytest.mark.parametrize("quantity", ["flux", "volts", "counts"])
def test_departure_touches_its_band_and_stays_inside(quantity):
    sweep = make_axis(throw=(-9 * yw.deg, 7 * yw.deg)).sweep(201)
    departure = labeled(yw.plots.plot_departure(sweep, quantity), "departure").get_ydata()
    percent = 100 * yw.axis.linearity(sweep.angle, getattr(sweep, quantity).astype(float)).independent
    # The best line departs equally far to both sides; what is left is rounding of values near the span.
    assert departure.max() == pytest.approx(percent, rel=1e-9)
    assert departure.min() == pytest.approx(-percent, rel=1e-9)


def hatched(ax):
    return [patch for patch in ax.patches if patch.get_hatch()]


def test_only_clipped_parts_are_marked():
    sweep = make_axis(sensitivity=30 * yw.mV_per_mT).sweep(201)
    assert sweep.clipped.any()
    assert not sweep.clipped.all()
    ax = yw.plots.plot_curve(sweep, "volts")
    spans = [patch.get_extents().transformed(ax.transData.inverted()) for patch in hatched(ax)]
    marked = np.zeros(len(sweep), dtype=bool)
    for span in spans:
        inside = (sweep.angle / yw.deg > span.x0 + 1e-6) & (sweep.angle / yw.deg < span.x1 - 1e-6)
        marked |= inside
    # The hatching ends at the first sample that is not clipped; the very ends lie on the border.
    np.testing.assert_array_equal(marked[1:-1], sweep.clipped[1:-1])
    assert not hatched(yw.plots.plot_curve(make_axis().sweep(201), "volts"))


def test_output_that_stands_still_is_drawn_and_said():
    sweep = make_axis(polarization=(0, 0, 0)).sweep(11)
    assert np.ptp(sweep.volts) == 0.0
    assert labeled(yw.plots.plot_curve(sweep, "volts"), "sweep").get_ydata()[0] == pytest.approx(1.65)
    said = [text.get_text() for text in yw.plots.plot_departure(sweep).texts]
    assert said == ["the reading does not change"]


def test_unknown_quantity_is_refused():
    with pytest.raises(ValueError, match="flux, volts, counts"):
        yw.plots.plot_curve(make_axis().sweep(11), "ohms")


@pytest.mark.parametrize(
    "draw",
    [
        lambda ax: yw.plots.plot_curve(make_axis().sweep(11), "counts", ax),
        lambda ax: yw.plots.plot_departure(make_axis().sweep(11), "volts", ax),
        lambda ax: yw.plots.plot_layout(make_axis(), 3 * yw.deg, ax),
    ],
)
def test_draws_into_the_axes_given(draw):
    ax = Figure().add_subplot()
    assert draw(ax) is ax
    assert pyplot.get_fignums() == []


# --- layout -------------------------------------------------------------------------------------


def filled(ax):
    return [patch for patch in ax.patches if isinstance(patch, Polygon) and patch.get_fill()]


def sides(polygon):
    corners = polygon.get_xy()
    return np.linalg.norm(np.diff(corners, axis=0), axis=1)


@pytest.mark.parametrize("angle", [-6 * yw.deg, 0.0, 4 * yw.deg])
@pytest.mark.parametrize("moving", ["magnets", "sensor"])
def test_magnet_is_drawn_to_scale_and_in_its_place(angle, moving):
    axis = make_axis(moving=moving)
    ax = yw.plots.plot_layout(axis, angle)
    assert ax.get_aspect() == 1.0
    squares = [patch for patch in filled(ax) if len(sides(patch)) == 4 and np.allclose(sides(patch), 5.0)]
    assert len(squares) == 1
    center = squares[0].get_xy()[:4].mean(axis=0)
    turned = angle if moving == "magnets" else 0.0
    # Arm up when centered, positive angles counterclockwise; the outline is rounded to 1e-9 mm.
    np.testing.assert_allclose(center, [-12 * np.sin(turned), 12 * np.cos(turned)], atol=1e-8)


def test_block_seen_at_a_slant_shows_its_silhouette():
    block = yw.magnet.Block(
        size=(4 * yw.mm, 4 * yw.mm, 4 * yw.mm),
        polarization=(0, 0, 1),
        pose=yw.Pose(position=(12 * yw.mm, 0, 0), rotation=(45 * yw.deg, 0, 0)),
    )
    straight = make_axis()
    axis = yw.axis.Axis(
        pivot=(0, 0, 0),
        direction=(0, 0, 1),
        throw=straight.throw,
        magnets=yw.magnet.MagnetGroup([block]),
        sensor=straight.sensor,
        sensor_pose=straight.sensor_pose,
        converter=straight.converter,
    )
    magnet = filled(yw.plots.plot_layout(axis))[0]
    width, height = np.ptp(magnet.get_xy(), axis=0)
    # Turned about its arm by 45 degrees, the cube is as wide as the diagonal of its face.
    assert width == pytest.approx(4 * np.sqrt(2), abs=1e-8)
    assert height == pytest.approx(4, abs=1e-8)


def test_scale_bar_is_as_long_as_it_says():
    ax = yw.plots.plot_layout(make_axis())
    (label,) = [text for text in ax.texts if text.get_text().endswith(" mm")]
    bar = next(line for line in ax.get_lines() if line.get_linewidth() == 3.0)
    assert f"{np.ptp(bar.get_xdata()):g} mm" == label.get_text()


def test_both_ends_of_the_throw_share_one_scale():
    figure = yw.plots.plot_throw(make_axis(throw=(-6 * yw.deg, 3 * yw.deg)))
    low, high = figure.axes
    assert (low.get_title(), high.get_title()) == ("at −6 deg", "at +3 deg")
    assert low.get_xlim() == high.get_xlim()
    assert low.get_ylim() == high.get_ylim()


def test_throw_to_one_side_starts_at_the_center():
    figure = yw.plots.plot_throw(make_axis(throw=(0.0, 5 * yw.deg)))
    assert [ax.get_title() for ax in figure.axes] == ["at 0 deg", "at +5 deg"]


@pytest.mark.parametrize("side", ["outer", "inner", "axial"])
@pytest.mark.parametrize("moving", ["magnets", "sensor"])
@pytest.mark.parametrize("polarization", [(0, 1.3, 0), (0, 0, 1.3), (0.9, 0.9, 0), (0, 0, 0)])
def test_every_arrangement_can_be_drawn_in_readable_type(side, moving, polarization):
    figure = yw.plots.plot_throw(make_axis(side=side, moving=moving, polarization=polarization))
    texts = texts_in(figure)
    assert texts
    assert min(text.get_fontsize() for text in texts) >= SMALLEST_TYPE_PT
    boxes = [text.get_window_extent() for text in texts]
    assert all(figure.bbox.count_contains(box.corners()) == 4 for box in boxes)
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


@pytest.mark.parametrize("size", [(3.5, 2.8), (6.4, 4.8)])
@pytest.mark.parametrize("sensitivity", [15, 30])
@pytest.mark.parametrize("draw", [yw.plots.plot_curve, yw.plots.plot_departure])
def test_type_is_readable_whole_and_apart(draw, sensitivity, size):
    figure = Figure(figsize=size, layout="constrained")
    draw(make_axis(sensitivity=sensitivity * yw.mV_per_mT).sweep(101), "volts", figure.add_subplot())
    texts = texts_in(figure)
    assert min(text.get_fontsize() for text in texts) >= SMALLEST_TYPE_PT
    boxes = [text.get_window_extent() for text in texts]
    assert all(figure.bbox.count_contains(box.corners()) == 4 for box in boxes)
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


# --- report -------------------------------------------------------------------------------------


class Page(HTMLParser):
    """Collects what a reader and a screen reader get, and insists on closed tags."""

    VOID = frozenset({"meta", "img", "br", "hr", "link", "input", "source"})

    def __init__(self, text):
        super().__init__()
        self.open = []
        self.tags = []
        self.text = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes), tuple(self.open)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append((data, tuple(self.open)))

    def all(self, tag):
        return [attributes for name, attributes, _ in self.tags if name == tag]

    def words(self, tag=None):
        parts = [data for data, where in self.text if (tag is None or tag in where) and "style" not in where]
        return " ".join(" ".join(parts).split())


@pytest.fixture(scope="module")
def evaluation():
    return yw.rig.Design.load(EXAMPLE).evaluate()


@pytest.fixture(scope="module")
def text(evaluation):
    return yw.report.report_html(evaluation)


@pytest.fixture(scope="module")
def page(text):
    return Page(text)


def test_report_is_written_and_its_path_returned(evaluation, text, tmp_path):
    path = yw.report.write_report(evaluation, str(tmp_path / "stick.html"))
    assert path == tmp_path / "stick.html"
    assert path.read_text(encoding="utf-8") == text


def test_same_design_gives_the_same_bytes(text):
    assert yw.report.report_html(yw.rig.Design.load(EXAMPLE).evaluate()) == text


def test_page_needs_nothing_else(text, page):
    addresses = [value for _, attributes, _ in page.tags for key, value in attributes.items() if key in {"src", "href"}]
    assert addresses
    assert all(address.startswith(("data:image/svg+xml;base64,", "#")) for address in addresses)
    assert not page.all("script")
    assert not page.all("link")
    assert not re.search(r"@import|url\(", text)
    targets = {attributes["id"] for _, attributes, _ in page.tags if "id" in attributes}
    assert {address[1:] for address in addresses if address.startswith("#")} <= targets


def test_pictures_are_sound_and_described(evaluation, page):
    # A picture for narrow screens says the same as its twin.
    pictures = [picture for picture in page.all("img") if picture.get("class") != "narrow-picture"]
    # mT, volts, counts, departure, the drawing and the error budget, for each axis.
    assert len(pictures) == len(page.all("figcaption")) == 6 * len(evaluation.axes)
    for picture in pictures:
        assert len(picture["alt"]) > 40
        svg = base64.b64decode(picture["src"].partition(",")[2])
        root = ElementTree.fromstring(svg)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        links = [value for part in root.iter() for key, value in part.attrib.items() if key.endswith("href")]
        assert all(link.startswith("#") for link in links)
    assert len({picture["alt"] for picture in pictures}) == len(pictures)


PICTURES = ("wide-picture", "narrow-picture")


def test_narrow_screen_shows_every_cell_under_its_head(evaluation, text, page):
    """Side by side the columns do not fit; then each cell stands on a line of its own, its head in front."""
    style = text.partition("<style>")[2].partition("</style>")[0]
    narrow = re.search(r"@media screen and \(max-width: 40rem\) \{(.*?)\n\}", style, re.DOTALL)[1]
    assert "td { display: block; }" in narrow
    assert "attr(data-head)" in narrow
    heads = {"Wanted", "Got", "Margin", "Verdict", "Independent", "Terminal-based", "Zero-based"}
    cells = [attributes.get("data-head") for attributes in page.all("td")]
    assert heads <= set(cells)
    assert cells.count("Verdict") == sum(len(axis.verdicts) for axis in evaluation.axes)
    # The wide drawing has a narrow twin, with letters of the same size.
    twins = {kind: [one for one in page.all("img") if one.get("class") == kind] for kind in PICTURES}
    assert len(twins["narrow-picture"]) == len(twins["wide-picture"]) == len(evaluation.axes)
    for twin in twins["narrow-picture"]:
        root = ElementTree.fromstring(base64.b64decode(twin["src"].partition(",")[2]))
        assert float(root.attrib["width"].removesuffix("pt")) < 300


def test_page_can_be_read_aloud(page):
    assert page.all("html") == [{"lang": "en"}]
    levels = [int(tag[1]) for tag, _, _ in page.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert all("scope" in cell for cell in page.all("th"))
    ids = [attributes["id"] for _, attributes, _ in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_cautions_come_before_the_first_axis(page):
    words = page.words("body")
    first_axis = words.index("Axis: ")
    assert yw.CAUTIONS
    for caution in yw.CAUTIONS:
        assert 0 < words.index(" ".join(caution.split())) < first_axis


def test_every_target_note_and_term_is_told(evaluation, page):
    words = page.words("body")
    for axis in evaluation.axes:
        for verdict in axis.verdicts:
            wanted = f"{verdict.sense} {verdict.wanted:g} {verdict.unit}"
            got = f"{verdict.got:.3g} {verdict.unit}"
            margin = f"{verdict.margin:+.3g} {verdict.margin_unit}".replace("-", "\N{MINUS SIGN}").replace("+0 ", "0 ")
            assert f"{verdict.target} {wanted} {got} {margin} {verdict.state} " in words
        for note in axis.notes:
            assert " ".join(note.split()) in words
    for term in ("IEC 61298-2", "IEEE Std 1241", "Independent linearity", "Terminal-based", "Zero-based"):
        assert term in words


def test_figures_are_in_the_units_of_the_reader(evaluation, page):
    words = page.words("body")
    for axis in evaluation.axes:
        figures = axis.figures
        assert f"Flux density, end to end {figures.flux_span / yw.mT:.3g} mT" in words
        assert f"Clearance {figures.clearance / yw.mm:.3g} mm" in words
        low, high = figures.code_range
        assert f"Codes used {low} to {high}, {100 * figures.range_used:.3g} %" in words


def test_comparison_with_sensors_on_the_shaft(evaluation, page):
    axis = evaluation.axes[0].axis
    low, high = axis.throw
    # A voltage divider: the throw's share of the travel is the share of the counts.
    for name, travel in (("300 degrees of travel", 300), ("half a turn", 180)):
        share = (high - low) / (travel * yw.deg)
        row = f"{name} {round(share * axis.converter.max_code)} {100 * share:.3g} %"
        assert row in page.words("body")


HOSTILE = "<script>alert(1)</script> & \"half\" 'open' <b>"


def hostile_design():
    quoted = HOSTILE.replace('"', '\\"')
    design = re.sub(r'^title = ".*"$', f'title = "{quoted}"', EXAMPLE.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return design.replace('name = "pitch"', f'name = "{quoted}"')


def test_names_from_the_design_file_stay_text():
    evaluation = yw.rig.Design.parse(hostile_design()).evaluate()
    assert evaluation.title == HOSTILE
    page = Page(yw.report.report_html(evaluation))
    assert not page.all("script")
    assert not page.all("b")
    assert page.words("h1") == HOSTILE
    assert page.words("title") == HOSTILE
    assert any(HOSTILE in picture["alt"] for picture in page.all("img"))
    assert {key for picture in page.all("img") for key in picture} == {"src", "alt", "class"}


def test_missed_targets_are_said_in_words():
    design = re.sub(r"linearity_max_percent = .*", "linearity_max_percent = 0.001", EXAMPLE.read_text(encoding="utf-8"))
    evaluation = yw.rig.Design.parse(design).evaluate()
    assert evaluation.state == "missed"
    words = Page(yw.report.report_html(evaluation)).words("header")
    assert "Not yet" in words
    for axis in evaluation.axes:
        assert f"{axis.name}: " in words


# --- a whole rig ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def rig():
    return yw.rig.Design.load(EXAMPLE.with_name("training_rig.toml")).evaluate()


@pytest.fixture(scope="module")
def rig_page(rig):
    return Page(yw.report.report_html(rig))


def test_every_control_of_a_rig_has_its_section(rig, rig_page):
    headings = rig_page.words("h2")
    for axis in rig.axes:
        assert f"Axis: {axis.name}" in headings
    assert "Both axes of stick" in headings
    assert "Side by side" in headings
    levels = [int(tag[1]) for tag, _, _ in rig_page.tags if re.fullmatch(r"h[1-6]", tag)]
    assert all(after <= before + 1 for before, after in pairwise(levels))
    ids = [attributes["id"] for _, attributes, _ in rig_page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    links = [attributes["href"][1:] for attributes in rig_page.all("a")]
    assert set(links) <= set(ids)


def test_parts_of_every_kind_are_told(rig, rig_page):
    words = rig_page.words("body")
    for text in (
        "Driven through a pedal transmission",
        "potentiometer, 300 deg of electrical travel, 10000 ohm at 3.3 V",
        "angle sensor, 14 bits over the turn",
        "linear Hall sensor, 15 mV/mT at 3.3 V",
        "low-pass of 1592 Hz",
        "8 samples, 0.1 ms apart",
        "Radial offset 0.2 mm",
        # Its magnet, sensor and filter, a quarter of the board, a third of the bolts, the rods.
        f"Price {1.6 + 1.3 + 0.05 + 6.5 / 4 + 8 * 0.95 / 3 + 2 * 6.2:.2f} EUR",
        "Per deg of pivot at the sensor",
        "Per mm of pad or grip",
    ):
        assert text in words, text
    # No picture shows the rounding of a straight line: neither a straight potentiometer's departure.
    assert not any("Departure of the output of axis airbrake" in picture["alt"] for picture in rig_page.all("img"))
    assert any("Departure of the output of axis rudder" in picture["alt"] for picture in rig_page.all("img"))


def test_errors_are_told_with_what_helps(rig, rig_page):
    words = rig_page.words("body")
    for axis in rig.axes:
        budget = axis.error_budget
        largest = budget.largest
        assert f"{largest.cause} {largest.angle / yw.deg:.3g} deg" in words
        assert largest.remedy in words
        assert f"root sum square {budget.root_sum_square / yw.deg:.3g} deg" in words


def test_all_axes_stand_side_by_side(rig, rig_page):
    words = rig_page.words("body")
    side = words[words.index("Side by side Axis") :]
    for control in rig.comparison.controls:
        assert f"{control.name} {control.figures.counts} {100 * control.figures.range_used:.3g} %" in side
        assert f"{control.price:.2f}" in side


def test_what_is_set_and_wired_is_told(rig_page):
    words = rig_page.words("body")
    for text in (
        "pitch: gap 3.3 mm \u00b1 0.2 mm",
        "rudder: gap 5.6 mm \u00b1 0.3 mm",
        "pedal left: joint 0, 70, 90 mm none, none, ± 1 mm",
        # From (0, 70, 90) to (-150, 45, 90) mm.
        f"rudder: left rod, between the centers of its joints {np.hypot(150, 25):.2f} mm none",
        "pitch hall 3.3 V 0.2 to 3.1 V input board A0",
        "trim shaft its own a code none the board select 1",
    ):
        assert text in words, text


def test_tolerances_and_slots_are_told_beside_their_figures():
    text = EXAMPLE.read_text(encoding="utf-8")
    text = text.replace("gap_mm = 3.3", "gap_mm = { value = 3.3, plus_minus = 0.25, coverage_factor = 3 }")
    text = text.replace("arm_mm = 12.0", "arm_mm = { value = 12, sample = [12.1, 11.8, 12.0] }")
    text = text.replace("gap_mm = 3.5", 'gap_mm = { value = 3.5, plus_minus = 0.2, distribution = "uniform" }')
    words = Page(yw.report.report_html(yw.rig.Design.parse(text).evaluate(11))).words("body")
    assert "pitch: gap 3.3 mm ± 0.25 mm, 3 standard deviations" in words
    assert "arm 12 mm 3 measured, 11.8 to 12.1 mm" in words
    assert "roll: gap 3.5 mm ± 0.2 mm, uniform" in words


def test_a_design_whose_controls_are_all_broken_is_a_page():
    text = EXAMPLE.read_text(encoding="utf-8").replace("gap_mm = 3.3", "gap_mm = 3.3\noffset_mm = [-6.0, 0.0, 0.0]")
    text = text.replace("offset_mm = [0.0, 0.3, 0.0]", "offset_mm = [-6.0, 0.0, 0.0]")
    evaluation = yw.rig.Design.parse(text).evaluate(11)
    assert (evaluation.axes, evaluation.comparison, len(evaluation.broken)) == ([], None, 2)
    words = Page(yw.report.report_html(evaluation)).words("body")
    assert "Cannot be evaluated" in words
    assert "Side by side" not in words


# --- import -------------------------------------------------------------------------------------


def test_matplotlib_is_imported_only_for_drawing():
    code = (
        "import sys, yokewright as yw; assert 'matplotlib' not in sys.modules; "
        "yw.plots.plot_curve; assert 'matplotlib' in sys.modules; yw.report.write_report"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_plots_returns_matplotlib_axes():
    assert isinstance(yw.plots.plot_curve(make_axis().sweep(11)), Axes)
    assert isinstance(yw.plots.plot_throw(make_axis()), Figure)
