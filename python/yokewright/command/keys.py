"""`yokewright keys`: what a design file may hold."""

import json as json_text
import textwrap
from pathlib import Path

import click

from ..rig import DESIGN_KEYS
from ._ends import PASSED, UNUSABLE
from ._options import file_option, part
from ._outputs import Output, deliver, refuse
from ._show import in_terminal, show
from ._streams import complain

_WIDTH = 96


@part(short="list the keys of a design file with their allowed ranges and meanings")
@click.argument("word", metavar="[WORD]", required=False)
@file_option("--json", "also write them for other programs; - prints them instead")
def keys(word: str | None, json: Path | None) -> int:
    """List every key of a design file with its allowed range and meaning; with WORD, those that hold it."""
    refuse({}, {"file of keys": json})
    found = [key for key in DESIGN_KEYS if word is None or word.casefold() in key[0].casefold()]
    if not found:
        complain(f"no key holds {word!r}")
        return UNUSABLE
    rows = [dict(zip(("key", "allowed", "meaning"), key, strict=True)) for key in found]
    output = Output("keys", json, lambda: json_text.dumps(rows, indent=2, ensure_ascii=False) + "\n")
    return deliver([output], lambda: _print(found), PASSED)


def _print(found: list[tuple[str, str, str]]) -> None:
    if in_terminal():
        from .._tables import table

        show([table("Keys of a design file", ("Key", "Allowed", "Meaning"), found)])
        return
    for key, allowed, meaning in found:
        print(f"{key}: {allowed}")
        print(textwrap.fill(meaning, _WIDTH, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False))
