"""Sensors and the converter: from flux density or angle to volts to counts."""

from collections.abc import Sequence
from typing import Literal, final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ._core import Floats, Mask

__all__ = [
    "AngleError",
    "AngleHarmonics",
    "AngleSensor",
    "Averaging",
    "Converter",
    "LinearHall",
    "LowPass",
    "NoiseBudget",
    "Potentiometer",
    "SignalChain",
    "TypicalPart",
    "bits_from_averaging",
    "bits_from_snr_db",
    "noise_from_density",
    "ratiometry_error",
]

@final
class LinearHall:
    """A ratiometric linear Hall sensor.

    quiescent (V), sensitivity (V/T) and noise (V rms) hold at nominal_supply and scale with supply /
    nominal_supply; left out, the supply is the nominal one and the output rests in its middle, without noise,
    from rail to rail. rail_low: lowest output above ground, rail_headroom: supply less the highest output, V.
    depth: of the active area below the package face, m. direction: of flux that raises the output, in the
    package frame (+z out of the face). area: sides of the active area along x and y, m. bandwidth: corner of
    the one pole that ends it, Hz, if it is known; noise then is that of all of it. Tolerances either way: of
    the sensitivity as a share, of the quiescent output in V. Drifts: of the sensitivity in 1/K, of the
    quiescent output in V/K, from reference_celsius (degC) on.

    LinearHall.named("continuous 5 V 25 mV/mT") for a typical one; TypicalPart.all() lists them.

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
        sensitivity: float,
        nominal_supply: float | None = None,
        quiescent: float | None = None,
        rail_low: float = 0.0,
        rail_headroom: float = 0.0,
        noise: float = 0.0,
        depth: float = 0.0,
        direction: ArrayLike = (0.0, 0.0, 1.0),
        area: Sequence[float] = (0.0, 0.0),
        bandwidth: float | None = None,
        sensitivity_tolerance: float = 0.0,
        quiescent_tolerance: float = 0.0,
        sensitivity_drift: float = 0.0,
        quiescent_drift: float = 0.0,
        reference_celsius: float = 25.0,
    ) -> LinearHall: ...
    @staticmethod
    def named(name: str) -> LinearHall:
        """A typical sensor by its name; case, spaces, hyphens and underscores make no difference."""
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
    def area(self) -> tuple[float, float]:
        """Sides of the active area along x and y of the package frame, m."""
    @property
    def bandwidth(self) -> float | None:
        """Corner of the one pole that ends the bandwidth, Hz, or None."""
    @property
    def sensitivity_tolerance(self) -> float:
        """Most by which the sensitivity of a part may differ, as a share."""
    @property
    def quiescent_tolerance(self) -> float:
        """Most by which the quiescent output at the nominal supply may differ, V."""
    @property
    def sensitivity_drift(self) -> float:
        """Change of the sensitivity with temperature, as a share of it, 1/K."""
    @property
    def quiescent_drift(self) -> float:
        """Change of the quiescent output at the nominal supply with temperature, V/K."""
    @property
    def reference_celsius(self) -> float:
        """Temperature at which sensitivity and quiescent output hold, degC."""
    @property
    def noise_density(self) -> float | None:
        """Density of the noise in flux density, T/sqrt(Hz); None without a bandwidth."""
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
    def at_temperature(self, celsius: float) -> LinearHall:
        """The sensor as it is at a temperature (degC): its sensitivity and quiescent output drifted, and no drift
        left.
        """
    def output(self, flux: float) -> float:
        """Output for a flux density (T) along the sensitive direction, V, held at the rails."""
    def outputs(self, flux: ArrayLike) -> tuple[Floats, Mask]:
        """Outputs for many flux densities (N,): V, shape (N,), and a mask of the rows that have a value."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Converter:
    """An analog-to-digital converter from 0 V to its reference.

    rounding "nearest": code k covers [k - 1/2, k + 1/2) steps; "down": [k, k + 1). noise: of one conversion, V
    rms referred to the input. nonlinearity: integral, worst case, lsb. oversampling: conversions of which the
    converter itself takes the mean for each code.

    Converter.named("12 bit 3.3 V") for a typical one; TypicalPart.all() lists them.

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
        nonlinearity: float = 0.0,
        oversampling: int = 1,
    ) -> Converter: ...
    @staticmethod
    def named(name: str) -> Converter:
        """A typical converter by its name; case, spaces, hyphens and underscores make no difference."""
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
        """Noise of one conversion referred to the input, V rms."""
    @property
    def nonlinearity(self) -> float:
        """Integral nonlinearity, worst case, lsb."""
    @property
    def oversampling(self) -> int:
        """Conversions for one code."""
    @property
    def code_noise(self) -> float:
        """Noise of a code referred to the input, V rms: that of one conversion over the root of their number."""
    @property
    def nonlinearity_noise(self) -> float:
        """What the integral nonlinearity is worth as distortion, V rms: nonlinearity lsb / sqrt(3), an error that
        lies anywhere between its limits.
        """
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
    def total_noise(self, noise: float) -> float:
        """Noise and distortion of a code (V rms) with a noise of what comes in (V rms): with the converter's own
        noise, quantization and integral nonlinearity.
        """
    def effective_bits(self, noise: float) -> float:
        """Effective bits with a total noise and distortion (V rms, quantization included, as total_noise gives):
        IEEE Std 1241.
        """
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
    """A potentiometer as a voltage divider, loaded by the converter's input.

    Angles (rad) count from the start of the electrical travel, over which the output changes; the mechanical
    travel, from stop to stop, has it in its middle and is as long if left out. resistance: of the track, ohm.
    end_resistances: to ground and to the supply, ohm. linearity: independent, a share of the supply. noise: of
    the wiper, V rms. noise_resistance: equivalent, ohm. load: of the converter's input, ohm, None if it draws
    no current. center: where on the electrical travel the control's center stands, its middle if left out.

    Potentiometer.named("10 kilohm 300 degrees") for a typical one; TypicalPart.all() lists them.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import deg
    >>> pot = yw.hall.Potentiometer(travel=300 * deg, supply=5.0, resistance=10e3, load=1e6)
    >>> print(f"{pot.output(200 * deg):.3f} V, {1e3 * pot.max_loading_error:.1f} mV too low at worst")
    3.326 V, 7.4 mV too low at worst
    """
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
    @staticmethod
    def named(name: str) -> Potentiometer:
        """A typical potentiometer by its name; case, spaces, hyphens and underscores make no difference."""
    @property
    def travel(self) -> float:
        """Electrical travel, rad."""
    @property
    def supply(self) -> float:
        """Supply voltage, V."""
    @property
    def mechanical_travel(self) -> float:
        """Mechanical travel, rad."""
    @property
    def resistance(self) -> float:
        """Resistance of the track, ohm."""
    @property
    def end_resistances(self) -> tuple[float, float]:
        """End resistances to ground and to the supply, ohm."""
    @property
    def linearity(self) -> float:
        """Independent linearity, as a share of the supply."""
    @property
    def noise(self) -> float:
        """Noise of the wiper, V rms."""
    @property
    def noise_resistance(self) -> float:
        """Equivalent noise resistance, ohm."""
    @property
    def load(self) -> float | None:
        """Resistance of the converter's input, ohm, or None."""
    @property
    def center(self) -> float:
        """Where on the electrical travel the control's center stands, rad."""
    @property
    def mechanical_range(self) -> tuple[float, float]:
        """From stop to stop, as angles from the start of the electrical travel, rad."""
    @property
    def output_range(self) -> tuple[float, float]:
        """Lowest and highest output, V."""
    @property
    def max_loading_error(self) -> float:
        """Most by which the load lowers the output, V; about 4/27 of the supply times track over load."""
    @property
    def linearity_error(self) -> float:
        """Most by which the independent linearity may move the output, V."""
    def output(self, angle: float) -> float:
        """Output at an angle (rad) from the start of the electrical travel, V."""
    def outputs(self, angles: ArrayLike) -> tuple[Floats, Mask]:
        """Outputs at many angles (N,): V, shape (N,), and a mask of the rows that have a value."""
    def slope(self, angle: float) -> float:
        """Change of the output with the angle, V/rad, at an angle (rad): 0 beyond the electrical travel."""
    def angle_for(self, volts: float) -> float:
        """The angle (rad) at which the output is so many volts."""
    def share(self, throw: float) -> float:
        """The fraction of the electrical travel that a throw (rad) uses."""
    def loading_error(self, angle: float) -> float:
        """By how much the load lowers the output at an angle (rad), V."""
    def contact_error(self, angle: float) -> float:
        """Most by which the contact of the wiper disturbs the output at an angle (rad), V: the equivalent noise
        resistance times the current through the wiper.
        """
    def source_resistance(self, angle: float) -> float:
        """Resistance of the source that a filter sees at the wiper at an angle (rad), ohm."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AngleSensor:
    """An angle sensor: it reads two components of the flux density and gives the angle between them.

    Exactly one of bits (of a digital output over the full turn) and analog, (supply V, low V, high V, range
    rad): an output from low to high over the range, whose middle is the zero position, held at both ends.
    directions: of the two components in the package frame, at right angles; x and y on the shaft end. depth: of
    the die below the package face, m. offsets: of the components, T. gain_mismatch: gain of the second over the
    first, less 1. nonorthogonality: by which the second leans towards the first, rad. noise: of each, T rms.
    working_flux: least and greatest, T. sense "forward": the output grows from the first direction to the
    second; "reverse". zero: angle of the field at the zero position, rad.

    AngleSensor.named("shaft end 14 bit") for a typical one; TypicalPart.all() lists them.

    Examples
    --------
    >>> import numpy as np
    >>> import yokewright as yw
    >>> from yokewright import deg, mT
    >>> sensor = yw.hall.AngleSensor(bits=14, offsets=(0.5 * mT, 0))
    >>> turned = np.arange(36) * 10 * deg
    >>> fields = 50 * mT * np.stack([np.cos(turned), np.sin(turned), 0 * turned], axis=-1)
    >>> read, valid = sensor.angles(fields)
    >>> error = yw.hall.AngleError.of(turned, read)
    >>> print(f"{error.worst / deg:.2f} deg at worst, by the closed form {0.5 / 50 / deg:.2f} deg")
    0.57 deg at worst, by the closed form 0.57 deg
    """
    def __new__(
        cls,
        *,
        bits: int | None = None,
        analog: Sequence[float] | None = None,
        directions: Sequence[ArrayLike] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        depth: float = 0.0,
        offsets: Sequence[float] = (0.0, 0.0),
        gain_mismatch: float = 0.0,
        nonorthogonality: float = 0.0,
        noise: float = 0.0,
        working_flux: Sequence[float] = (1e-06, 10.0),
        sense: Literal["forward", "reverse"] = "forward",
        zero: float = 0.0,
    ) -> AngleSensor: ...
    @staticmethod
    def named(name: str) -> AngleSensor:
        """A typical sensor by its name; case, spaces, hyphens and underscores make no difference."""
    @property
    def bits(self) -> int | None:
        """Bits of a digital output, or None."""
    @property
    def analog(self) -> tuple[float, float, float, float] | None:
        """Supply, low and high end (V) and range (rad) of an analog output, or None."""
    @property
    def directions(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Directions of the two components in the package frame, brought to length one."""
    @property
    def depth(self) -> float:
        """Depth of the sensitive point below the package face, m."""
    @property
    def offsets(self) -> tuple[float, float]:
        """Offsets of the two components, T."""
    @property
    def gain_mismatch(self) -> float:
        """Gain of the second component over that of the first, less 1."""
    @property
    def nonorthogonality(self) -> float:
        """Angle by which the second component leans towards the first, rad."""
    @property
    def noise(self) -> float:
        """Noise of each component, T rms."""
    @property
    def working_flux(self) -> tuple[float, float]:
        """Least and greatest flux density in the plane of the two directions, T."""
    @property
    def sense(self) -> Literal["forward", "reverse"]:
        """ "forward" or "reverse"."""
    @property
    def zero(self) -> float:
        """Angle of the field at the zero position, rad."""
    @property
    def output_range(self) -> tuple[float, float]:
        """Lowest and highest output: V of an analog one, rad of a digital one."""
    @property
    def gain(self) -> float:
        """Change of the output with the angle, with its sign: V/rad, or 1 or -1 of a digital output."""
    @property
    def step(self) -> float | None:
        """One step of a digital output, rad, or None."""
    def components(self, field: ArrayLike) -> tuple[float, float]:
        """What the two components read (T) in a flux density (3,) in the package frame (T)."""
    def angle(self, field: ArrayLike) -> float:
        """The angle (rad) that is read in a flux density (3,), T, from the first direction towards the second."""
    def angles(self, fields: ArrayLike) -> tuple[Floats, Mask]:
        """The angles in many flux densities (..., 3), T: rad, shape (...), and a mask of those that have one."""
    def angle_slope(self, field: ArrayLike, change: ArrayLike) -> float:
        """How the angle changes in a flux density (3,), T, that changes by change (3,): rad per what the change is
        per.
        """
    def works_in(self, field: ArrayLike) -> bool:
        """Whether a flux density (3,), T, lies within the working range."""
    def noise_angle(self, field: ArrayLike) -> float:
        """What the noise of the components is worth in a flux density (3,), T: rad rms."""
    def first_order_error(self, flux: float) -> AngleHarmonics:
        """What offsets, gain mismatch and nonorthogonality make of the angle to first order, in a flux density (T)
        that turns with one size.
        """
    def output(self, angle: float) -> float:
        """The output at an angle (rad) as it is read: V of an analog output, rad of a digital one."""
    def code(self, angle: float) -> int | None:
        """The code at an angle (rad) as it is read; None of an analog output."""
    def read(self, field: ArrayLike) -> float:
        """The output in a flux density (3,), T."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AngleHarmonics:
    """Mean and first two harmonics of an error over the turn.

    A harmonic is amplitude cos(n t - phase), both rad.
    """
    @property
    def mean(self) -> float:
        """Mean, rad."""
    @property
    def first(self) -> tuple[float, float]:
        """Amplitude and phase of what comes once a turn: offsets, eccentricity."""
    @property
    def second(self) -> tuple[float, float]:
        """Amplitude and phase of what comes twice a turn: gain mismatch, nonorthogonality."""
    def at(self, angle: float) -> float:
        """Mean and harmonics together at an angle of the turn (rad)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class AngleError:
    """The error of angles read against angles turned, unwrapped over the turn."""
    @staticmethod
    def of(turned: ArrayLike, read: ArrayLike) -> AngleError:
        """Sets angles read (N,) beside angles turned (N,), rad. Angles turned that go on evenly over a whole turn
        give the harmonics too.
        """
    @property
    def turned(self) -> Floats:
        """Angles turned, rad, shape (N,)."""
    @property
    def error(self) -> Floats:
        """Error at each, rad, shape (N,)."""
    @property
    def mean(self) -> float:
        """Mean error, rad: what setting the zero takes away."""
    @property
    def worst(self) -> float:
        """Greatest departure of an error from the mean, rad."""
    @property
    def worst_at(self) -> float:
        """Angle turned where it is, rad."""
    @property
    def harmonics(self) -> AngleHarmonics | None:
        """Mean and harmonics; None unless the angles turned are evenly spaced over one whole turn, 5 of them or
        more.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class LowPass:
    """A low-pass filter of one pole with its -3 dB corner at cutoff (Hz).

    Examples
    --------
    >>> import yokewright as yw
    >>> filter = yw.hall.LowPass.from_rc(10e3, 100e-9)
    >>> print(f"{filter.cutoff:.0f} Hz, {1e3 * filter.group_delay:.1f} ms late")
    159 Hz, 1.0 ms late
    """
    def __new__(cls, cutoff: float) -> LowPass: ...
    @staticmethod
    def from_rc(resistance: float, capacitance: float) -> LowPass:
        """From a resistance (ohm, that of the source included) and a capacitance (F)."""
    @property
    def cutoff(self) -> float:
        """-3 dB corner, Hz."""
    @property
    def time_constant(self) -> float:
        """Time constant, s."""
    @property
    def noise_bandwidth(self) -> float:
        """Bandwidth of the ideal filter that passes as much white noise, Hz: pi/2 times the cutoff."""
    @property
    def group_delay(self) -> float:
        """Group delay at low frequency, s."""
    def noise_share(self, bandwidth: float) -> float:
        """Share of noise (rms) that passes of a sensor whose noise is white up to one pole at bandwidth (Hz)."""
    def gain(self, frequency: float) -> float:
        """Gain at a frequency (Hz)."""
    def phase(self, frequency: float) -> float:
        """Phase at a frequency (Hz), rad, 0 to -pi/2."""
    def settling_time(self, share: float) -> float:
        """Time after a step until so large a share of it is still missing, s."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class Averaging:
    """The mean of so many samples, an interval (s) apart.

    Examples
    --------
    >>> import yokewright as yw
    >>> averaging = yw.hall.Averaging(16, 1e-4)
    >>> averaging.noise_factor
    0.25
    >>> print(f"{averaging.noise_factor_behind(yw.hall.LowPass(200.0)):.2f}")
    0.75
    """
    def __new__(cls, samples: int, interval: float) -> Averaging: ...
    @property
    def samples(self) -> int:
        """How many samples."""
    @property
    def interval(self) -> float:
        """Time between two, s."""
    @property
    def group_delay(self) -> float:
        """Group delay, s: (N - 1)/2 intervals."""
    @property
    def noise_factor(self) -> float:
        """Share of white noise (rms) that is left: 1 / sqrt(N)."""
    def noise_factor_behind(self, filter: LowPass) -> float:
        """Share of noise (rms) that is left if it was white before the filter."""
    def gain(self, frequency: float) -> float:
        """Gain for a motion of a frequency (Hz)."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class SignalChain:
    """What a sensor's output goes through: a filter if there is one, the converter, and the mean of several codes
    if they are averaged.

    Examples
    --------
    >>> import yokewright as yw
    >>> from yokewright import mV
    >>> chain = yw.hall.SignalChain(
    ...     filter=yw.hall.LowPass(1000.0),
    ...     converter=yw.hall.Converter(bits=12, reference=3.3, noise=0.4 * mV),
    ...     averaging=yw.hall.Averaging(8, 0.5e-3),
    ... )
    >>> noise = chain.noise(1 * mV, bandwidth=20e3)
    >>> print(f"{noise.total / mV:.2f} mV rms, {1e3 * chain.group_delay:.1f} ms late")
    0.18 mV rms, 1.9 ms late
    """
    def __new__(
        cls, *, converter: Converter, filter: LowPass | None = None, averaging: Averaging | None = None
    ) -> SignalChain: ...
    @property
    def converter(self) -> Converter:
        """The converter."""
    @property
    def filter(self) -> LowPass | None:
        """The filter before the converter, or None."""
    @property
    def averaging(self) -> Averaging | None:
        """The mean of the codes, or None."""
    @property
    def group_delay(self) -> float:
        """Group delay of filter and averaging at low frequency, s."""
    def noise(self, noise: float, bandwidth: float | None = None) -> NoiseBudget:
        """The noise of a reading, referred to the converter's input, for a sensor's output noise (V rms) that is
        white up to one pole at bandwidth (Hz). Without a bandwidth no filter lowers it.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class NoiseBudget:
    """The noise of a reading by where it comes from, referred to the converter's input."""
    @property
    def sensor(self) -> float:
        """Of the sensor, V rms."""
    @property
    def converter(self) -> float:
        """Of the converter's input, V rms."""
    @property
    def quantization(self) -> float:
        """Of quantization, V rms."""
    @property
    def nonlinearity(self) -> float:
        """What the converter's integral nonlinearity is worth, V rms."""
    @property
    def random(self) -> float:
        """What makes a reading unsteady, V rms: sensor and converter together."""
    @property
    def total(self) -> float:
        """Noise and distortion, V rms: all of it."""
    def __eq__(self, other: object, /) -> bool: ...
    def __ne__(self, other: object, /) -> bool: ...

