"""What the parts of the command have in common: their help, their arguments and options."""

import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from .. import CAUTIONS

WIDEST = 96
_WIDTH = WIDEST - 2  # what stands below a help page is set in by as much


def cautions() -> str:
    """What to heed before anything is built, for the end of a help page."""
    lines = [
        textwrap.fill(caution, _WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
        for caution in CAUTIONS
    ]
    return "\n".join(["\b", "before you build:", *lines])


def _show_help(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        # By Python's own stream, whose letters are seen to.
        print(context.get_help())
        context.exit()


def help_option() -> click.Option:
    """Show the help, where it cannot vanish in silence."""
    return click.Option(
        ["--help"], is_flag=True, is_eager=True, expose_value=False, callback=_show_help, help="show this help"
    )


def part(*, epilog: str | None = None, short: str) -> Callable[[Callable[..., int]], click.Command]:
    """Make a part of the command of a function, whose docstring is its help."""

    def made(function: Callable[..., int]) -> click.Command:
        command = click.command(epilog=epilog, short_help=short, add_help_option=False)(function)
        command.params.append(help_option())
        return command

    return made


def design_argument(function: Callable[..., Any]) -> Callable[..., Any]:
    """Take the design file."""
    return click.argument("design", metavar="DESIGN", type=FILE)(function)


# Whether a path can be used is told by what uses it.
FILE = click.Path(path_type=Path, readable=False)


def file_option(name: str, what: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Take the name of a file to write."""
    return click.option(name, metavar="FILE", type=FILE, help=what)


def count(text: str) -> int:
    """A number that the core can take; whether it makes sense there, the core says."""
    if text.isdecimal() and len(text) < 10:
        return int(text)
    raise click.BadParameter(f"{text!r} is no number of things to count")


def points_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Take the number of angles at which a throw is evaluated."""
    return click.option(
        "--points",
        metavar="N",
        type=count,
        default="1001",
        show_default=True,
        help="angles at which each throw is evaluated",
    )(function)


def builds_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Take the number of builds by which the yields are studied that a design asks for."""
    return click.option(
        "--builds",
        metavar="N",
        type=count,
        default="1000",
        show_default=True,
        help="rigs that are built if the design asks for a yield; 0 leaves it unstudied",
    )(function)


def axis_argument(function: Callable[..., Any]) -> Callable[..., Any]:
    """Take the name of an axis of the design."""
    return click.argument("axis", metavar="AXIS")(function)


def switch(name: str, what: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Take something that is wanted or not."""
    return click.option(name, is_flag=True, help=what)
