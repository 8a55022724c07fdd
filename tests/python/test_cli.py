"""The installed command: what it prints, what it writes, and how it ends."""

import json
import os
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


def run(*arguments, command=COMMAND, **settings):
    settings = {"capture_output": True, "encoding": "utf-8"} | settings
    return subprocess.run([*command, *map(str, arguments)], text=True, timeout=120, check=False, **settings)


def copied(tmp_path, name="mine.toml"):
    path = tmp_path / name
    path.write_bytes(EXAMPLE.read_bytes())
    return path


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
    assert done.stdout == str(yw.rig.Design.load(EXAMPLE).evaluate()).rstrip() + "\n"
    assert done.stderr == ""
    assert done.returncode == 0


def test_the_example_has_a_target_that_is_only_just_met():
    assert yw.rig.Design.load(EXAMPLE).evaluate().state == "close"


def test_evaluate_writes_report_and_figures(tmp_path):
    report, figures = tmp_path / "stick.html", tmp_path / "stick.json"
    done = run("evaluate", EXAMPLE, "--report", report, "--json", figures, "--points", 201)
    assert done.returncode == 0
    assert str(report) in done.stdout
    assert str(figures) in done.stdout
    assert report.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    evaluation = yw.rig.Design.load(EXAMPLE).evaluate(201)
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
    assert yw.rig.DESIGN_KEYS
    for key, allowed, meaning in yw.rig.DESIGN_KEYS:
        assert f"{key}: {allowed} {meaning}" in words


def test_schema_is_printed():
    done = run("schema")
    assert done.returncode == 0
    assert json.loads(done.stdout) == json.loads(yw.rig.design_schema())


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


# --- outputs ------------------------------------------------------------------------------------


def hard_link(path):
    other = path.with_name("linked")
    os.link(path, other)
    return other


def symbolic_link(path):
    other = path.with_name("linked")
    other.symlink_to(path)
    return other


SPELLINGS = {
    "same": lambda path: path,
    "roundabout": lambda path: path.parent / "inner" / ".." / path.name,
    "hard link": hard_link,
    "symbolic link": symbolic_link,
}


@pytest.mark.parametrize("spelling", SPELLINGS)
@pytest.mark.parametrize("option", ["--report", "--json"])
def test_the_design_is_never_written_over(tmp_path, option, spelling):
    (tmp_path / "inner").mkdir()
    design = copied(tmp_path)
    output = SPELLINGS[spelling](design)
    assert f"{output}: the " in refused("evaluate", design, option, output)
    assert design.read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_two_outputs_never_share_a_file(tmp_path, spelling):
    (tmp_path / "inner").mkdir()
    first = tmp_path / "out"
    first.write_text("old", encoding="utf-8")
    output = SPELLINGS[spelling](first)
    message = refused("evaluate", EXAMPLE, "--json", first, "--report", output)
    assert message == f"yokewright: {output}: the report would overwrite the file of figures\n"
    assert first.read_text(encoding="utf-8") == "old"


@pytest.mark.parametrize(
    ("first", "second"), [("out", "out"), ("Out", "oUT"), ("\u00e9", "e\u0301"), ("STRASSE", "stra\u00dfe")]
)
def test_two_new_names_that_many_disks_take_for_one_are_refused(tmp_path, first, second):
    (tmp_path / "inner").mkdir()
    outputs = tmp_path / first, tmp_path / "inner" / ".." / second
    assert "would overwrite" in refused("evaluate", EXAMPLE, "--json", outputs[0], "--report", outputs[1])
    assert [path.name for path in tmp_path.iterdir()] == ["inner"]