@final
class TypicalPart:
    """A typical part of its class, and where its figures come from: to begin with before a part is chosen.

    Examples
    --------
    >>> import yokewright as yw
    >>> part = yw.hall.TypicalPart.named("chopped 3.3 V 30 mV/mT")
    >>> part.device.sensitivity
    30.0
    >>> [part.name for part in yw.hall.TypicalPart.all() if isinstance(part.device, yw.hall.Converter)]
    ['10 bit 5 V', '12 bit 3.3 V', '16 bit 5 V']
    """
    @staticmethod
    def named(name: str) -> TypicalPart:
        """A part by its name; case, spaces, hyphens and underscores make no difference."""
    @staticmethod
    def all() -> list[TypicalPart]:
        """Every part."""
    @property
    def name(self) -> str:
        """Its name here."""
    @property
    def device(self) -> LinearHall | AngleSensor | Potentiometer | Converter:
        """What it is: a LinearHall, an AngleSensor, a Potentiometer or a Converter."""
    @property
    def sources(self) -> list[tuple[str, str, str]]:
        """Where its figures come from: (what it covers, text, provenance)."""
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

def ratiometry_error(volts: float, supply: float, nominal_volts: float, nominal_supply: float) -> float:
    """By how much an output fails to follow its supply, as a share of it: volts / supply - nominal_volts /
    nominal_supply (V), in one field.
    """
