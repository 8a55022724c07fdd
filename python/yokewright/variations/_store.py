"""Finished rows on disk, so that a sweep that was killed goes on where it stood."""

import csv
import io
import json
import os
from collections.abc import Iterable, Iterator
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol

from .._files import write_whole, write_whole_bytes
from ..errors import InvalidValueError
from ._table import Scalar, Table

Outputs = dict[str, Scalar | None]
Finished = tuple[int, Outputs | None, str | None]


class Store(Protocol):
    """What both kinds of file do."""

    outputs: tuple[str, ...] | None
    """Names of the outputs; None until a row has any."""

    def rows(self) -> Iterator[Finished]:
        """Give the rows that were there when it was opened."""

    def add(self, rows: Iterable[Finished]) -> None:
        """Add finished rows; they are on the disk when this returns."""


def open_store(path: Path, table: Table) -> Store:
    """Open or begin a file, by the ending of its name."""
    match path.suffix.lower():
        case ".csv":
            return _Csv(path, table)
        case ".parquet":
            return _Parquet(path, table)
    raise InvalidValueError(f"store {path}: its name must end in .csv or .parquet")


class _Csv:
    """One file: row, inputs, outputs, error."""

    def __init__(self, path: Path, table: Table) -> None:
        self.path, self.table = path, table
        self.outputs: tuple[str, ...] | None = None
        self._rows: list[Finished] = []
        if path.exists() and path.stat().st_size:
            self._read()
        # Whatever a kill has left of the last line goes, and the file is known to be writable.
        self._write_all()

    def _read(self) -> None:
        with self.path.open(newline="", encoding="utf-8") as stream:
            text = stream.read()
        # A line that was cut off has no end.
        whole = text[: text.rfind("\n") + 1]
        lines = csv.reader(io.StringIO(whole, newline=""))
        head = next(lines, None)
        names = list(self.table.names)
        if head is None or head[: len(names) + 1] != ["row", *names] or head[-1] != "error":
            wanted = ", ".join(["row", *names])
            raise InvalidValueError(f"{self.path}: its first line is not that of this table ({wanted}, ..., error)")
        outputs = tuple(head[len(names) + 1 : -1])
        self.outputs = outputs or None
        for cells in lines:
            if len(cells) != len(head):
                raise InvalidValueError(f"{self.path}: row {cells[:1]} has {len(cells)} cells, not {len(head)}")
            number = _number(self.path, cells[0], self.table)
            inputs = tuple(_value(cell) for cell in cells[1 : len(names) + 1])
            _check(self.path, self.table, number, inputs)
            error = None if (cell := _value(cells[-1])) is None else str(cell)
            found = {name: _value(cell) for name, cell in zip(outputs, cells[len(names) + 1 : -1], strict=True)}
            self._rows.append((number, None if error else found, error))

    def rows(self) -> Iterator[Finished]:
        return iter(self._rows)

    def add(self, rows: Iterable[Finished]) -> None:
        rows = list(rows)
        self._rows += rows
        if self.outputs is None:
            self.outputs = next((tuple(outputs) for _, outputs, _ in rows if outputs), None)
            if self.outputs is not None:
                self._write_all()
                return
        with self.path.open("a", newline="", encoding="utf-8") as stream:
            stream.write("".join(self._line(row) for row in rows))
            stream.flush()
            os.fsync(stream.fileno())

    def _write_all(self) -> None:
        head = ["row", *self.table.names, *(self.outputs or ()), "error"]
        write_whole(self.path, _csv_line(head) + "".join(self._line(row) for row in self._rows))

    def _line(self, row: Finished) -> str:
        number, outputs, error = row
        found = ["" if outputs is None else _cell(outputs[name]) for name in self.outputs or ()]
        return _csv_line([str(number), *map(_cell, self.table.rows[number]), *found, _cell(error)])


def _csv_line(cells: list[str]) -> str:
    line = io.StringIO()
    csv.writer(line, lineterminator="\n").writerow(cells)
    return line.getvalue()


