"""The command `yokewright`: evaluate a design file, or list what one may hold."""

import argparse
import os
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path

from . import CAUTIONS, DESIGN_KEYS, Design, YokewrightError, __version__

PASSED, MISSED, UNUSABLE = 0, 1, 2
_WIDTH = 96


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status; bad usage exits with status 2 from within argparse."""
    options = _parser().parse_args(arguments)
    try:
        status: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader (`... | head`) has gone; without this Python would complain once more at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UNUSABLE
    except YokewrightError as error:
        print(f"yokewright: {error}", file=sys.stderr)
        return UNUSABLE
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        print(f"yokewright: {place}{error.strerror or error}", file=sys.stderr)
        return UNUSABLE
    return status


def _evaluate(options: argparse.Namespace) -> int:
    evaluation = Design.load(options.design).evaluate(options.points)
    print(str(evaluation).rstrip())
    if options.json is not None:
        options.json.write_text(evaluation.to_json() + "\n", encoding="utf-8", newline="\n")
        print(f"Figures: {options.json}")
    if options.report is not None:
        from .report import write_report  # matplotlib is slow to import and not every run draws

        print(f"Report: {write_report(evaluation, options.report)}")
    return MISSED if evaluation.state == "missed" else PASSED


def _keys(_: argparse.Namespace) -> int:
    for key, allowed, meaning in DESIGN_KEYS:
        print(f"{key}: {allowed}")
        print(
            textwrap.fill(
                meaning, _WIDTH, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False
            )
        )
    return PASSED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="yokewright",
        description="Tells what a magnet and a linear Hall sensor on a simulator control will give, "
        "before it is built.",
        epilog=_cautions(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"yokewright {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    evaluate = commands.add_parser(
        "evaluate",
        help="evaluate a design file against its targets",
        description="Evaluates every axis of a design file against its targets.",
        epilog="exit status:\n"
        "  0  every target is met, or missed by no more than a tenth (close)\n"
        "  1  a target is missed by more, or has no value\n"
        "  2  the design or the command cannot be used; the reason is on standard error\n\n" + _cautions(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    evaluate.add_argument("design", metavar="DESIGN", type=Path, help="design file (TOML)")
    evaluate.add_argument(
        "--report", metavar="FILE", type=Path, help="also write a page with drawings (HTML)"
    )
    evaluate.add_argument(
        "--json", metavar="FILE", type=Path, help="also write every figure for other programs"
    )
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
    return parser


def _count(text: str) -> int:
    """A number that the core can take; whether it makes a sweep, the core says."""
    if text.isdecimal() and len(text) < 10:
        return int(text)
    raise argparse.ArgumentTypeError(f"'{text}' is not a number of points")


def _cautions() -> str:
    lines = [
        textwrap.fill(
            caution, _WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False
        )
        for caution in CAUTIONS
    ]
    return "\n".join(["before you build:", *lines])
