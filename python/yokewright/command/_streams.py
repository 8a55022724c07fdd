"""Standard output and standard error as they may be found: closed, full, without letters for all that is said."""

import codecs
import io
import os
import sys
from contextlib import suppress
from pathlib import Path


def prepare_streams() -> bool:
    """Make sure that text can be printed, if need be with replacement characters; tell whether it is lost."""
    closed = sys.stdout is None
    # Python leaves None where it found a closed stream, and prints nothing or on the other stream instead.
    if sys.stdout is None:
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and not _shows_everything(stream):
            stream.reconfigure(errors="replace")
    return closed


def _shows_everything(stream: io.TextIOWrapper) -> bool:
    """Whether printing to a stream cannot fail for want of a character."""
    if stream.errors == "surrogateescape":
        return codecs.lookup(stream.encoding).name == "utf-8"
    return stream.errors != "strict"


def complain(text: str) -> None:
    """Say what is wrong, on standard error."""
    with suppress(OSError):
        print(f"yokewright: {text}", file=sys.stderr, flush=True)


def discard_output() -> None:
    """Send what is still to be printed nowhere, or Python would try once more at exit, and complain."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    with suppress(OSError, ValueError):
        os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