def _cell(value: Scalar | None) -> str:
    """Write a value so that it comes back as what it was: a text that would read as something else is quoted."""
    if value is None:
        return ""
    if isinstance(value, str):
        # No line ends within a cell, so that what a kill has cut off is seen by its missing end.
        plain = value.isprintable() and not value.startswith('"') and value.strip() == value and value != ""
        return value if plain and isinstance(_value(value), str) else json.dumps(value)
    return json.dumps(value)


def _value(cell: str) -> Scalar | None:
    """Read what `_cell` has written; a float comes back to the last bit."""
    if not cell:
        return None
    if cell.startswith('"'):
        return str(json.loads(cell))
    if cell in ("true", "false"):
        return cell == "true"
    try:
        return int(cell)
    except ValueError:
        pass
    try:
        return float(cell)
    except ValueError:
        return cell


class _Parquet:
    """A folder with a part for each batch, which any reader of Parquet takes for one table."""

    def __init__(self, path: Path, table: Table) -> None:
        try:
            # Needed here only, and large.
            self._arrow: Any = import_module("pyarrow")
            import_module("pyarrow.parquet")
        except ModuleNotFoundError as error:
            raise InvalidValueError(f"store {path}: Parquet needs the package pyarrow; a .csv does without") from error
        self.path, self.table = path, table
        self.outputs: tuple[str, ...] | None = None
        self._rows: list[Finished] = []
        # Once, and not with each batch: a column may be long.
        for column in zip(*table.rows, strict=True):
            _alike(column)
        path.mkdir(exist_ok=True)
        for part in sorted(path.glob("part-*.parquet")):
            self._read(part)

    def _read(self, part: Path) -> None:
        read = self._arrow.parquet.read_table(part, partitioning=None)
        names = self.table.names
        if tuple(read.column_names[: len(names) + 1]) != ("row", *names) or read.column_names[-1] != "error":
            raise InvalidValueError(f"{part}: its columns are not those of this table (row, {', '.join(names)})")
        outputs = tuple(read.column_names[len(names) + 1 : -1])
        self.outputs = self.outputs or outputs or None
        for cells in read.to_pylist():
            number = _number(part, str(cells["row"]), self.table)
            _check(part, self.table, number, tuple(cells[name] for name in names))
            error = cells["error"]
            self._rows.append((number, None if error else {name: cells[name] for name in outputs}, error))

    def rows(self) -> Iterator[Finished]:
        return iter(self._rows)

    def add(self, rows: Iterable[Finished]) -> None:
        rows = list(rows)
        if self.outputs is None:
            self.outputs = next((tuple(outputs) for _, outputs, _ in rows if outputs), None)
        columns: dict[str, Any] = {"row": [number for number, _, _ in rows]}
        for at, name in enumerate(self.table.names):
            columns[name] = [self.table.rows[number][at] for number, _, _ in rows]
        for name in self.outputs or ():
            columns[name] = [None if outputs is None else outputs[name] for _, outputs, _ in rows]
        columns["error"] = self._arrow.array([error for _, _, error in rows], type=self._arrow.string())
        sink = self._arrow.BufferOutputStream()
        self._arrow.parquet.write_table(self._arrow.table(columns), sink)
        first, last = rows[0][0], rows[-1][0]
        write_whole_bytes(self.path / f"part-{first:08}-{last:08}.parquet", sink.getvalue().to_pybytes())


def _alike(column: tuple[Scalar, ...]) -> None:
    """Refuse a column of several types, since Parquet has one for each."""
    kinds = {type(value) for value in column}
    if len(kinds) > 1:
        named = ", ".join(sorted(kind.__name__ for kind in kinds))
        raise InvalidValueError(f"a column of a Parquet store has values of one type, not {named}; take a .csv")


def _number(path: Path, cell: str, table: Table) -> int:
    if not cell.isascii() or not cell.isdigit() or int(cell) >= len(table):
        raise InvalidValueError(f"{path}: row {cell!r} is not one of the {len(table)} of this table")
    return int(cell)


def _check(path: Path, table: Table, number: int, inputs: tuple[Scalar | None, ...]) -> None:
    for name, stored, own in zip(table.names, inputs, table.rows[number], strict=True):
        if stored != own or isinstance(stored, str) != isinstance(own, str):
            raise InvalidValueError(
                f"{path}: row {number} was computed for {name} = {stored!r}, the table has {own!r}; "
                "take another store, or the table that this one was begun with"
            )
