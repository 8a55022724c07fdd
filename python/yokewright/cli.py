"""The command `yokewright`: evaluate a design file, or list what one may hold."""

import argparse
import codecs
import errno
import io
import os
import sys
import textwrap
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from . import CAUTIONS, YokewrightError, __version__
from ._files import refusal, write_whole
from .rig import DESIGN_KEYS, Design, design_schema

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

PASSED, MISSED, UNUSABLE, UNWRITTEN, INTERRUPTED = 0, 1, 2, 3, 130
_WIDTH = 96


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status, also for bad usage."""
    closed = _prepare_streams()
    try:
        status = _run(arguments)
        # Here rather than at exit, where Python would answer a failure with a traceback.
        sys.stdout.flush()
        if closed and status != UNUSABLE:
            raise OSError(errno.EBADF, "closed")
    except KeyboardInterrupt:
        return INTERRUPTED
    except YokewrightError as error:
        _complain(str(error))
        return UNUSABLE
    except BrokenPipeError:
        # The reader (`... | head`) has gone and knows it.
        _discard_output()
        return UNWRITTEN
    except OSError as error:
        if error.filename is not None:
            _complain(f"{error.filename}: {error.strerror or error}")
            return UNUSABLE
        _complain(f"standard output: {error.strerror or error}")
        _discard_output()
        return UNWRITTEN
    return status


def _run(arguments: Sequence[str] | None) -> int:
    try:
        options = _parser().parse_args(arguments)
    except SystemExit as end:  # help, version, bad usage
        return end.code if isinstance(end.code, int) else PASSED
    status: int = options.run(options)
    return status


def _prepare_streams() -> bool:
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


def _complain(text: str) -> None:
    with suppress(OSError):
        print(f"yokewright: {text}", file=sys.stderr, flush=True)


def _discard_output() -> None:
    """Send what is still to be printed nowhere, or Python would try once more at exit, and complain."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    with suppress(OSError, ValueError):
        os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def _evaluate(options: argparse.Namespace) -> int:
    outputs = {"file of figures": options.json, "report": options.report}
    outputs = {name: path for name, path in outputs.items() if path is not None}
    refused = refusal({"design": options.design}, outputs)
    if refused is not None:
        _complain(refused)
        return UNUSABLE

    evaluation = Design.load(options.design).evaluate(options.points)
    texts = []
    if options.json is not None:
        texts.append(("Figures", options.json, evaluation.to_json() + "\n"))
    if options.report is not None:
        from .report import report_html  # matplotlib is slow to import and not every run draws

        texts.append(("Report", options.report, report_html(evaluation)))

    # Files first: they are wanted even if nobody reads on to the end of what is printed.
    written, failed = [str(evaluation).rstrip()], False
    for name, path, text in texts:
        try:
            write_whole(path, text)
        except OSError as error:
            _complain(f"{path}: {error.strerror}")
            failed = True
        else:
            written.append(f"{name}: {path}")
    print("\n".join(written))
    if failed:
        return UNWRITTEN
    return MISSED if evaluation.state == "missed" else PASSED


def _keys(_: argparse.Namespace) -> int:
    for key, allowed, meaning in DESIGN_KEYS:
        print(f"{key}: {allowed}")
        print(textwrap.fill(meaning, _WIDTH, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False))
    return PASSED


def _schema(_: argparse.Namespace) -> int:
    print(design_schema())
    return PASSED


class _Parser(argparse.ArgumentParser):
    """A parser whose help does not vanish in silence when it cannot be printed."""

    def _print_message(self, message: str, file: "SupportsWrite[str] | None" = None) -> None:
        if message:
            (sys.stderr if file is None else file).write(message)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="yokewright",
        description="Tells what the sensors on the controls of a simulator rig will give, before they are built.",
        epilog=_cautions(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"yokewright {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    evaluate = commands.add_parser(
        "evaluate",
        help="evaluate a design file against its targets",
        description="Evaluates every axis and stick of a design file against its targets.",
        epilog="exit status:\n"
        "  0  every target is met, or missed by no more than a tenth (close)\n"
        "  1  a target is missed by more or has no value, or a control cannot be evaluated\n"
        "  2  the design or the command cannot be used; the reason is on standard error\n"
        "  3  a file or what is printed could not be written; every other file is complete\n"
        "  130  interrupted from the keyboard\n\n" + _cautions(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    evaluate.add_argument("design", metavar="DESIGN", type=Path, help="design file (TOML)")
    evaluate.add_argument("--report", metavar="FILE", type=Path, help="also write a page with drawings (HTML)")
    evaluate.add_argument("--json", metavar="FILE", type=Path, help="also write every figure for other programs")
    evaluate.add_argument(
        "--points",
        metavar="N",
        type=_count,
        default=1001,
        help="angles at which the throw is evaluated (default: %(default)s)",
    )
    evaluate.set_defaults(run=_evaluate)

    keys = commands.add_parser(
        "keys",
        help="list every key of a design file with its allowed range and meaning",
        description="Lists every key of a design file with its allowed range and meaning.",
    )
    keys.set_defaults(run=_keys)

    schema = commands.add_parser(
        "schema",
        help="print a JSON Schema of design files, for editors",
        description="Prints a JSON Schema of design files, by which editors complete and check one as it is written.",
    )
    schema.set_defaults(run=_schema)
    return parser


def _count(text: str) -> int:
    """A number that the core can take; whether it makes a sweep, the core says."""
    if text.isdecimal() and len(text) < 10:
        return int(text)
    raise argparse.ArgumentTypeError(f"'{text}' is not a number of points")


def _cautions() -> str:
    lines = [
        textwrap.fill(caution, _WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
        for caution in CAUTIONS
    ]
    return "\n".join(["before you build:", *lines])
