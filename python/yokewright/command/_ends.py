"""How the command ends."""

from typing import Literal

PASSED, MISSED, UNUSABLE, UNWRITTEN, INTERRUPTED = 0, 1, 2, 3, 130

EXIT_STATUS = f"""\
\b
exit status:
  {PASSED}  every target is met, or missed by no more than a tenth (close)
  {MISSED}  a target is missed by more or has no value, or a control cannot be evaluated
  {UNUSABLE}  the design or the command cannot be used; the reason is on standard error
  {UNWRITTEN}  a file or what is printed could not be written; every other file is complete
  {INTERRUPTED}  interrupted from the keyboard
"""


def of_state(state: Literal["met", "not studied", "close", "missed"]) -> int:
    """The exit status of an evaluation."""
    return MISSED if state in ("missed", "not studied") else PASSED