def test_one_name_in_two_folders_is_two_files(tmp_path):
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
    outputs = tmp_path / "a" / "out", tmp_path / "b" / "out"
    assert run("evaluate", EXAMPLE, "--json", outputs[0], "--report", outputs[1]).returncode == 0
    assert json.loads(outputs[0].read_text(encoding="utf-8"))
    assert outputs[1].read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions")
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o666])
def test_file_written_anew_keeps_its_permissions(tmp_path, mode):
    output = tmp_path / "out.json"
    output.write_text("old", encoding="utf-8")
    output.chmod(mode)
    assert run("evaluate", EXAMPLE, "--json", output).returncode == 0
    assert output.stat().st_mode & 0o777 == mode
    assert json.loads(output.read_text(encoding="utf-8"))


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX permissions")
def test_new_file_gets_the_permissions_of_new_files(tmp_path):
    plain, output = tmp_path / "plain", tmp_path / "out.json"
    plain.touch()
    assert run("evaluate", EXAMPLE, "--json", output).returncode == 0
    assert output.stat().st_mode == plain.stat().st_mode


def test_link_is_written_through(tmp_path):
    (tmp_path / "inner").mkdir()
    target = tmp_path / "inner" / "target.json"
    link = tmp_path / "link.json"
    link.symlink_to(target)
    for _ in range(2):  # dangling the first time
        assert run("evaluate", EXAMPLE, "--json", link).returncode == 0
        assert link.is_symlink()
        assert json.loads(target.read_text(encoding="utf-8"))
        assert list(target.parent.iterdir()) == [target]
        target.write_text("old", encoding="utf-8")


@pytest.mark.parametrize("option", ["--report", "--json"])
def test_folder_is_no_output(tmp_path, option):
    assert f"{tmp_path}: " in refused("evaluate", EXAMPLE, option, tmp_path)


def full_disk():
    import resource

    # Any file may grow to 1 KiB; Python is told so by an error instead of the signal.
    resource.setrlimit(resource.RLIMIT_FSIZE, (1024, 1024))


@pytest.mark.skipif(sys.platform == "win32", reason="needs resource limits")
@pytest.mark.parametrize("option", ["--report", "--json"])
@pytest.mark.parametrize("old", ["old", None])
def test_full_disk_leaves_the_old_file_and_names_it(tmp_path, option, old):
    output = tmp_path / "output"
    if old is not None:
        output.write_text(old, encoding="utf-8")
    done = run("evaluate", EXAMPLE, option, output, preexec_fn=full_disk)
    assert done.returncode == 3
    assert done.stderr.splitlines()[-1] == f"yokewright: {output}: File too large"
    assert "Traceback" not in done.stderr
    assert "12 targets" in done.stdout  # the evaluation is told all the same
    left = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()}
    assert left == ({} if old is None else {"output": old})


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="needs /dev/stdout")
def test_figures_may_go_down_a_pipe():
    done = run("evaluate", EXAMPLE, "--json", "/dev/stdout")
    assert done.returncode == 0
    figures, end = json.JSONDecoder().raw_decode(done.stdout)
    assert figures == json.loads(yw.rig.Design.load(EXAMPLE).evaluate().to_json())
    assert done.stdout[end:].startswith("\nTwo-seat training rig")


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="needs /dev/stdout")
@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_output_never_replaces_the_file_that_printing_goes_to(tmp_path, stream):
    log = tmp_path / "log"
    with log.open("w", encoding="utf-8") as file:
        settings = {"capture_output": False, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
        done = run("evaluate", EXAMPLE, "--json", f"/dev/{stream}", **settings | {stream: file})
    assert done.returncode == 2
    said = (done.stderr or "") + log.read_text(encoding="utf-8")
    assert said == f"yokewright: /dev/{stream}: the file of figures would overwrite what the command prints\n"


def test_report_from_python_spares_its_design(tmp_path):
    design = copied(tmp_path)
    evaluation = yw.rig.Design.load(design).evaluate(11)
    with pytest.raises(yw.InvalidValueError, match="would overwrite the design"):
        yw.report.write_report(evaluation, symbolic_link(design))
    assert design.read_bytes() == EXAMPLE.read_bytes()
    # The name of a design that was read from text is no file.
    parsed = yw.rig.Design.parse(EXAMPLE.read_text(encoding="utf-8"), "x" * 5000).evaluate(11)
    assert yw.report.write_report(parsed, tmp_path / "new.html").stat().st_size > 0


# --- printing -----------------------------------------------------------------------------------


def environment(**changes):
    return os.environ | {"PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"} | changes


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "ascii:surrogateescape"])
def test_terminal_that_cannot_show_a_character_shows_another(tmp_path, encoding):
    design = tmp_path / "\u2192.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace("front stick", "front \u2192 stick")
    design.write_text(text, encoding="utf-8")
    settings = {"env": environment(PYTHONIOENCODING=encoding), "encoding": encoding.partition(":")[0]}
    done = run("evaluate", design, "--json", tmp_path / "\u2192.json", **settings)
    assert (done.returncode, done.stderr) == (0, "")
    assert "front ? stick" in done.stdout
    assert "?.json" in done.stdout
    done = run("evaluate", design, "--points", "2", **settings)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_replacement_that_the_user_has_chosen_stays(tmp_path):
    design = tmp_path / "design.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace("front stick", "front \u2192 stick")
    design.write_text(text, encoding="utf-8")
    chosen = environment(PYTHONIOENCODING="ascii:xmlcharrefreplace")
    assert "front &#8594; stick" in run("evaluate", design, env=chosen).stdout


