"""Control sensing, linkage and feel for people who build their own simulator controls.

Everything is SI: meters, radians, tesla, volts. Multiply units in and divide them out.

A 5 mm cube magnet rides on a 12 mm arm and passes a linear Hall sensor at 2 mm; what do +-6 degrees
of throw give?

>>> import yokewright as yw
>>> cube = yw.magnet.Block(size=(5 * yw.mm, 5 * yw.mm, 5 * yw.mm), polarization=(0, 1300 * yw.mT, 0))
>>> layout = yw.axis.SwungLayout(magnet=cube, arm=12 * yw.mm, gap=2 * yw.mm)
>>> sensor = yw.hall.LinearHall(
...     supply=3.3,
...     nominal_supply=3.3,
...     quiescent=1.65,
...     sensitivity=15 * yw.mV_per_mT,
...     rail_low=0.2,
...     rail_headroom=0.2,
...     noise=1 * yw.mV,
...     depth=0.0,
... )
>>> axis = layout.axis(
...     throw=(-6 * yw.deg, 6 * yw.deg),
...     sensor=sensor,
...     converter=yw.hall.Converter(bits=12, reference=3.3),
... )
>>> figures = axis.figures()
>>> print(f"{figures.flux_span / yw.mT:.0f} mT from end to end")
172 mT from end to end
>>> print(f"straight within {figures.linearity_flux.independent:.1%} of span")
straight within 0.1% of span

`yw.plots` draws such an axis, `yw.report` writes a page about a whole design, `yw.explorer` changes one figure of it
and shows what follows, `yw.templates` draws what there is to cut and `yw.variations` maps many designs at once; they
are imported when first used. For simulators only; read `yw.CAUTIONS` before you build.
"""

from importlib import import_module
from types import ModuleType

from . import _core, axis, feel, hall, linkage, magnet, rig, spring
from ._core import (
    CAUTIONS,
    NearMiss,
    Observer,
    Pose,
    Rejection,
    SearchResult,
    Shortfall,
    __version__,
    deg,
    gauss,
    kHz,
    mm,
    ms,
    mT,
    mu0,
    mV,
    mV_per_mT,
    on_one_thread,
    um,
    us,
    uT,
    uV,
)
from ._notebook import attach
from .errors import (
    CannotCloseError,
    CollisionError,
    DesignFileError,
    InvalidTypeError,
    InvalidValueError,
    NoFieldError,
    NotConvergedError,
    NothingFoundError,
    StoppedError,
    YokewrightError,
)

__all__ = [
    "CAUTIONS",
    "CannotCloseError",
    "CollisionError",
    "DesignFileError",
    "InvalidTypeError",
    "InvalidValueError",
    "NearMiss",
    "NoFieldError",
    "NotConvergedError",
    "NothingFoundError",
    "Observer",
    "Pose",
    "Rejection",
    "SearchResult",
    "Shortfall",
    "StoppedError",
    "YokewrightError",
    "__version__",
    "axis",
    "deg",
    "feel",
    "gauss",
    "hall",
    "kHz",
    "linkage",
    "mT",
    "mV",
    "mV_per_mT",
    "magnet",
    "mm",
    "ms",
    "mu0",
    "on_one_thread",
    "rig",
    "spring",
    "uT",
    "uV",
    "um",
    "us",
]

# Results show themselves as tables in a notebook.
attach(_core)

# matplotlib takes a second to import and an analysis may never draw.
_LAZY = ("explorer", "plots", "report", "templates", "variations")


def __getattr__(name: str) -> ModuleType:
    if name in _LAZY:
        return import_module(f".{name}", __name__)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*__all__, *_LAZY])
