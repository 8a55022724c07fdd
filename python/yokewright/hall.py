"""Sensors and the converter: from flux density or angle to volts to counts.

`LinearHall` turns the flux density along its sensitive direction into volts, `AngleSensor` the
direction of the flux in a plane into an angle or volts, `Potentiometer` the angle of a shaft into
volts. `Converter` turns volts into codes; `SignalChain` puts a `LowPass` before it and takes the
`Averaging` mean of its codes, and tells the noise of a reading and by how much it is late.
`AngleError` sets angles read beside angles turned. `TypicalPart` lists typical parts by their
class, with the sources of their figures. `yw.axis` puts sensors in a row behind a magnet.

>>> import yokewright as yw
>>> sensor = yw.hall.LinearHall(
...     supply=5.0,
...     nominal_supply=5.0,
...     quiescent=2.5,
...     sensitivity=25 * yw.mV_per_mT,
...     rail_low=0.2,
...     rail_headroom=0.2,
...     noise=1 * yw.mV,
...     depth=0.5 * yw.mm,
... )
>>> volts = sensor.output(40 * yw.mT)
>>> converter = yw.hall.Converter(bits=12, reference=5.0)
>>> print(f"{volts:.2f} V, code {converter.code(volts)}")
3.50 V, code 2867

A warm sensor, and what is left of its noise behind a filter:

>>> sensor = yw.hall.LinearHall.named("chopped 3.3 V 30 mV/mT")
>>> print(f"{sensor.at_temperature(45.0).sensitivity:.2f} V/T")
30.72 V/T
>>> chain = yw.hall.SignalChain(converter=yw.hall.Converter.named("12 bit 3.3 V"), filter=yw.hall.LowPass(500.0))
>>> noise = chain.noise(sensor.output_noise, sensor.bandwidth)
>>> print(f"{sensor.output_noise / yw.mV:.2f} mV of the sensor, {noise.sensor / yw.mV:.2f} mV behind the filter")
0.69 mV of the sensor, 0.11 mV behind the filter
"""

from ._core import (
    AngleError,
    AngleHarmonics,
    AngleSensor,
    Averaging,
    Converter,
    LinearHall,
    LowPass,
    NoiseBudget,
    Potentiometer,
    SignalChain,
    TypicalPart,
    bits_from_averaging,
    bits_from_snr_db,
    noise_from_density,
    ratiometry_error,
)

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
