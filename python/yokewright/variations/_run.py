"""The rows of a table shared out over an executor."""

import os
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .._core import on_one_thread
from ..errors import InvalidTypeError, InvalidValueError
from ._store import Store, open_store
from ._table import RESERVED, Scalar, Table, scalar

# A batch takes about this long, s: a kill costs no more than that for each worker, and what a task costs of its own (a
# millisecond on a cluster) is no matter beside it.
_BATCH_SECONDS = 0.25
_MOST_IN_BATCH = 1000


@dataclass(frozen=True)
class Row:
    """One variation and what came of it."""

    number: int
    """Its place in the table, from 0."""
    inputs: dict[str, Scalar]
    """What was varied."""
    outputs: dict[str, Scalar | None] | None
    """What the function gave; None if it failed."""
    error: str | None
    """Why it failed: kind and text of the exception; None if it did not."""


@dataclass(frozen=True)
class Results:
    """The rows of a whole table, in its order."""

    rows: tuple[Row, ...]
    """Every row."""

    @property
    def failures(self) -> tuple[Row, ...]:
        """The rows that failed."""
        return tuple(row for row in self.rows if row.error is not None)

    def column(self, name: str) -> tuple[NDArray[Any], NDArray[np.bool_]]:
        """One input or output of all rows, and which rows have it; numbers are NaN and texts empty where none is."""
        found: list[Scalar | None] = [{**row.inputs, **(row.outputs or {})}.get(name) for row in self.rows]
        valid = np.array([value is not None for value in found], dtype=bool)
        if not valid.any():
            raise InvalidValueError(f"no row has {name!r}")
        if any(isinstance(value, str) for value in found):
            return np.array(["" if value is None else str(value) for value in found]), valid
        return np.array([np.nan if value is None else float(value) for value in found]), valid

    def __len__(self) -> int:
        """How many rows there are."""
        return len(self.rows)

    def __iter__(self) -> Iterator[Row]:
        """Each row, in order."""
        return iter(self.rows)

    def __repr__(self) -> str:
        """Say how many rows there are and how many failed."""
        return f"<Results of {len(self)} variations, {len(self.failures)} failed>"


Evaluate = Callable[..., Any]
Progress = Callable[[int, int], object]


def run(
    evaluate: Evaluate,
    table: Table,
    *,
    executor: Executor | None = None,
    store: str | os.PathLike[str] | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
) -> Results:
    """Call `evaluate(**row)` for each row of the table and give all rows in order.

    `evaluate` gives a mapping of names to numbers, texts, true, false or None, the same names for every row; an
    exception is kept as the row's error. `executor`: any of PEP 3148; without one, processes of this machine.
    `store`: a path that ends in `.csv` or `.parquet` (a folder of parts; needs pyarrow), to which finished rows go at
    once; what it holds already is not computed again, and InvalidValueError is raised if that belongs to another table.
    `workers`: how many the executor has, for how far to hand out work ahead. `progress(done, total)` is called as rows
    finish. Ctrl-C stops and keeps what is stored.
    """
    rows = sorted(
        stream(evaluate, table, executor=executor, store=store, workers=workers, progress=progress),
        key=lambda row: row.number,
    )
    return Results(tuple(rows))


def stream(
    evaluate: Evaluate,
    table: Table,
    *,
    executor: Executor | None = None,
    store: str | os.PathLike[str] | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
) -> Iterator[Row]:
    """As `run`, but give each row as it comes: first what the store holds, then as the executor finishes."""
    if not callable(evaluate):
        raise InvalidTypeError(f"what evaluates a row is of type {type(evaluate).__name__}; a function is needed")
    if not isinstance(table, Table):
        raise InvalidTypeError(f"table is of type {type(table).__name__}; grid, listed or sampled make one")
    if workers is not None and (type(workers) is not int or workers < 1):
        raise InvalidValueError(f"workers = {workers!r} is no whole number from 1 on")
    kept = None if store is None else open_store(Path(store), table)
    return _stream(evaluate, table, executor, kept, workers, progress)


