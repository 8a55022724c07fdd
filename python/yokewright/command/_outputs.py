"""What the command writes besides what it prints."""

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import click

from .._files import refusal, write_whole
from ._ends import UNWRITTEN
from ._streams import complain

STANDARD_OUTPUT = Path("-")


@dataclass(frozen=True)
class Output:
    """A file to write: what it is, where it goes (nowhere if None), how its text is made."""

    name: str
    path: Path | None
    make: Callable[[], str]


def refuse(inputs: Mapping[str, Path], outputs: Mapping[str, Path | None]) -> None:
    """End the command before any work if an output must not be written."""
    wanted = {name: path for name, path in outputs.items() if path is not None and path != STANDARD_OUTPUT}
    reason = refusal(inputs, wanted)
    if reason is not None:
        raise Refused(reason)
    printed = [name for name, path in outputs.items() if path == STANDARD_OUTPUT]
    if len(printed) > 1:
        raise Refused(f"standard output: the {printed[1]} would be mixed with the {printed[0]}")


class Refused(click.ClickException):
    """An output that must not be written."""


def deliver(outputs: list[Output], show: Callable[[], None], status: int) -> int:
    """Write the files, then print; files first: they are wanted even if nobody reads on to the end.

    What goes to standard output itself takes the place of what would be printed. Gives the exit status: `status` if
    everything could be written.
    """
    texts = [(output.name, output.path, output.make()) for output in outputs if output.path is not None]
    written, printed, failed = [], None, False
    for name, path, text in texts:
        if path == STANDARD_OUTPUT:
            printed = text
            continue
        try:
            write_whole(path, text)
        except OSError as error:
            complain(f"{path}: {error.strerror}")
            failed = True
        else:
            written.append(f"{name[:1].upper()}{name[1:]}: {path}")
    if printed is None:
        show()
        for line in written:
            print(line)
    else:
        sys.stdout.write(printed)
    return UNWRITTEN if failed else status
