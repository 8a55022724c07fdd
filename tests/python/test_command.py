"""The parts of the command beside `evaluate`: what they compute, print and write."""

import contextlib
import json
import os
import re
import signal
import subprocess
import sys
import sysconfig
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

import yokewright as yw
from yokewright import deg
from yokewright.command._watch import each_save

EXAMPLES = Path(__file__).parents[2] / "examples"
STICK = EXAMPLES / "trainer_stick.toml"
RIG = EXAMPLES / "training_rig.toml"
COMMAND = Path(sysconfig.get_path("scripts")) / "yokewright"


def run(*arguments, **settings):
    settings = {"capture_output": True, "encoding": "utf-8"} | settings
    return subprocess.run([COMMAND, *map(str, arguments)], text=True, timeout=120, check=False, **settings)


def refused(*arguments, **settings):
    done = run(*arguments, **settings)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    return done.stderr


def in_terminal(*arguments, columns=140):
    """What a person sees whose terminal is so wide, and the exit status."""
    pty = pytest.importorskip("pty")
    own, other = pty.openpty()
    environment = os.environ | {"COLUMNS": str(columns), "LINES": "50", "TERM": "xterm-256color"}
    done = subprocess.Popen([COMMAND, *map(str, arguments)], stdout=other, stderr=other, stdin=other, env=environment)
    os.close(other)
    seen = b""
    with contextlib.suppress(OSError):  # how the end of a terminal shows itself
        while part := os.read(own, 65536):
            seen += part
    os.close(own)
    return seen.decode(), done.wait(timeout=60)


def plain(text):
    """Text without the colors and moves of a terminal."""
    return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", text)


# --- all parts ------------------------------------------------------------------------------------

PARTS = ("evaluate", "report", "search", "tolerance", "latency", "templates", "calibrate", "keys", "schema")


def test_the_help_names_every_part():
    words = run("--help").stdout
    assert [part for part in PARTS if not re.search(rf"^  {part}  ", words, re.M)] == []


@pytest.mark.parametrize("part", PARTS)
def test_every_part_has_a_help_that_fits_a_terminal(part):
    done = run(part, "--help", env=os.environ | {"COLUMNS": "80"})
    assert (done.returncode, done.stderr) == (0, "")
    assert f"yokewright {part}" in done.stdout.splitlines()[0]
    # The cautions are laid out for a page of 96 letters.
    assert max(map(len, done.stdout.splitlines())) <= 96