def _stream(
    evaluate: Evaluate,
    table: Table,
    executor: Executor | None,
    store: Store | None,
    workers: int | None,
    progress: Progress | None,
) -> Iterator[Row]:
    done = 0
    finished: set[int] = set()
    for number, outputs, error in store.rows() if store else ():
        finished.add(number)
        done += 1
        yield Row(number, table.row(number), outputs, error)
    left = [number for number in range(len(table)) if number not in finished]
    if progress:
        progress(done, len(table))
    if not left:
        return

    with ExitStack() as stack:
        if executor is None:
            executor = stack.enter_context(ProcessPoolExecutor())
        ahead = 2 * (workers or getattr(executor, "_max_workers", None) or os.cpu_count() or 1)
        pending: dict[Future[_Batch], list[int]] = {}
        names: tuple[str, ...] | None = None
        size, at = 1, 0
        try:
            while at < len(left) or pending:
                while at < len(left) and len(pending) < ahead:
                    numbers = left[at : at + size]
                    at += len(numbers)
                    rows = [table.row(number) for number in numbers]
                    pending[executor.submit(_evaluate, evaluate, rows)] = numbers
                for future in wait(pending, return_when=FIRST_COMPLETED).done:
                    numbers = pending.pop(future)
                    seconds, found = future.result()
                    per_row = max(seconds, 1e-9) / len(numbers)
                    # No more than doubled at once: the first rows may be quicker than those to come.
                    size = min(max(int(_BATCH_SECONDS / per_row), 1), 2 * size, _MOST_IN_BATCH)
                    rows_done = []
                    for number, (outputs, error) in zip(numbers, found, strict=True):
                        if outputs is not None:
                            names = names or (store.outputs if store else None) or tuple(outputs)
                            outputs, error = _of(names, outputs)
                        rows_done.append((number, outputs, error))
                    if store:
                        store.add(rows_done)
                    for number, outputs, error in rows_done:
                        done += 1
                        yield Row(number, table.row(number), outputs, error)
                    if progress:
                        progress(done, len(table))
        except BaseException:
            for future in pending:
                future.cancel()
            raise


_Outcome = tuple[dict[str, Scalar | None] | None, str | None]
_Batch = tuple[float, list[_Outcome]]


def _of(names: tuple[str, ...], outputs: dict[str, Scalar | None]) -> _Outcome:
    """Put the outputs in the order of the first row's; other names are an error of this row."""
    if set(names) != set(outputs):
        given, first = ", ".join(outputs), ", ".join(names)
        return None, f"InvalidValueError: outputs {given} where the first row has {first}"
    return {name: outputs[name] for name in names}, None


def _evaluate(evaluate: Evaluate, rows: list[dict[str, Scalar]]) -> _Batch:
    """Evaluate some rows; this runs in the worker."""
    start = time.perf_counter()
    # The executor has shared the machine out already.
    found = on_one_thread(lambda: [_one(evaluate, row) for row in rows])
    return time.perf_counter() - start, found


def _one(evaluate: Evaluate, row: dict[str, Scalar]) -> _Outcome:
    try:
        given = evaluate(**row)
        if not isinstance(given, Mapping):
            raise InvalidTypeError(f"a row gave a {type(given).__name__}; a mapping of names to values is needed")
        outputs: dict[str, Scalar | None] = {}
        for name, value in given.items():
            if not isinstance(name, str) or not name or name in RESERVED or name in row:
                raise InvalidValueError(f"output name {name!r}: no text, empty, an input, or one of {RESERVED}")
            outputs[name] = None if value is None else scalar(f"output {name}", value)
        return outputs, None
    except Exception as error:  # whatever it is, the other rows go on
        return None, f"{type(error).__name__}: {error}"
