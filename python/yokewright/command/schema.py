"""`yokewright schema`: what a design file may hold, for editors."""

from ..rig import design_schema
from ._ends import PASSED
from ._options import part


@part(short="print a JSON Schema of design files, for editors")
def schema() -> int:
    """Print a JSON Schema of design files, by which editors complete and check one as it is written."""
    print(design_schema())
    return PASSED