def test_the_package_itself_needs_no_part_of_the_command():
    code = "import sys, yokewright; print([name for name in ('click', 'rich', 'matplotlib') if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_lines_to_a_pipe_need_no_rich():
    code = (
        "import sys, contextlib, io\n"
        "from yokewright.command import main\n"
        f"main(['evaluate', {str(STICK)!r}])\n"
        "assert 'rich' not in sys.modules and 'matplotlib' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)


# --- a terminal -----------------------------------------------------------------------------------


def test_a_terminal_shows_a_table_of_every_target():
    seen, status = in_terminal("evaluate", STICK)
    assert status == 0
    words = " ".join(re.sub(r"[│┃|]", " ", plain(seen)).split())
    evaluation = yw.rig.Design.load(STICK).evaluate()
    for axis in evaluation.axes:
        for verdict in axis.verdicts:
            assert f"{axis.name} {verdict.target} {verdict.sense} {verdict.wanted:g}" in words
    assert "\x1b[" in seen


def test_a_narrow_terminal_loses_no_letter():
    seen, _ = in_terminal("evaluate", STICK, columns=60)
    assert max(len(line.rstrip()) for line in plain(seen).splitlines()) <= 60
    for word in ("independent", "linearity", "clearance", "range"):
        # A cell may be folded anywhere.
        assert word in plain(seen) or word[:4] in plain(seen)


def test_names_from_the_file_are_no_markup(tmp_path):
    design = tmp_path / "odd.toml"
    text = STICK.read_text(encoding="utf-8").replace('name = "pitch"', 'name = "[red]pitch[/red]"')
    design.write_text(text, encoding="utf-8")
    seen, status = in_terminal("evaluate", design)
    assert status == 0
    assert "[red]pitch[/red]" in plain(seen)


# --- report ---------------------------------------------------------------------------------------


def test_report_goes_where_it_is_told_or_where_one_is(tmp_path):
    page = tmp_path / "page.html"
    done = run("report", STICK, page)
    assert done.returncode == 0
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert f"Page: {page}" in done.stdout
    assert "targets" in done.stdout
    done = run("report", STICK, cwd=tmp_path)
    assert done.returncode == 0
    assert (tmp_path / "trainer_stick.html").read_bytes() == page.read_bytes()


def test_report_never_overwrites_the_design(tmp_path):
    design = tmp_path / "rig.html"
    design.write_bytes(STICK.read_bytes())
    assert "would overwrite the design" in refused("report", design, tmp_path / "." / "rig.html")
    assert "would overwrite the design" in refused("report", "rig.html", cwd=tmp_path)
    assert design.read_bytes() == STICK.read_bytes()


# --- figures on standard output -------------------------------------------------------------------


def test_figures_can_be_printed_instead():
    done = run("evaluate", STICK, "--json", "-")
    assert done.returncode == 0
    assert json.loads(done.stdout) == json.loads(yw.rig.Design.load(STICK).evaluate().to_json())


def test_keys_with_a_word_and_as_json():
    done = run("keys", "gap", "--json", "-")
    rows = json.loads(done.stdout)
    assert rows
    assert all("gap" in row["key"] for row in rows)
    assert [(row["key"], row["allowed"], row["meaning"]) for row in rows] == [
        key for key in yw.rig.DESIGN_KEYS if "gap" in key[0]
    ]
    assert "no key holds 'propeller'" in refused("keys", "propeller")


# --- watching -------------------------------------------------------------------------------------


class Script:
    """An event that nobody sets before its script is through, in a time of its own: what happens when is certain."""

    def __init__(self, *steps):
        self.now, self.steps = 0.0, sorted(steps, key=lambda step: step[0])

    def wait(self, seconds):
        self.now += seconds
        while self.steps and self.steps[0][0] <= self.now:
            self.steps.pop(0)[1]()
        return self.is_set()

    def is_set(self):
        return self.now > 20.0 and not self.steps


def test_each_save_is_seen_once(tmp_path):
    path, seen = tmp_path / "rig.toml", []

    def saved(text):
        return lambda: path.write_text(text, encoding="utf-8")

    def moved():
        (tmp_path / "beside").write_text("four", encoding="utf-8")
        (tmp_path / "beside").rename(path)

    saved("")()
    script = Script(
        # In several goes, as some editors write; taken away and put back, as others do; two saves far apart.
        *((1.0, saved("1")), (1.3, saved("22")), (1.55, saved("333"))),
        *((5.0, path.unlink), (5.6, moved)),
        *((9.0, saved("fiver")), (12.0, saved("sixsix"))),
    )
    each_save(path, lambda: seen.append(path.read_text(encoding="utf-8")), script, clock=lambda: script.now)
    assert seen == ["", "333", "four", "fiver", "sixsix"]


def test_a_save_during_the_work_is_not_missed(tmp_path):
    path, seen = tmp_path / "rig.toml", []
    path.write_text("", encoding="utf-8")

    def work():
        seen.append(path.read_text(encoding="utf-8"))
        if len(seen) == 1:
            path.write_text("meanwhile", encoding="utf-8")

    script = Script()
    each_save(path, work, script, clock=lambda: script.now)
    assert seen == ["", "meanwhile"]


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX signals")
def test_watching_goes_on_after_a_broken_file_until_interrupted(tmp_path):
    design = tmp_path / "rig.toml"
    good = STICK.read_text(encoding="utf-8")
    design.write_text(good, encoding="utf-8")
    settings = {"stdout": subprocess.PIPE, "stderr": subprocess.STDOUT, "encoding": "utf-8"}
    with subprocess.Popen([COMMAND, "evaluate", design, "--watch", "--points", "51"], **settings) as watching:

        def until(word):
            lines = []
            for line in watching.stdout:
                lines.append(line)
                if word in line:
                    return "".join(lines)
            raise AssertionError(f"{word!r} never came: {lines}")

        assert "targets met" in until("Ctrl-C")
        design.write_text(good.replace("gap_mm = ", "gap_mn = ", 1), encoding="utf-8")
        assert "gap_mn" in until("Ctrl-C")
        design.write_text(good, encoding="utf-8")
        assert "targets met" in until("Ctrl-C")
        watching.send_signal(signal.SIGINT)
        assert watching.wait(timeout=30) == 130
        assert "Traceback" not in watching.stdout.read()


# --- search ---------------------------------------------------------------------------------------


def test_every_answer_of_a_search_is_what_the_design_would_give():
    limits = ("--between", "arm", 8, 12, "--between", "gap", 2.5, 4.5, "--step", 0.5)
    done = run("search", RIG, "pitch", *limits, "--json", "-")
    answers = json.loads(done.stdout)
    assert done.returncode == 0
    assert any(answer["state"] != "missed" for answer in answers)
    text = RIG.read_text(encoding="utf-8")
    rig = yw.variations.DesignFile(text, str(RIG))
    for answer in answers:
        keys = answer["keys"]
        assert set(keys) == {"magnet", "arm_mm", "gap_mm"}
        assert 8 <= keys["arm_mm"] <= 12
        assert keys["gap_mm"] * 2 == pytest.approx(round(keys["gap_mm"] * 2), abs=1e-6)
        found = rig.changed(**{f"stick.stick.outer.{key}": value for key, value in keys.items()}).evaluate()
        pitch = next(axis for axis in found.axes if axis.name == "pitch")
        worst = max((verdict.state for verdict in pitch.verdicts), key=["met", "close", "missed"].index)
        assert worst == answer["state"]
        # The answer was judged on the same figures, but for what the stick adds.
        assert pitch.figures.linearity.independent == pytest.approx(answer["summary"]["linearity"], rel=1e-6)


def test_a_search_keeps_as_much_free_as_it_is_told():
    limits = ("--between", "arm", 8, 12, "--between", "gap", 2.5, 4.5, "--step", 0.5, "--keep-free", 20)
    answers = json.loads(run("search", RIG, "pitch", *limits, "--json", "-").stdout)
    assert answers
    rig = yw.variations.DesignFile(RIG.read_text(encoding="utf-8"), str(RIG))
    for answer in answers:
        keys = {f"stick.stick.outer.{key}": value for key, value in answer["keys"].items()}
        pitch = next(axis for axis in rig.changed(**keys).evaluate().axes if axis.name == "pitch")
        low, high = pitch.axis.sensor.output_range
        free = 0.2 * (high - low)
        # The limit is judged between samples too: to a millionth of the range.
        assert pitch.sweep.volts.min() >= low + free - 1e-6
        assert pitch.sweep.volts.max() <= high - free + 1e-6


def test_search_tells_what_is_wrong():
    assert "axis 'yaw': not in the design; known: " in refused("search", RIG, "yaw")
    assert "it has no magnet" in refused("search", RIG, "airbrake")
    assert "measure spacing: an arrangement of this kind has none" in refused(
        "search", RIG, "pitch", "--between", "spacing", 1, 2
    )
    assert "usage: yokewright search" in refused("search", RIG, "pitch", "--between", "beauty", 1, 2)


def test_a_search_that_finds_nothing_ends_with_1_and_says_why():
    done = run("search", RIG, "pitch", "--between", "gap", 30, 40, "--between", "arm", 8, 9, "--step", 1)
    assert done.returncode == 1
    assert "fit" in done.stdout
    assert "Traceback" not in done.stderr


# --- calibrate ------------------------------------------------------------------------------------


def bench(tmp_path, damaged):
    """A sweep there and back over 20 degrees, bent at the ends, with some rows replaced."""
    up = np.linspace(-10, 10, 201)
    angle = np.concatenate([up, up[::-1]])
    noise = np.random.default_rng(3).standard_normal(len(angle))
    count = np.round(2048 + 1900 * np.sin(6 * angle * deg) + noise)
    rows = [f"{a:.3f};{c:.0f}".replace(".", ",") for a, c in zip(angle, count, strict=True)]
    for place, text in damaged.items():
        rows[place] = text
    path = tmp_path / "sweep.csv"
    path.write_text("angle_deg;count\n" + "\n".join(rows), encoding="utf-8")
    return path


def test_calibrate_writes_what_it_is_asked_for(tmp_path):
    path = bench(tmp_path, {10: "oops;1"})
    assert "line 12" in refused("calibrate", path, "--bits", 12)
    outputs = [tmp_path / f"roll.{ending}" for ending in ("c", "rs", "json", "csv")]
    wanted = [text for output in outputs for text in ("--write", output)]
    figures = tmp_path / "figures.json"
    done = run(
        *("calibrate", path, "--bits", 12, "--name", "roll", "--leave-out", "not a number"),
        *(*wanted, "--json", figures),
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "402 rows, 1 doubts, 401 rows used" in done.stdout
    assert re.search(r"12 +not a number +left out +angle 'oops'", done.stdout)
    assert all(output.stat().st_size > 100 for output in outputs)
    # By another route: the library itself.
    log = yw.axis.BenchLog.read(path.read_text(encoding="utf-8"), bits=12)
    calibration = log.sweep(leave_out=["not a number"]).calibrate_table(17)
    assert yw.axis.Calibration.from_json(figures.read_text(encoding="utf-8")) == calibration
    firmware = calibration.firmware("roll", knots=17)
    assert outputs[0].read_text(encoding="utf-8") == firmware.c_source()


def test_a_doubted_row_that_is_used_is_not_said_to_be_left_out(tmp_path):
    # A row that says the one before once more: doubted, and used unless it is left out on request.
    before = bench(tmp_path, {}).read_text(encoding="utf-8").splitlines()[100]
    path = bench(tmp_path, {100: before})
    log = yw.axis.BenchLog.read(path.read_text(encoding="utf-8"), bits=12)
    assert [(doubt.line, doubt.reason) for doubt in log.doubts] == [(102, "duplicate")]
    kept = run("calibrate", path, "--bits", 12)
    assert re.search(r"102 +duplicate +kept", kept.stdout)
    assert "left out" not in kept.stdout
    assert "402 rows used" in kept.stdout
    out = run("calibrate", path, "--bits", 12, "--leave-out", "duplicate")
    assert re.search(r"102 +duplicate +left out", out.stdout)
    assert "401 rows used" in out.stdout


def test_calibrate_refuses_what_it_cannot_write(tmp_path):
    path = bench(tmp_path, {})
    assert "choose one of .json, .c, .rs, .csv" in refused(
        "calibrate", path, "--bits", 12, "--write", tmp_path / "roll.txt"
    )
    assert "would overwrite the sweep" in refused("calibrate", path, "--bits", 12, "--write", path)
    assert "would overwrite" in refused(
        *("calibrate", path, "--bits", 12, "--write", tmp_path / "a.c", "--json", tmp_path / "a.c")
    )
    (tmp_path / "latin.csv").write_bytes("angle_deg;count\n\xe4".encode("latin-1"))
    assert "no UTF-8 text" in refused("calibrate", tmp_path / "latin.csv", "--bits", 12)
    assert "usage: yokewright calibrate" in refused("calibrate", path)


# --- templates ------------------------------------------------------------------------------------


def test_templates_draws_every_part_of_the_rig(tmp_path):
    folder = tmp_path / "sheets"
    done = run("templates", RIG, folder, "--kind", "svg", "--kind", "dxf")
    assert (done.returncode, done.stderr) == (0, "")
    names = {path.name for path in folder.iterdir()}
    for name in ("pitch-magnet-mount", "roll-sensor-mount", "rudder-crank", "rudder-left-pedal", "stick-gate-plate"):
        assert {f"{name}.svg", f"{name}.dxf"} <= names
    assert "Measure the bar" in done.stdout
    # One sheet is what the library draws.
    evaluation = yw.rig.Design.load(RIG).evaluate()
    drawn = yw.templates.design_templates(evaluation).drawn
    assert (folder / "rudder-crank.svg").read_text(encoding="utf-8") == drawn["rudder-crank"].to_svg()
    assert "Not drawn: airbrake: magnet mount" in done.stdout


def test_templates_refuses_a_file_for_a_folder(tmp_path):
    path = tmp_path / "file"
    path.touch()
    assert "not a folder" in refused("templates", RIG, path)
    assert str(tmp_path / "no") in refused("templates", RIG, tmp_path / "no" / "such")


# --- tolerance ------------------------------------------------------------------------------------

FEW = ("--builds", 16, "--seed", 7)


def test_tolerance_counts_the_rigs_that_the_library_counts():
    found = yw.rig.RigYield.from_json(run("tolerance", RIG, *FEW, "--json", "-").stdout)
    assert found == yw.rig.Design.load(RIG).study_yields(16, seed=7)
    done = run("tolerance", RIG, *FEW)
    assert f"{found.passed} of 16 rigs work in every control" in done.stdout
    for control in found.controls:
        assert re.search(rf"^  {control.name} +{100 * control.share:.3g} %", done.stdout, re.M)


def test_tolerance_of_one_control_tells_how_its_figures_spread():
    done = run("tolerance", RIG, "rudder", *FEW)
    yields = yw.rig.Design.load(RIG).study_yields(16, seed=7).control("rudder").yields
    assert f"{yields.passed} of 16 builds work" in done.stdout
    assert "How the builds spread" in done.stdout
    assert "axis 'yaw': not in the design; known: rudder" in refused("tolerance", RIG, "yaw", *FEW)
    # What is asked of the stick as a whole is a control of its own.
    assert "clearance of the stick" in run("tolerance", RIG, "stick", *FEW).stdout


def test_a_yield_that_is_asked_for_is_studied_and_decides_the_exit_status(tmp_path):
    asked = STICK.read_text(encoding="utf-8").replace("gap_mm = 3.3", "gap_mm = { value = 3.3, plus_minus = 1.0 }")
    asked = asked.replace("range_used_min_percent", "yield_min_percent = 99.0\nrange_used_min_percent", 1)
    asked = asked.replace("gap_mm = 3.5", "gap_mm = 3.2")  # with which every target is met
    design = tmp_path / "asked.toml"
    design.write_text(asked, encoding="utf-8")
    assert yw.rig.Design.load(design).evaluate().state == "not studied"
    assert run("evaluate", design, "--builds", 0).returncode == 1
    done = run("evaluate", design, "--builds", 24)
    assert done.returncode == 1
    assert "not studied" not in done.stdout
    assert run("tolerance", design, "--builds", 24).returncode == 1
    design.write_text(asked.replace("99.0", "1.0"), encoding="utf-8")
    assert run("evaluate", design, "--builds", 24).returncode == 0
    assert run("tolerance", design, "--builds", 24).returncode == 0


# --- latency --------------------------------------------------------------------------------------


def test_filmed_runs_in_figures_and_words(tmp_path):
    runs = {"one": [108, 113, 110, 112, 109, 114, 111, 111], "two": [139, 141, 137, 138, 140, 139], "three": [110, 112]}
    rows = ["one;two;three"]
    for place in range(8):
        rows.append(";".join(str(frames[place]) if place < len(frames) else "" for frames in runs.values()))
    path = tmp_path / "filmed.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    figures = json.loads(run("latency", path, "--rate", 1000, "--json", "-").stdout)
    for name, frames in runs.items():
        one = figures["devices"][name]
        assert one["mean"] == pytest.approx(np.mean(frames) / 1000, rel=1e-12)
        assert one["standard_deviation"] == pytest.approx(np.std(frames, ddof=1) / 1000, rel=1e-12)
        half = stats.t.ppf(0.975, len(frames) - 1) * stats.sem(frames) / 1000
        assert one["interval"][1] - one["mean"] == pytest.approx(half, rel=1e-9)
    first = figures["pairs"][0]
    welch = stats.ttest_ind(runs["one"], runs["two"], equal_var=False)
    assert (first["first"], first["second"]) == ("one", "two")
    assert first["p"] == pytest.approx(welch.pvalue, rel=1e-6)
    words = run("latency", path, "--rate", 1000).stdout
    assert "one less two" in words
    assert "differ" in words
    assert "cannot be told apart" in words


def test_latency_of_a_design_is_that_of_its_evaluation():
    done = run("latency", RIG, "--json", "-")
    assert done.returncode == 0
    figures = json.loads(done.stdout)
    budgets = {axis.name: axis.latency for axis in yw.rig.Design.load(RIG).evaluate().axes if axis.latency}
    assert budgets
    assert {name: one["mean"] for name, one in figures.items()} == {name: one.mean for name, one in budgets.items()}
    slowest = max(budgets.values(), key=lambda budget: budget.percentiles[2])
    assert slowest.stage_to_attack().name in run("latency", RIG).stdout


def test_latency_says_what_it_needs(tmp_path):
    (tmp_path / "filmed.csv").write_text("a\n1\n2", encoding="utf-8")
    assert "--rate" in refused("latency", tmp_path / "filmed.csv")
    assert "no stage" in refused("latency", STICK)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "a name for each device"),
        ("a;a\n1;2", "all different"),
        ("a\n1.5", "line 2: '1.5' of 'a' is no number of frames"),
        ("a\n-3", "is no number of frames"),
        ("a\n1;2", "'1;2'"),
        ("a,b\n1,2,3", "3 cells under 2 names"),
    ],
)
def test_filmed_runs_that_are_none(tmp_path, text, says):
    path = tmp_path / "filmed.csv"
    path.write_text(text, encoding="utf-8")
    assert says in refused("latency", path, "--rate", 1000)
