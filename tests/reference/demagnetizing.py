"""Make demagnetizing.csv: demagnetizing factors of blocks, cylinders and rings, in 60 digits and more.

Run by hand, from anywhere, with mpmath installed (two minutes):

    python tests/reference/demagnetizing.py > tests/reference/demagnetizing.csv

The factors are the magnetometric ones of a uniform polarization. Blocks: the closed form of A. Aharoni,
J. Appl. Phys. 83 (1998) 3432, eq. 1. Cylinders: 1 minus the coefficient of H. Nagaoka (1909) in the elliptic
form of L. Lorenz (1879), axial; (1 - axial) / 2 across. Rings: self and mutual inductance of the two
current sheets, that is Neumann's double line integral over the two rims with the integral along the length
done by hand. All of them lose up to 20 digits on slender, flat and thin-walled bodies; 60 leave enough.
Before anything is written, a second route must agree to 20 digits: the factors of each block add up to one,
and the inductance integral gives the cylinders too.

Columns: the shape; its measures in m, written so that every reader gets the same double (block: sides along
x, y, z; cylinder: diameter, length, 0; ring: outer diameter, inner diameter, length); then the factors along
x, y, z, with z the axis of cylinder and ring, with 20 digits.
"""

from mpmath import asinh, atan, cos, ellipe, ellipk, log, mp, mpf, pi, quad, sin, sqrt

mp.dps = 120
DIGITS = 20
AGREE = mpf(10) ** -20

# Sides in units of the largest, from the cube to slips and needles of 1 : 1e4, and the extremes that fit
# into 10 um to 1 m.
BLOCKS = [
    (1.0, 1.0, 1.0),
    (1.0, 1.0, 0.5),
    (1.0, 0.75, 0.5),
    (1.0, 0.3, 0.01),
    (1.0, 1.0, 1e-2),
    (1.0, 1e-2, 1e-2),
    (1.0, 0.9, 1e-4),
    (1.0, 1e-4, 1e-4),
    (1.0, 1e-2, 1e-4),
    (1.0, 0.5, 1e-5),
    (1.0, 1e-5, 1e-5),
    (1.0, 3e-3, 1e-5),
]
# Radius and length.
CYLINDERS = [(0.5, length) for length in (1e-5, 1e-4, 1e-2, 0.1, 0.3, 0.5, 1.0)]
CYLINDERS += [(radius, 1.0) for radius in (0.25, 0.1, 0.03, 1e-2, 1e-3, 1e-4, 1e-5)]
# Outer radius, inner radius, length: thick to thin walls (on both sides of 3/4, where the method changes),
# flat to tall.
RINGS = [
    (0.5, 0.5 * share, length)
    for share in (0.01, 0.3, 0.7, 0.749, 0.751, 0.95, 0.999, 0.9999)
    for length in (1e-5, 1e-3, 1e-2, 0.5, 1.0)
]
RINGS += [(5e-4, 5e-4 * share, 1.0) for share in (0.03, 0.5, 0.99)]


def block_factor(a, b, c):
    """Aharoni's eq. 1: the factor along c of a block with half sides a, b, c."""
    a, b, c = mpf(a), mpf(b), mpf(c)
    ab, bc, ac = sqrt(a * a + b * b), sqrt(b * b + c * c), sqrt(a * a + c * c)
    r = sqrt(a * a + b * b + c * c)
    total = (b * b - c * c) / (2 * b * c) * log((r - a) / (r + a))
    total += (a * a - c * c) / (2 * a * c) * log((r - b) / (r + b))
    total += b / (2 * c) * log((ab + a) / (ab - a)) + a / (2 * c) * log((ab + b) / (ab - b))
    total += c / (2 * a) * log((bc - b) / (bc + b)) + c / (2 * b) * log((ac - a) / (ac + a))
    total += 2 * atan(a * b / (c * r)) + (a**3 + b**3 - 2 * c**3) / (3 * a * b * c)
    total += (a * a + b * b - 2 * c * c) / (3 * a * b * c) * r + c / (a * b) * (ac + bc)
    total -= (ab**3 + bc**3 + ac**3) / (3 * a * b * c)
    return total / pi


def cylinder_factor(radius, length):
    """One minus Nagaoka's coefficient, by Lorenz."""
    diameter, length = 2 * mpf(radius), mpf(length)
    m = diameter**2 / (diameter**2 + length**2)
    rest = 1 - m
    bracket = rest / m * (ellipk(m) - ellipe(m)) + ellipe(m) - sqrt(m)
    return 1 - 4 / (3 * pi * sqrt(rest)) * bracket


def rims(first, second, length):
    """The flux that the second sheet misses of the first, over that of a long pair, times second^2."""
    first, second, length = mpf(first), mpf(second), mpf(length)

    def integrand(angle):
        apart = sqrt((first - second) ** 2 + 4 * first * second * sin(angle / 2) ** 2)
        along = length * asinh(length / apart) + apart - sqrt(length**2 + apart**2)
        return cos(angle) * along

    # The integrand changes quickly where the rims come close: crowd the pieces there.
    pieces = [mpf(0), *(mpf(10) ** k for k in range(-20, 0)), mpf(1), pi]
    mutual = 2 * first * second / (pi * length) * quad(integrand, pieces)
    return second**2 - mutual


def ring_factor(outer, inner, length):
    ends = rims(outer, outer, length) + rims(inner, inner, length) - 2 * rims(outer, inner, length)
    return ends / (mpf(outer) ** 2 - mpf(inner) ** 2)


def rows():
    for shape in BLOCKS:
        for scale in (1.0, 0.01) if min(shape) >= 1e-2 else (1.0,):
            sides = [scale * side for side in shape]
            x, y, z = sides
            factors = [block_factor(y, z, x), block_factor(z, x, y), block_factor(x, y, z)]
            assert abs(sum(factors) - 1) < AGREE, sides
            yield "block", sides, factors
    mp.dps = 60
    for radius, length in CYLINDERS:
        axial = cylinder_factor(radius, length)
        second = rims(radius, radius, length) / mpf(radius) ** 2
        assert abs(axial - second) < AGREE * axial, (radius, length, mp.nstr(axial, 25), mp.nstr(second, 25))
        yield "cylinder", (2 * radius, length, 0.0), [(1 - axial) / 2, (1 - axial) / 2, axial]
    for outer, inner, length in RINGS:
        axial = ring_factor(outer, inner, length)
        yield "ring", (2 * outer, 2 * inner, length), [(1 - axial) / 2, (1 - axial) / 2, axial]


def main():
    print("shape,first,second,third,n_x,n_y,n_z")
    for shape, measures, factors in rows():
        inputs = [repr(float(measure)) for measure in measures]
        print(",".join([shape, *inputs, *(mp.nstr(factor, DIGITS) for factor in factors)]))


if __name__ == "__main__":
    main()
