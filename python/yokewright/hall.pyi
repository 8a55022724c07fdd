"""Sensors and the converter: from flux density or angle to volts to counts."""

from typing import Literal, final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ._core import Floats, Mask

__all__ = [
    "Converter",
    "LinearHall",
    "Potentiometer",
    "bits_from_averaging",
    "bits_from_snr_db",
    "noise_from_density",
]

@final
class LinearHall:
    """A ratiometric linear Hall sensor.

    quiescent (V), sensitivity (V/T) and noise (V rms) hold at nominal_supply and scale with supply /
    nominal_supply. rail_low: lowest output above ground, rail_headroom: supply less the highest output, V.
    depth: of the active area below the package face, m. direction: of flux that raises the output, in the
    package frame (+z out of the face).

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mT, mm
    >>> sensor = yw.hall.LinearHall(
    ...     supply=3.3, nominal_supply=3.3, quiescent=1.65, sensitivity=13.0,
    ...     rail_low=0.1, rail_headroom=0.1, noise=0.0005, depth=0.5 * mm,
    ... )
    >>> print(f"{sensor.output(20 * mT):.2f} V")
    1.91 V
    """
    def __new__(
        cls,
        *,
        supply: float,
        nominal_supply: float,
        quiescent: float,
        sensitivity: float,
        rail_low: float,
        rail_headroom: float,
        noise: float,
        depth: float,
        direction: ArrayLike = (0.0, 0.0, 1.0),
    ) -> LinearHall: ...
    @property
    def supply(self) -> float:
        """Supply voltage in use, V."""
    @property
    def nominal_supply(self) -> float:
        """Supply voltage at which quiescent, sensitivity and noise hold, V."""
    @property
    def quiescent(self) -> float:
        """Output without a field at the nominal supply, V."""
    @property
    def sensitivity(self) -> float:
        """Sensitivity at the nominal supply, V/T."""
    @property
    def rail_low(self) -> float:
        """Lowest output above ground, V."""
    @property
    def rail_headroom(self) -> float:
        """Supply less the highest output, V."""
    @property
    def noise(self) -> float:
        """Output noise at the nominal supply, V rms."""
    @property
    def depth(self) -> float:
        """Depth of the active area below the package face, m."""
    @property
    def direction(self) -> Floats:
        """Direction of flux that raises the output, in the package frame, as given, shape (3,)."""
    @property
    def quiescent_output(self) -> float:
        """Output without a field at the supply in use, V."""
    @property
    def gain(self) -> float:
        """Sensitivity at the supply in use, V/T."""
    @property
    def output_noise(self) -> float:
        """Output noise at the supply in use, V rms."""
    @property
    def output_range(self) -> tuple[float, float]:
        """Lowest and highest output, V."""
    @property
    def flux_range(self) -> tuple[float, float]:
        """Flux densities at which the output meets its rails, T."""
    def output(self, flux: float) -> float:
        """Output for a flux density (T) along the sensitive direction, V, held at the rails."""
    def outputs(self, flux: ArrayLike) -> tuple[Floats, Mask]:
        """Outputs for many flux densities (N,): V, shape (N,), and a mask of the rows that have a value."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Converter:
    """An analog-to-digital converter from 0 V to its reference.

    rounding "nearest": code k covers [k - 1/2, k + 1/2) steps; "down": [k, k + 1). noise: V rms referred to the
    input.

    Examples
    --------
    >>> import yokewright as yw
    >>> yw.hall.Converter(bits=12, reference=3.3).code(1.65)
    2048
    """
    def __new__(
        cls,
        *,
        bits: int,
        reference: float,
        rounding: Literal["nearest", "down"] = "nearest",
        noise: float = 0.0,
    ) -> Converter: ...
    @property
    def bits(self) -> int:
        """Bits."""
    @property
    def reference(self) -> float:
        """Voltage of the full range, V."""
    @property
    def rounding(self) -> Literal["nearest", "down"]:
        """ "nearest" or "down"."""
    @property
    def noise(self) -> float:
        """Noise referred to the input, V rms."""
    @property
    def lsb(self) -> float:
        """One step, V."""
    @property
    def max_code(self) -> int:
        """The greatest code."""
    @property
    def quantization_noise(self) -> float:
        """Noise of ideal quantization, lsb / sqrt(12), V rms."""
    @property
    def ideal_snr_db(self) -> float:
        """Signal-to-noise ratio of an ideal converter for a full-scale sine, dB."""
    def effective_bits(self, noise: float) -> float:
        """Effective bits with a total noise (V rms, quantization included): IEEE Std 1241."""
    def code(self, volts: float) -> int:
        """The code of a voltage, held at the ends of the range."""
    def codes(self, volts: ArrayLike) -> tuple[NDArray[np.int64], Mask]:
        """The codes of many voltages (N,): int64, shape (N,), -1 where there is none, and a mask of the rows that
        have one.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Potentiometer:
    """."""
    def __new__(
        cls,
        *,
        travel: float,
        supply: float,
        mechanical_travel: float | None = None,
        resistance: float = 10000.0,
        end_resistances: Sequence[float] = (0.0, 0.0),
        linearity: float = 0.0,
        noise: float = 0.0,
        noise_resistance: float = 0.0,
        load: float | None = None,
        center: float | None = None,
    ) -> Potentiometer: ...
    @property
    def travel(self) -> float:
        """."""
    @property
    def supply(self) -> float:
        """."""
    @property
    def mechanical_travel(self) -> float:
        """."""
    @property
    def resistance(self) -> float:
        """."""
    @property
    def end_resistances(self) -> tuple[float, float]:
        """."""
    @property
    def linearity(self) -> float:
        """."""
    @property
    def noise(self) -> float:
        """."""
    @property
    def noise_resistance(self) -> float:
        """."""
    @property
    def load(self) -> float | None:
        """."""
    @property
    def center(self) -> float:
        """."""
    @property
    def mechanical_range(self) -> tuple[float, float]:
        """."""
    @property
    def output_range(self) -> tuple[float, float]:
        """."""
    @property
    def max_loading_error(self) -> float:
        """."""
    @property
    def linearity_error(self) -> float:
        """."""
    def output(self, angle: float) -> float:
        """."""
    def outputs(self, angles: ArrayLike) -> tuple[Floats, Mask]:
        """."""
    def slope(self, angle: float) -> float:
        """."""
    def angle_for(self, volts: float) -> float:
        """."""
    def share(self, throw: float) -> float:
        """."""
    def loading_error(self, angle: float) -> float:
        """."""
    def contact_error(self, angle: float) -> float:
        """."""
    def source_resistance(self, angle: float) -> float:
        """."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

def noise_from_density(density: float, sensitivity: float, bandwidth: float) -> float:
    """RMS output noise (V) of a field noise density (T/sqrt(Hz)) at a sensitivity (V/T) in a single-pole bandwidth
    (Hz).
    """

def bits_from_snr_db(snr_db: float) -> float:
    """Effective bits of a measured signal-to-noise-and-distortion ratio (dB) of a full-scale sine: IEEE Std 1241."""

def bits_from_averaging(samples: int) -> float:
    """Bits gained by averaging samples with white noise: half a bit per doubling."""
