"""The schema holds a design file to the same table of keys as reading does."""

import json
import re
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

import yokewright as yw

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
TEXT = {path.stem: path.read_text(encoding="utf-8") for path in EXAMPLES}


@pytest.fixture(scope="module")
def schema():
    return json.loads(yw.rig.design_schema())


@pytest.fixture(scope="module")
def validator(schema):
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def test_examples_are_valid(validator):
    assert TEXT
    for name, text in TEXT.items():
        errors = [error.message for error in validator.iter_errors(tomllib.loads(text))]
        assert errors == [], name


def test_every_key_is_in_the_schema(schema):
    for path, allowed, _ in yw.rig.DESIGN_KEYS:
        section, _, key = path.rpartition(".")
        section = section.removesuffix(".NAME")
        where = schema["$defs"][section] if section else schema
        found = [where["properties"].get(key)]
        found += [case["then"].get("properties", {}).get(key) for case in where.get("allOf", []) if "then" in case]
        told = [one["description"] for one in found if isinstance(one, dict)]
        assert any(text.startswith(f"{allowed}: ") for text in told), path


# What is wrong with the rig: what is changed into what.
WRONG = {
    "a typo": ("gap_mm = 2.0", "gap_nm = 2.0"),
    "out of range": ("gap_mm = 2.0", "gap_mm = 300.0"),
    "text for a number": ("gap_mm = 2.0", 'gap_mm = "2.0"'),
    "a number missing": ("gap_mm = 2.0\n", ""),
    "too few numbers": ("size_mm = [8.0, 8.0, 8.0]", "size_mm = [8.0, 8.0]"),
    "a key of another kind": ("lever_mm = 60.0", "lever_mm = 60.0\narm_mm = 10.0"),
    "a word that is none": ('kind = "pedals"', 'kind = "paddles"'),
    "a fraction of a sample": ("samples = 8", "samples = 8.5"),
    "no axis of a stick": ("[stick.inner]", "[stick.inside]"),
    "no title": ("title = ", "heading = "),
    "neither polarization nor grade": ('grade = "N42"', ""),
    "points without a table": ('calibration = "table"\n', ""),
    "a target that is none": ("counts_min = 500.0", "count_min = 500.0"),
    "a name of too many letters": ('name = "trim"', f'name = "{"x" * 61}"'),
}


@pytest.mark.parametrize("mistake", WRONG)
def test_what_reading_refuses_the_schema_refuses(validator, mistake):
    old, new = WRONG[mistake]
    text = TEXT["training_rig"]
    assert old in text
    wrong = text.replace(old, new, 1)
    with pytest.raises(yw.DesignFileError):
        yw.rig.Design.parse(wrong)
    assert list(validator.iter_errors(tomllib.loads(wrong)))


def test_each_range_is_that_of_the_table(schema):
    """The numbers of a range as the table of keys tells them."""
    checked = 0
    for path, allowed, _ in yw.rig.DESIGN_KEYS:
        said = re.fullmatch(r"a number from (\S+) to (\S+)( .*)?", allowed)
        if said is None:
            continue
        section, _, key = path.rpartition(".")
        where = schema["$defs"][section.removesuffix(".NAME")]
        cases = [where] + [case["then"] for case in where.get("allOf", []) if "then" in case]
        found = [case.get("properties", {}).get(key) for case in cases]
        # Of a number that may have a tolerance the plain one comes first.
        plain = [one.get("anyOf", [one])[0] for one in found if isinstance(one, dict)]
        ranges = [(one["minimum"], one["maximum"]) for one in plain]
        assert (float(said[1]), float(said[2])) in ranges, path
        checked += 1
    assert checked > 50
