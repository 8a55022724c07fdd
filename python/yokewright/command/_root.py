"""The command and its parts, each read when it is asked for."""

import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module

import click

from .. import __version__
from ._ends import UNUSABLE
from ._options import WIDEST, cautions, help_option
from ._outputs import Refused
from ._streams import complain

# Each is a module of its own, with a function of the same name.
_PARTS = (
    "evaluate",
    "report",
    "search",
    "tolerance",
    "latency",
    "templates",
    "calibrate",
    "keys",
    "schema",
)


def run(arguments: Sequence[str]) -> int:
    """Do what the arguments say; the exit status."""
    try:
        # Not through `main`, which would print and end by itself where a stream is gone.
        with yokewright.make_context("yokewright", list(arguments), max_content_width=WIDEST) as context:
            status = yokewright.invoke(context)
    except click.exceptions.Exit as end:  # help, version
        return end.exit_code
    except Refused as refused:
        complain(refused.message)
        return UNUSABLE
    except click.UsageError as error:
        with suppress(OSError):
            print(_usage(error), file=sys.stderr, flush=True)
        return UNUSABLE
    return int(status or 0)


def _usage(error: click.UsageError) -> str:
    context = error.ctx
    usage = [] if context is None else [context.get_usage().replace("Usage:", "usage:", 1)]
    # What is said of missing arguments is the whole help, which nobody has asked for.
    text = "name a command" if isinstance(error, click.exceptions.NoArgsIsHelpError) else error.format_message()
    return "\n".join([*usage, f"yokewright: {text}"])


def _show_version(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        print(f"yokewright {__version__}")
        context.exit()


class _Root(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_PARTS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _PARTS:
            return None
        found: click.Command = getattr(import_module(f".{cmd_name}", __package__), cmd_name)
        return found


yokewright = _Root(
    name="yokewright",
    help="Tells what the sensors, linkages and springs on the controls of a simulator rig will give, before they are "
    "built.",
    epilog=cautions(),
    subcommand_metavar="COMMAND ...",
    add_help_option=False,
    params=[
        help_option(),
        click.Option(
            ["--version"],
            is_flag=True,
            is_eager=True,
            expose_value=False,
            callback=_show_version,
            help="show the version",
        ),
    ],
)
