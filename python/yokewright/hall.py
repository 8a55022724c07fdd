"""Sensors and the converter: from flux density or angle to volts to counts.

`LinearHall` turns the flux density along its sensitive direction into volts, `Potentiometer` turns
the angle of a shaft into volts, `Converter` turns volts into codes. `yw.axis` puts them in a row
behind a magnet.

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
"""

from ._core import (
    Converter,
    LinearHall,
    Potentiometer,
    bits_from_averaging,
    bits_from_snr_db,
    noise_from_density,
)

__all__ = [
    "Converter",
    "LinearHall",
    "Potentiometer",
    "bits_from_averaging",
    "bits_from_snr_db",
    "noise_from_density",
]