ENDINGS = [("keys",), ("schema",), ("evaluate", EXAMPLE), ("--help",), ("evaluate", "--help"), ("--version",)]


@pytest.mark.parametrize("arguments", ENDINGS)
@pytest.mark.parametrize("buffered", ["", "1"])
def test_reader_that_leaves_early_gets_no_traceback(arguments, buffered):
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb") as stream:
        settings = {"capture_output": False, "stdout": stream, "stderr": subprocess.PIPE}
        done = run(*arguments, **settings, env=environment(PYTHONUNBUFFERED=buffered))
    assert done.stderr == ""
    assert done.returncode == 3


@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell with >&-")
@pytest.mark.parametrize("arguments", ENDINGS)
def test_closed_output_is_said_and_is_no_missed_target(arguments):
    shell = ["sh", "-c", 'exec "$0" "$@" >&-']
    done = run(*arguments, command=[*shell, *map(str, COMMAND)])
    assert done.stderr == "yokewright: standard output: closed\n"
    assert done.returncode == 3
    mute = run(*arguments, command=["sh", "-c", 'exec "$0" "$@" >&- 2>&-', *map(str, COMMAND)])
    assert (mute.returncode, mute.stdout, mute.stderr) == (3, "", "")


def test_closed_errors_do_not_spill_into_the_output(tmp_path):
    shell = ["sh", "-c", 'exec "$0" "$@" 2>&-', *map(str, COMMAND)]
    done = run("evaluate", tmp_path / "nowhere.toml", command=shell)
    assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
@pytest.mark.parametrize("arguments", ENDINGS)
def test_full_disk_behind_the_output_is_said(arguments):
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        settings = {"capture_output": False, "stdout": full, "stderr": subprocess.PIPE}
        done = run(*arguments, **settings)
    assert done.stderr == "yokewright: standard output: No space left on device\n"
    assert done.returncode == 3


def test_files_are_written_even_if_nobody_reads_on(tmp_path):
    output = tmp_path / "out.json"
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb") as stream:
        settings = {"capture_output": False, "stdout": stream, "stderr": subprocess.PIPE}
        assert run("evaluate", EXAMPLE, "--json", output, **settings).returncode == 3
    assert json.loads(output.read_text(encoding="utf-8"))


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX signals")
def test_interrupt_ends_with_130_and_no_traceback():
    code = (
        "import os, signal, sys, threading\n"
        "from yokewright import command\n"
        "import yokewright.command.evaluate\n"
        "class Design:\n"
        "    def load(path):\n"
        "        os.kill(os.getpid(), signal.SIGINT)\n"
        "        threading.Event().wait(60)\n"
        "sys.modules['yokewright.command.evaluate'].Design = Design\n"
        f"sys.exit(command.main(['evaluate', {str(EXAMPLE)!r}]))\n"
    )
    done = run("-c", code, command=[sys.executable])
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")
