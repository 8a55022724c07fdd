"""Make cylinder_strength.csv: the field strength inside cylinders and rings, in 320-digit arithmetic.

Run by hand, from anywhere, with mpmath installed (seconds):

    python tests/reference/cylinder_strength.py > tests/reference/cylinder_strength.csv

The result is the same on every run. Inside a long magnet B and J agree to many digits; mu0 H is taken here
from the closed forms of cylinder_gradient.py, whose head says more and which checks them.

Columns: outer and inner diameter (0 for a solid cylinder) and length in m, polarization in T, point in m, in
the frame of the magnet (its axis is z); then mu0 H in T with 25 digits.
"""

from math import cos, sin
from random import Random

from cylinder_field import AXES, DIGITS, SHAPES, rounded
from cylinder_gradient import elements
from mpmath import mp, mpf

COLUMNS = [
    *("outer_diameter", "inner_diameter", "length"),
    *(f"{name}_{axis}" for name in ("polarization", "point", "mu0h") for axis in AXES),
]


def main():
    print(",".join(COLUMNS))
    random = Random(5)
    for shape in SHAPES:
        outer, inner, length = shape
        for polarization in ((0.0, 0.0, 1.3), (0.9, 0.0, 0.0), (0.0, 0.0, 0.7)):
            share, angle = rounded(random.uniform(0.02, 0.98)), rounded(random.uniform(-3.1, 3.1))
            radius = (inner + (outer - inner) * share) / 2
            point = [
                float(f"{radius * cos(angle):.12g}"),
                float(f"{radius * sin(angle):.12g}"),
                rounded(random.uniform(-0.48, 0.48) * length),
            ]
            x, y, z = (mpf(value) for value in point)
            rho = mp.hypot(x, y)
            zz, rz, pp = elements(shape, rho, z)
            # M - 1 inside, whose trace is -1; M_pp comes without its 1 already.
            zz -= 1
            rr = -1 - zz - pp
            jx, jy, jz = (mpf(value) for value in polarization)
            c, s = x / rho, y / rho
            radial, around = jx * c + jy * s, jy * c - jx * s
            h_rho, h_phi, h_z = rr * radial + rz * jz, pp * around, rz * radial + zz * jz
            h = [h_rho * c - h_phi * s, h_rho * s + h_phi * c, h_z]
            inputs = [repr(float(value)) for value in (*shape, *polarization, *point)]
            print(",".join([*inputs, *(mp.nstr(part, DIGITS) for part in h)]))


if __name__ == "__main__":
    main()
