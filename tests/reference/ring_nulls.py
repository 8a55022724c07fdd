"""Make ring_nulls.csv: the flux density of rings polarized across, in and near the places where it vanishes.

Run by hand, from anywhere, with mpmath installed (some minutes):

    python tests/reference/ring_nulls.py > tests/reference/ring_nulls.csv

At right angles to the polarization (J along x, the point on the y axis) B is M_pp J alone, and M_pp of a
ring changes sign above the bore and within it. For some heights the radius at which it does is found,
rounded to a double, and the field is computed there and at small steps beside it, by the integrals of
`cylinder_field.py` in 70 digits; both of its routes agree.

Columns: outer and inner diameter and length in m; polarization along x in T; y and z of the point in m
(x is 0); B along x in T with 25 digits (the other parts are zero by symmetry); |M| |J| in T.
"""

from random import Random

from cylinder_field import field, matrix, rounded
from mpmath import mp, mpf

SHAPES = [
    (0.02, 0.008, 0.004),
    (0.02, 0.015, 0.02),
    (0.012, 0.005, 0.002),
    (0.625, 0.3125, 0.25),
    (0.03, 0.0285, 0.006),
]
COLUMNS = ("outer_diameter", "inner_diameter", "length", "polarization", "y", "z", "b", "scale")


def around(shape, y, z):
    """M_pp in the open."""
    return matrix(shape, mpf(y), mpf(z), 0)[1]


def null(shape, z, lower, upper):
    """A radius, as a double, at which M_pp changes sign; None where it has one sign at both ends."""
    ends = (mpf(lower), mpf(upper))
    if mp.sign(around(shape, ends[0], z)) == mp.sign(around(shape, ends[1], z)):
        return None
    # The square of what is left of M is compared: 1e-18 of M, below a double's rounding of the radius.
    return float(mp.findroot(lambda y: around(shape, y, z), ends, solver="anderson", tol=1e-36))


def main():
    random = Random(41)
    print(",".join(COLUMNS))
    for shape in SHAPES:
        outer, inner, length = shape
        found = 0
        while found < 2:
            z = rounded(random.uniform(0.05, 1.2) * max(length, inner))
            # Within the bore, or above the magnet: in the open in any case.
            reach = 0.98 * inner / 2 if z < 0.55 * length else outer
            y = null(shape, z, 0.02 * inner, reach)
            if y is None:
                continue
            found += 1
            for step in (0.0, 1e-13, 1e-10, 1e-7, -1e-5, 1e-3):
                point = (0.0, y * (1.0 + step), z)
                b, scale, _ = field(shape, (1.0, 0.0, 0.0), point)
                row = [*shape, 1.0, *point[1:]]
                numbers = [repr(float(value)) for value in row]
                print(",".join([*numbers, mp.nstr(b[0], 25), mp.nstr(scale, 6)]), flush=True)


if __name__ == "__main__":
    main()
