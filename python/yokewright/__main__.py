"""`python -m yokewright`, the same as the command `yokewright`."""

import sys

from .command import main

if __name__ == "__main__":
    sys.exit(main())
