"""Waiting for a file to be saved."""

import time
from collections.abc import Callable
from pathlib import Path
from threading import Event

_POLL = 0.25  # s
_SETTLED = 0.3  # s without another change: an editor may write a file in several goes


def each_save(
    path: Path, work: Callable[[], object], stop: Event, *, clock: Callable[[], float] = time.monotonic
) -> None:
    """Do `work` now, and again each time the file has been saved and left alone, until `stop` is set."""
    while not stop.is_set():
        seen = _state(path)
        work()
        # A save during the work is not missed: the state is that from before.
        while not stop.wait(_POLL):
            now = _state(path)
            if now is not None and now != seen:
                _settle(path, stop, clock)
                break


def _settle(path: Path, stop: Event, clock: Callable[[], float]) -> None:
    last, since = _state(path), clock()
    while clock() - since < _SETTLED and not stop.wait(_SETTLED / 4):
        now = _state(path)
        if now is None or now != last:
            last, since = now, clock()


def _state(path: Path) -> tuple[int, int, int] | None:
    """What a save changes; None while there is no file, as between the two halves of one."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino
