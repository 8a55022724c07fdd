"""What yokewright raises: one base class, so that a single `except YokewrightError` catches them all.

Every message names the quantity, the value, the limit and the unit. Each class also descends from the
built-in that a caller without this module in mind would expect (`ValueError`, `ArithmeticError`).
"""

import re
import sys


class YokewrightError(Exception):
    """The base of every error that yokewright raises on purpose."""

    def add_note(self, note: str) -> None:
        """Add a note; the one that names the argument becomes part of the text.

        PyO3 names an argument in a note only, which str() does not show and Python 3.10 does not know.
        """
        named = re.fullmatch(r"while processing '(\w+)'", note)
        if named is not None:
            text, name = str(self), named[1]
            if not text.startswith(name):
                self.args = (f"{name}: {text}", *self.args[1:])
        elif sys.version_info >= (3, 11):
            super().add_note(note)


class InvalidValueError(YokewrightError, ValueError):
    """A value that cannot be used.

    It is not finite, lies outside what is possible or plausible, is out of order, points nowhere, or has
    the wrong number of entries. The usual slip, a millimeter given as a meter or a degree given as a
    radian, gets a hint.
    """


class InvalidTypeError(YokewrightError, TypeError):
    """An argument of a type that cannot be used; the message names it and what is needed."""


class NoFieldError(YokewrightError, ArithmeticError):
    """The field was asked for on an edge of a magnet, where the ideal field grows without bound."""


class CollisionError(YokewrightError, ValueError):
    """The sensor and a magnet meet somewhere in the throw; the message names the angle."""


class CannotCloseError(YokewrightError, ValueError):
    """The links of a linkage cannot meet at this angle; the message says how many millimeters are missing."""


class NothingFoundError(YokewrightError, ValueError):
    """A search found nothing within its bounds; the message describes the nearest candidate."""


class DesignFileError(YokewrightError, ValueError):
    """A design file that cannot be used; the message names file, line, key, value and allowed range."""


class NotConvergedError(YokewrightError, ArithmeticError):
    """An integral did not reach the accuracy asked for."""


class StoppedError(YokewrightError, RuntimeError):
    """Long work was stopped before its end by an observer."""
