"""The README's Python examples run as printed."""

import re
from pathlib import Path

import pytest

README = Path(__file__).parents[2] / "README.md"
BLOCKS = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), flags=re.DOTALL)


def test_there_are_examples():
    assert BLOCKS


@pytest.mark.parametrize("source", BLOCKS)
def test_example_runs(source):
    exec(compile(source, str(README), "exec"), {})
