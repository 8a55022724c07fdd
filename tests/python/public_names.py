"""All that the package offers, by name."""

from types import ModuleType
from typing import Any

import yokewright as yw

MODULES: list[ModuleType] = [yw.magnet, yw.hall, yw.linkage, yw.spring, yw.feel, yw.axis, yw.rig]
TOP: dict[str, Any] = {name: getattr(yw, name) for name in yw.__all__ if not isinstance(getattr(yw, name), ModuleType)}
PUBLIC: dict[str, Any] = TOP | {name: getattr(module, name) for module in MODULES for name in module.__all__}
