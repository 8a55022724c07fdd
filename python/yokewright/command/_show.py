"""What is shown: tables with color and progress in a terminal, plain lines to a file or a pipe."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from .. import Observer
from .._tables import Table, text


def in_terminal() -> bool:
    """Whether a person reads along."""
    return sys.stdout.isatty()


def show(shown: Sequence[Table], words: Sequence[str] = ()) -> None:
    """Print tables, and lines of words below them."""
    if in_terminal():
        _show_rich(shown, words)
        return
    print("\n\n".join([text(each) for each in shown] + ["\n".join(words)] * bool(words)))


# Told by words too: nobody needs to see colors.
_COLORS = {"missed": "bold red", "close": "yellow", "met": "green"}


def _show_rich(shown: Sequence[Table], words: Sequence[str]) -> None:
    # Only where somebody looks: it takes a while to import.
    from rich.console import Console
    from rich.table import Table as Rich
    from rich.text import Text

    console = Console(highlight=False)
    for each in shown:
        console.print(Text(each.title, style="bold"))
        drawn = Rich(show_header=True, header_style="bold", expand=False)
        for head in each.heads:
            drawn.add_column(head, overflow="fold")
        for place, row in enumerate(each.rows):
            style = _COLORS.get(each.mark(place), "")
            # Of a verdict the last cell has the color; names from a file are text, never markup.
            cells = [Text(cell, style=style if column == len(row) - 1 else "") for column, cell in enumerate(row)]
            drawn.add_row(*cells)
        if each.rows:
            console.print(drawn)
    for line in words:
        console.print(Text(line))


@contextmanager
def progress(what: str) -> Iterator[None]:
    """Show how far the long work within has come, where standard error is a terminal."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        with Observer(lambda done, total: bar.update(task, completed=done, total=total)):
            yield
