"""Rules that no compiler knows: what the sources must not name, and what the documents must say."""

import doctest
import inspect
import json
import os
import re
import runpy
import subprocess
import sysconfig
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from types import ModuleType

import pytest

import yokewright as yw
from import_circles import circles
from public_names import MODULES, PUBLIC

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src").rglob("*.rs"))
CORE = [path for path in SOURCES if path.relative_to(ROOT).parts[:2] != ("src", "python")]
NOTEBOOKS = sorted((ROOT / "examples").glob("*.ipynb"))
README = (ROOT / "README.md").read_text(encoding="utf-8")

WIDTH = 120
WRITTEN = sorted(
    path
    for folder in ("src", "tests", "benches", "examples", "python")
    for pattern in ("*.rs", "*.py", "*.pyi")
    for path in (ROOT / folder).rglob(pattern)
    if "target" not in path.parts
)

# Each floor imports only from floors below it, and the pillars do not know one another.
FLOORS = [
    {"units", "error", "names", "numeric", "observer", "pose", "parallel", "search", "source", "stored", "written"},
    {"magnet", "hall", "linkage", "spring"},
    {"feel"},
    {"axis"},
    {"rig"},
]
FLOOR = {module: number for number, modules in enumerate(FLOORS) for module in modules}


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def code(path: Path) -> str:
    return re.sub(r"//.*", "", path.read_text(encoding="utf-8"))


def numbered(path: Path) -> Iterator[tuple[int, str]]:
    return enumerate(path.read_text(encoding="utf-8").splitlines(), 1)


def unwrapped(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("path", CORE, ids=short)
def test_the_core_knows_no_python(path: Path) -> None:
    assert re.findall(r"pyo3|numpy::|use numpy", path.read_text(encoding="utf-8")) == []


def test_the_binding_hangs_on_one_line() -> None:
    switch = re.compile(r'#\[cfg\([^\n]*feature = "python"[^\n]*\)\]\s*((?:pub )?mod \w+;)?')
    found = [(short(path), match[1]) for path in CORE for match in switch.finditer(code(path))]
    assert found in ([("src/lib.rs", "mod python;")], [("src/lib.rs", "pub mod python;")])


@pytest.mark.parametrize("path", CORE, ids=short)
def test_floors_import_only_from_below(path: Path) -> None:
    own = path.relative_to(ROOT / "src").with_suffix("").parts[0].removesuffix("_tests")
    if own == "lib":
        pytest.skip("the root holds every floor")
    paths = re.findall(r"\bcrate::(\w+|\{[^;]*\})", code(path))
    used = {word for path in paths for word in re.findall(r"\w+", path) if word in FLOOR}
    allowed = {own} | {name for name in FLOOR if FLOOR[name] < FLOOR[own]} | FLOORS[0]
    assert used - allowed == set()


def test_neighbours_do_not_import_one_another_in_a_circle() -> None:
    assert circles(ROOT / "src") == {}


CIRCLES = {
    "two files": {"a/one.rs": "use crate::a::two::Two;\nstruct One;", "a/two.rs": "use super::one::One;\nstruct Two;"},
    "a file and its folder": {
        "a/one.rs": "use super::Whole;\nstruct One;",
        "a/mod.rs": "mod one;\nstruct Whole(one::One);",
    },
    "past what hands a name on": {
        "a/mod.rs": "mod one;\nmod two;\npub use one::One;",
        "a/one.rs": "fn f() { crate::a::two::two() }\npub struct One;",
        "a/two.rs": "use crate::a::{\n    One,\n};\npub fn two() {}",
    },
    "a file and a folder": {
        "a/one.rs": "use crate::a::b::Two;\nstruct One;",
        "a/b/mod.rs": "use crate::a::one::One;\nstruct Two;",
    },
}


@pytest.mark.parametrize("files", CIRCLES.values(), ids=CIRCLES)
def test_a_circle_of_imports_is_found(tmp_path: Path, files: dict[str, str]) -> None:
    for name, text in {"lib.rs": "mod a;", "a/mod.rs": "mod one;\nmod two;\nmod b;", **files}.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert list(circles(tmp_path)) == [("a",)]


def test_handing_a_name_on_is_no_circle(tmp_path: Path) -> None:
    (tmp_path / "lib.rs").write_text("mod one;\npub use one::One;", encoding="utf-8")
    (tmp_path / "one.rs").write_text("use crate::Two;\n/// crate::One\npub struct One;", encoding="utf-8")
    assert circles(tmp_path) == {}


def test_no_line_is_wider_than_the_page() -> None:
    lines = [(short(path), number) for path in WRITTEN for number, line in numbered(path) if len(line) > WIDTH]
    assert lines == []


def test_no_two_public_types_share_a_name() -> None:
    """Whoever imports everything of two pillars would have neither of the two."""
    homes: dict[str, list[str]] = {}
    for path in CORE:
        for name in re.findall(r"^ *pub (?:struct|enum|trait|type|union) (\w+)", code(path), re.M):
            homes.setdefault(name, []).append(short(path))
    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_no_unsafe(path: Path) -> None:
    assert re.findall(r"\bunsafe\b", code(path)) == []


@pytest.mark.parametrize("name", PUBLIC)
def test_public_names_are_documented(name: str) -> None:
    thing = PUBLIC[name]
    if not (inspect.isclass(thing) or callable(thing)):
        pytest.skip("a constant cannot carry a docstring")
    assert (thing.__doc__ or "").strip()
    if inspect.isclass(thing):
        # Inherited text would speak of another class; `__doc__` alone does not tell.
        assert vars(thing).get("__doc__")
        bare = [
            member
            for member in vars(thing)
            if not member.startswith("_") and not (inspect.getdoc(getattr(thing, member)) or "").strip()
        ]
        assert bare == []


# Those that a job begins with, or ends in.
MAIN_CLASSES = [
    *("Axis", "SwungLayout", "PairLayout", "HeadOnLayout", "ShaftEndLayout"),
    *("Control", "SearchResult", "MagnetGroup", "LinearHall", "Converter"),
    *("AngleSensor", "Potentiometer", "LowPass", "Averaging", "SignalChain", "TypicalPart"),
    *("BallRod", "CenteredFourBar", "FourBar", "Gimbal", "Lever", "PedalPair", "SliderCrank", "UniversalJoint"),
    *("CompressionSpring", "ExtensionSpring", "TorsionSpring"),
]


@pytest.mark.parametrize("name", MAIN_CLASSES)
def test_every_main_class_has_an_example_that_runs(name: str) -> None:
    # Their modules' own examples do not reach every class that is compiled: the finder is told of each.
    found = doctest.DocTestFinder(recurse=False).find(PUBLIC[name], name, module=False, globs={})
    examples = [test for test in found if test.examples]
    assert examples, f"{name} has no example"
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS)
    for test in examples:
        assert runner.run(test).failed == 0


