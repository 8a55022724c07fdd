"""The command `yokewright`: evaluate a design file, and all that follows from it, from a terminal."""

import errno
import sys
from collections.abc import Sequence

from ..errors import YokewrightError
from ._ends import INTERRUPTED, UNUSABLE, UNWRITTEN
from ._streams import complain, discard_output, prepare_streams

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status, also for bad usage."""
    closed = prepare_streams()
    try:
        # Needed here only, and behind the streams, which it looks at.
        from ._root import run

        status = run(sys.argv[1:] if arguments is None else arguments)
        # Here rather than at exit, where Python would answer a failure with a traceback.
        sys.stdout.flush()
        if closed and status != UNUSABLE:
            raise OSError(errno.EBADF, "closed")
    except KeyboardInterrupt:
        return INTERRUPTED
    except YokewrightError as error:
        complain(str(error))
        return UNUSABLE
    except BrokenPipeError:
        # The reader (`... | head`) has gone and knows it.
        discard_output()
        return UNWRITTEN
    except OSError as error:
        if error.filename is not None:
            complain(f"{error.filename}: {error.strerror or error}")
            return UNUSABLE
        complain(f"standard output: {error.strerror or error}")
        discard_output()
        return UNWRITTEN
    return status
