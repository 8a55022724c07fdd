"""The installed command: what it prints, what it writes, and how it ends."""

import json
import re
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

import yokewright as yw

EXAMPLE = Path(__file__).parents[2] / "examples" / "trainer_stick.toml"
COMMAND = [Path(sysconfig.get_path("scripts")) / "yokewright"]
MODULE = [sys.executable, "-m", "yokewright"]


def run(*arguments, command=COMMAND):
    return subprocess.run(
        [*command, *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


def refused(*arguments):
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    return done.stderr


def with_target(tmp_path, key, value):
    design = re.sub(rf"{key} = .*", f"{key} = {value}", EXAMPLE.read_text(encoding="utf-8"))
    path = tmp_path / "changed.toml"
    path.write_text(design, encoding="utf-8")
    return path


def test_evaluate_prints_the_evaluation():
    done = run("evaluate", EXAMPLE)
    assert done.stdout == str(yw.Design.load(EXAMPLE).evaluate()).rstrip() + "\n"
    assert done.stderr == ""
    assert done.returncode == 0


def test_the_example_has_a_target_that_is_only_just_met():
    assert yw.Design.load(EXAMPLE).evaluate().state == "close"


def test_evaluate_writes_report_and_figures(tmp_path):
    report, figures = tmp_path / "stick.html", tmp_path / "stick.json"
    done = run("evaluate", EXAMPLE, "--report", report, "--json", figures, "--points", 201)
    assert done.returncode == 0
    assert str(report) in done.stdout
    assert str(figures) in done.stdout
    assert report.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    evaluation = yw.Design.load(EXAMPLE).evaluate(201)
    assert json.loads(figures.read_text(encoding="utf-8")) == json.loads(evaluation.to_json())


def test_missed_target_ends_with_1(tmp_path):
    done = run("evaluate", with_target(tmp_path, "linearity_max_percent", "0.001"))
    assert "missed" in done.stdout
    assert done.returncode == 1


def test_bad_design_ends_with_2(tmp_path):
    message = refused("evaluate", with_target(tmp_path, "gap_mm", "-1.0"))
    assert "changed.toml" in message
    assert "gap_mm" in message


def test_missing_design_ends_with_2(tmp_path):
    assert "nowhere.toml" in refused("evaluate", tmp_path / "nowhere.toml")


def test_folder_instead_of_a_design_ends_with_2(tmp_path):
    assert str(tmp_path) in refused("evaluate", tmp_path)


@pytest.mark.parametrize("option", ["--report", "--json"])
def test_place_that_cannot_be_written_ends_with_2(tmp_path, option):
    done = run("evaluate", EXAMPLE, option, tmp_path / "missing" / "file")
    assert done.returncode == 2
    assert "missing" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("points", ["2", "0", "-5", "many", "1.5", "1" * 30])
def test_points_that_make_no_sweep_end_with_2(points):
    assert "points" in refused("evaluate", EXAMPLE, "--points", points)


@pytest.mark.parametrize("arguments", [[], ["fly"], ["evaluate"], ["evaluate", EXAMPLE, "--color"]])
def test_bad_usage_ends_with_2(arguments):
    assert "usage: yokewright" in refused(*arguments)


def test_keys_lists_every_key_with_range_and_meaning():
    done = run("keys")
    assert done.returncode == 0
    words = " ".join(done.stdout.split())
    assert yw.DESIGN_KEYS
    for key, allowed, meaning in yw.DESIGN_KEYS:
        assert f"{key}: {allowed} {meaning}" in words


@pytest.mark.parametrize("arguments", [["--help"], ["evaluate", "--help"]])
def test_help_shows_the_cautions(arguments):
    done = run(*arguments)
    assert done.returncode == 0
    words = " ".join(done.stdout.split())
    for caution in yw.CAUTIONS:
        assert " ".join(caution.split()) in words


def test_version():
    assert run("--version").stdout == f"yokewright {yw.__version__}\n"


def test_module_is_the_same_command():
    assert run("keys", command=MODULE).stdout == run("keys").stdout
    assert run("fly", command=MODULE).returncode == 2


def test_reader_that_leaves_early_gets_no_traceback():
    listing = subprocess.Popen([*COMMAND, "keys"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    listing.stdout.close()
    message = listing.stderr.read()
    listing.stderr.close()
    listing.wait(timeout=60)
    assert message == b""