@pytest.mark.parametrize("path", sorted((ROOT / "python" / "yokewright").glob("*.pyi")), ids=short)
def test_stubs_hold_the_docstrings_of_the_wheel(path: Path) -> None:
    script = runpy.run_path(str(ROOT / "python" / "write_stub_docs.py"))
    source = path.read_text(encoding="utf-8")
    assert '"""' in source
    # `make stubs` writes them.
    assert script["with_docs"](source, import_module(f"yokewright.{path.stem}")) == source


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_a_guide_names_what_there_is(module: ModuleType) -> None:
    named = re.findall(r"`(?:yw\.)?(\w+)(?:\(\w*\))?`", module.__doc__ or "")
    assert named
    members = {member for value in PUBLIC.values() if inspect.isclass(value) for member in dir(value)}
    known = {*PUBLIC, *yw.__all__, *members, "plots", "report"}
    assert [name for name in named if name not in known] == []


def test_examples_in_docstrings_run() -> None:
    modules = [yw] + [
        import_module(f"yokewright.{module.name}")
        for module in iter_modules(yw.__path__)
        if not module.name.startswith("_")
    ]
    results = [doctest.testmod(module, optionflags=doctest.ELLIPSIS) for module in modules]
    assert sum(result.attempted for result in results) > 0
    assert sum(result.failed for result in results) == 0


def test_python_in_the_readme_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocks = re.findall(r"^```python\n(.*?)^```$", README, flags=re.MULTILINE | re.DOTALL)
    assert blocks
    # The examples are named as seen from the root of the repository; what they write must not stay there.
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {"__name__": "readme"}
    for block in blocks:
        exec(compile(block, "README.md", "exec"), names)


def test_there_are_notebooks() -> None:
    assert NOTEBOOKS


@pytest.mark.parametrize("path", NOTEBOOKS, ids=short)
def test_notebooks_hold_no_output_and_check_themselves(path: Path) -> None:
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code_cells = [cell for cell in cells if cell["cell_type"] == "code"]
    assert all(cell["outputs"] == [] and cell["execution_count"] is None for cell in code_cells)
    assert any(re.search(r"^\s*assert ", line) for cell in code_cells for line in cell["source"])


def test_the_readme_shows_every_caution() -> None:
    # A quote or list mark at the start of a line is layout, not text.
    text = unwrapped(re.sub(r"^[>*\- ]+", "", README, flags=re.MULTILINE))
    assert yw.CAUTIONS
    assert [caution for caution in yw.CAUTIONS if unwrapped(caution) not in text] == []


def test_the_help_shows_every_caution() -> None:
    command = Path(sysconfig.get_path("scripts")) / "yokewright"
    # Wide and plain: a hyphen at the end of a line, or color, would split a sentence.
    environment = {**os.environ, "COLUMNS": "10000", "NO_COLOR": "1"}
    done = subprocess.run([command, "--help"], capture_output=True, text=True, env=environment, check=True)
    assert yw.CAUTIONS
    assert [caution for caution in yw.CAUTIONS if unwrapped(caution) not in unwrapped(done.stdout)] == []
