"""Files that appear whole or not at all, and never over what they were made from."""

import errno
import os
import secrets
import stat
import sys
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TextIO


def write_whole(path: Path, text: str) -> None:
    """Write `text` to `path` in UTF-8, or leave what is there as it is and raise OSError that names `path`.

    The text is written beside the file and put in its place by renaming, so that a full disk or a power cut
    costs nothing. A link is followed, the permissions stay. What is not a file (a pipe, a terminal) is
    written to directly.
    """
    write_whole_bytes(path, text.encode("utf-8"))


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Write bytes as `write_whole` does a text."""
    try:
        _write(path, data)
    except OSError as error:
        # Not the name of the file beside, which nobody has asked for.
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error


def _write(path: Path, data: bytes) -> None:
    old = _stat(path)
    if old is not None and stat.S_ISDIR(old.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if old is not None and not stat.S_ISREG(old.st_mode):
        with path.open("wb", buffering=0) as stream:
            _send(stream.fileno(), data)
        return
    if old is not None and not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    target = path.resolve()
    beside = target.with_name(f".yokewright-{secrets.token_hex(8)}")
    # Opened like any new file, so that the permissions are those the folder gives to new files.
    file = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        try:
            _send(file, data)
            os.fsync(file)
        finally:
            os.close(file)
        if old is not None:
            _take_over(beside, old)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _send(file: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest) :]


def _take_over(beside: Path, old: os.stat_result) -> None:
    """Give the new file the owner and the permissions of the old one."""
    new = beside.stat()
    if hasattr(os, "chown") and (new.st_uid, new.st_gid) != (old.st_uid, old.st_gid):
        with suppress(PermissionError):  # only the superuser may give a file away
            os.chown(beside, old.st_uid, old.st_gid)
    beside.chmod(stat.S_IMODE(old.st_mode))


def _sync_folder(folder: Path) -> None:
    """Make the new name last; where a folder cannot be synced, the system does it in its own time."""
    with suppress(OSError):
        entry = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(entry)
        finally:
            os.close(entry)


def _stat(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return None


def same_file(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file, or would once both are written.

    Links of both kinds and every spelling are seen through. Two new names in one folder that differ only in
    the case or the composition of their letters count as one, because on many disks they are.
    """
    here, there = _stat(one), _stat(other)
    if here is not None and there is not None:
        return os.path.samestat(here, there)
    a, b = one.resolve(), other.resolve()
    if a == b:
        return True
    folders = _stat(a.parent), _stat(b.parent)
    if folders[0] is None or folders[1] is None or not os.path.samestat(folders[0], folders[1]):
        return False
    return _folded(a.name) == _folded(b.name) and here is None and there is None


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def refusal(inputs: Mapping[str, Path], outputs: Mapping[str, Path]) -> str | None:
    """Say why these outputs must not be written, or None; both map what a file is to where it is."""
    taken = dict(inputs)
    for name, path in outputs.items():
        there = _stat(path)
        if there is not None and stat.S_ISDIR(there.st_mode):
            return f"{path}: the {name} cannot be written over a folder"
        if there is None and not path.resolve().parent.is_dir():
            return f"{path}: there is no folder to write the {name} to"
        if there is None or stat.S_ISREG(there.st_mode):
            for other, place in taken.items():
                if same_file(path, place):
                    return f"{path}: the {name} would overwrite the {other}"
            for stream in (sys.__stdout__, sys.__stderr__):
                if there is not None and stream is not None and _leads_to(stream, there):
                    return f"{path}: the {name} would overwrite what the command prints"
            taken[name] = path
    return None


def _leads_to(stream: TextIO, there: os.stat_result) -> bool:
    with suppress(OSError, ValueError):  # closed, or no file at all
        return os.path.samestat(os.fstat(stream.fileno()), there)
    return False
