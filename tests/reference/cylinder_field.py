"""Make cylinder_field.csv: the flux density of cylinders and rings, by integration in 70 digits.

Run by hand, from anywhere, with mpmath installed (some minutes; gmpy2 makes it several times faster):

    python tests/reference/cylinder_field.py > tests/reference/cylinder_field.csv

The result is the same on every run: the points come from a seeded generator and are rounded to decimals.

No elliptic integral is used. The field is that of the surface charge J . n (E. P. Furlani, Permanent Magnet
and Electromechanical Devices, Academic Press 2001, ch. 4), integrated over the azimuth by composite
Gauss-Legendre quadrature; the integral over the length of the mantle and over the radius of the end faces is
elementary. A ring is the outer cylinder without the inner one, which costs digits that 70 have to spare.
Every row is computed by two routes that share no formula: end faces alone give M_zz and M_rz of B = M J,
the mantle alone M_rr, M_pp and M_zr. Before anything is written they must agree: M symmetric, its trace 0
outside the material and 2 inside.

Columns: the region; outer and inner diameter (0 for a solid cylinder) and length in m, polarization in T,
point in m, in the frame of the magnet (its axis is z) and written so that every reader gets the same
double; then B in T with 25 digits; then |M| |J| in T, the size of the parts that an oblique polarization is
summed from. Inside the material B is mu0 H + J; on a face it is the limit from outside.
"""

import sys
from itertools import pairwise
from math import cos, pi, sin
from random import Random

from mpmath import mp, mpf

mp.dps = 70
DIGITS = 25
# What the two routes may differ by, as a share of |M|.
AGREE = mpf(10) ** -27
ZERO = mpf(10) ** -40
# Nodes to a panel. Panels grow threefold away from the steepest place, so that the error is below 3.7^-2n.
NODES = 44
# A point on a face is moved outward by this share of the size, which changes no printed digit.
OUTWARD = mpf(10) ** -32

AXES = ("x", "y", "z")
COLUMNS = [
    "region",
    *("outer_diameter", "inner_diameter", "length"),
    *(f"{name}_{axis}" for name in ("polarization", "point", "b") for axis in AXES),
    "scale",
]


def gauss_legendre(n):
    """Nodes and weights on [0, 1]."""
    rule = []
    for i in range(n):
        x = mp.cos(mp.pi * (i + mpf(0.75)) / (n + mpf(0.5)))
        for _ in range(9):
            before, p = mpf(1), x
            for k in range(2, n + 1):
                before, p = p, ((2 * k - 1) * x * p - (k - 1) * before) / k
            slope = n * (x * p - before) / (x * x - 1)
            x -= p / slope
        rule.append(((1 + x) / 2, 1 / ((1 - x * x) * slope * slope)))
    return rule


RULE = gauss_legendre(NODES)


def over_the_azimuth(parts, steepest):
    """Integrals over a full turn of parts that are even in the angle and as narrow as `steepest` around 0."""
    cuts = [mpf(0)]
    width = max(min(steepest, mp.pi / 2), mpf(10) ** -40)
    while width < 2:
        cuts.append(width)
        width *= 3
    cuts.append(mp.pi)
    sums = None
    for start, end in pairwise(cuts):
        for node, weight in RULE:
            values = parts(start + (end - start) * node)
            share = 2 * (end - start) * weight
            terms = [share * value for value in values]
            sums = terms if sums is None else [one + two for one, two in zip(sums, terms, strict=True)]
    return sums


def solid_cylinder(a, h, rho, z):
    """H / J elements M_zz, M_rz by the end faces and M_rr, M_pp, M_zr by the mantle."""
    ends = [(z - h, 1), (z + h, -1)]

    def parts(theta):
        sine, cosine = mp.sin(theta), mp.cos(theta)
        # (rho - a)^2 + ... instead of rho^2 + a^2 - ...: no loss close to the mantle.
        half_sine = mp.sin(theta / 2)
        s2 = (rho - a) ** 2 + 4 * a * rho * half_sine**2
        zz = rz = along = across = 0
        for zeta, sign in ends:
            w2 = rho * rho + zeta * zeta
            w, r = mp.sqrt(w2), mp.sqrt(s2 + zeta * zeta)
            foot = rho * cosine
            apart = rho * rho * sine * sine + zeta * zeta
            # The disc of charge: the integrals of 1, s and s^2 over the radius s, divided by R^3.
            i0 = ((a - foot) / r + foot / w) / apart
            i1 = ((a * foot - w2) / r + w) / apart
            i2 = mp.asinh((a - foot) / mp.sqrt(apart)) + mp.asinh(foot / mp.sqrt(apart)) + 2 * foot * i1 - w2 * i0
            zz += sign * zeta * i1
            rz += sign * (rho * i1 - cosine * i2)
            # The line of charge on the mantle: the integrals of 1 and of the height over the length, by R^3.
            along -= sign * zeta / (s2 * r)
            across += sign / r
        charge = a * cosine
        return (
            zz,
            rz,
            charge * (rho - a * cosine) * along,
            -((a * sine) ** 2) * along,
            charge * across,
        )

    # Angles at which the integrands are steepest: the distances from the mantle, the ends and the axis.
    lengths = [abs(rho - a), *(mp.hypot(zeta, max(rho - a, 0)) for zeta, _ in ends)]
    steepest = min(lengths) / max(rho, a / 10**3) if rho else mp.pi
    sums = over_the_azimuth(parts, steepest)
    return [value / (4 * mp.pi) for value in sums]


def matrix(shape, rho, z, inside):
    """M of B = M J in the directions (rho, phi, z), as M_rr, M_pp, M_zz, M_rz."""
    outer, inner, length = (mpf(value) for value in shape)
    zz, rz, rr, pp, zr = solid_cylinder(outer / 2, length / 2, rho, z)
    if inner:
        hole = solid_cylinder(inner / 2, length / 2, rho, z)
        zz, rz, rr, pp, zr = (one - two for one, two in zip((zz, rz, rr, pp, zr), hole, strict=True))
    size = mp.sqrt(zz**2 + rr**2 + pp**2 + 2 * rz**2)
    trace = zz + rr + pp + inside
    worst = max(abs(trace), abs(rz - zr)) / size
    assert worst < AGREE, f"the two routes differ by {mp.nstr(worst, 3)} at {shape}, {float(rho)}, {float(z)}"
    return rr + inside, pp + inside, zz + inside, rz, worst


def field(shape, polarization, point):
    """B, |M| |J| and the difference of the two routes."""
    outer, inner, length = (mpf(value) for value in shape)
    x, y, z = (mpf(value) for value in point)
    rho = mp.sqrt(x * x + y * y)
    size = max(outer, length)
    inside = (not inner or rho > inner / 2) and rho < outer / 2 and abs(z) < length / 2
    # Squares, so that a point on the mantle is on it to the last digit.
    rho2 = x * x + y * y
    unit = (x / rho, y / rho) if rho else (mpf(1), mpf(0))
    if 4 * rho2 == outer**2:
        rho, inside = outer / 2 + OUTWARD * size, False
    elif inner and 4 * rho2 == inner**2:
        rho, inside = inner / 2 - OUTWARD * size, False
    if abs(z) == length / 2:
        z += OUTWARD * size * mp.sign(z)
        inside = False
    rr, pp, zz, rz, worst = matrix(shape, rho, z, int(inside))
    jx, jy, jz = (mpf(value) for value in polarization)
    radial, around = jx * unit[0] + jy * unit[1], jy * unit[0] - jx * unit[1]
    b_rho, b_phi, b_z = rr * radial + rz * jz, pp * around, rz * radial + zz * jz
    b = [b_rho * unit[0] - b_phi * unit[1], b_rho * unit[1] + b_phi * unit[0], b_z]
    scale = mp.sqrt(rr**2 + pp**2 + zz**2 + 2 * rz**2) * mp.norm([jx, jy, jz])
    return b, scale, worst


def rounded(value):
    """To six decimal digits, so that the last bits of no machine's mathematics library show."""
    return float(f"{value:.6g}")


# Outer diameter, inner diameter, length. 0.625 and 0.3125 are 5/8 and 5/16: points of a 3-4-5 triangle lie on
# such a mantle to the last bit.
SHAPES = [
    (0.625, 0.0, 0.4375),
    (0.008, 0.0, 0.003),
    (0.02, 0.0, 0.0002),
    (0.003, 0.0, 0.08),
    (0.625, 0.0, 0.000625),
    (0.0009765625, 0.0, 0.9765625),
    (0.625, 0.3125, 0.25),
    (0.012, 0.005, 0.002),
    (0.02, 0.001, 0.04),
    (0.625, 0.624375, 0.3),
    (0.04, 0.03996, 0.00004),
    (0.01, 0.00999, 0.5),
    (0.5, 0.002, 0.0005),
]
POLARIZATIONS = [(0.0, 0.0, 1.3), (0.9, 0.0, 0.0), (0.3, -0.8, 0.0), (0.5, -0.7, 0.6)]


def points_around(shape, random):
    """(region, point) around one magnet; rims have no field."""
    outer, inner, length = shape
    a, hole, h = outer / 2, inner / 2, length / 2
    size = max(outer, length)

    def sign():
        return random.choice((-1.0, 1.0))

    def turned(rho, z):
        """Any azimuth; the radius is then what the rounded coordinates make it."""
        angle = rounded(random.uniform(-pi, pi))
        return [float(f"{rho * cos(angle):.12g}"), float(f"{rho * sin(angle):.12g}"), float(z)]

    def material():
        return hole + (a - hole) * random.uniform(0.05, 0.95)

    def height():
        return rounded(h * random.uniform(-0.95, 0.95))

    def exactly(radius, z):
        """On the circle of this radius to the last bit."""
        if radius * 16 * 2**20 % 5 == 0:
            return [sign() * radius / 5 * 3, sign() * radius / 5 * 4, z]
        return random.choice(([sign() * radius, 0.0, z], [0.0, sign() * radius, z]))

    for _ in range(3):
        yield "open", [rounded(random.uniform(-3, 3) * half) for half in (a, a, h)]
    yield "open", turned(a * random.uniform(1.1, 3.0), rounded(h * random.uniform(-3.0, 3.0)))
    for _ in range(2):
        yield "inside", turned(material(), height())
    if hole:
        yield "bore", turned(hole * random.uniform(0.05, 0.9), height())
    for z in (0.0, height(), sign() * rounded(h * 1.7), sign() * rounded(h + 2.0 * size)):
        yield "axis", [0.0, 0.0, z]
    for share in (1e-12, 1e-7, 1e-3, 0.02):
        yield "near the axis", turned(share * a, rounded(random.uniform(-2.0, 2.0) * h))

    for radius in (a, hole) if hole else (a,):
        for reach in (1e-6, 0.01, 1.0, 100.0):
            yield "mantle extension", exactly(radius, sign() * (h + rounded(reach * size)))
        yield "mantle", exactly(radius, height())
        for gap in (1e-12, 1e-9, 1e-6, 1e-3, 0.1):
            yield "near the mantle", turned(radius * (1.0 + sign() * gap), height())
            yield (
                "near the mantle extension",
                turned(radius * (1.0 + sign() * gap), sign() * rounded(h * random.uniform(1.05, 4.0))),
            )
        for gap in (1e-6, 1e-4, 1e-2, 0.3):
            for _ in range(2):
                away = sign() * rounded(gap * random.random() * a)
                beyond = sign() * rounded(gap * random.random() * a)
                if radius + away > 0.0 and h + beyond > 0.0:
                    yield "near a rim", turned(radius + away, sign() * (h + beyond))
    # Distances of the size of the wall and of the thickness, where thin shapes cancel most.
    for small in dict.fromkeys((a - hole, length)):
        for reach in (0.5, 2.0, 10.0, 100.0):
            if reach * small < 2.0 * size:
                yield (
                    "near a thin part",
                    turned(a + rounded(reach * small), sign() * (h + rounded(reach * small))),
                )
                yield "near a thin part", turned(a + rounded(reach * small), rounded(0.7 * h))

    yield "face", turned(material(), sign() * h)
    yield "face plane", turned(a * random.uniform(1.001, 1.2), sign() * h)
    yield "face plane", turned(a * random.uniform(1.5, 20.0), sign() * h)
    if hole:
        yield "face plane", turned(hole * random.uniform(0.05, 0.95), sign() * h)
    for gap in (1e-12, 1e-6, 1e-3):
        yield "near a face", turned(material(), sign() * h * (1.0 + sign() * gap))

    for reach in (1.3, 5.0, 20.0, 100.0, 1e4, 1e6):
        direction = [random.gauss(0.0, 1.0) for _ in range(3)]
        norm = sum(part * part for part in direction) ** 0.5
        yield "far", [rounded(reach * size * part / norm) for part in direction]
    for reach in (1.0, 30.0, 1e6):
        yield "middle plane", turned(a + rounded(reach * size), 0.0)


def main():
    random = Random(37)
    print(",".join(COLUMNS))
    worst = mpf(0)
    for shape in SHAPES:
        for region, point in points_around(shape, random):
            if max(map(abs, point)) > 1e6:
                continue
            polarization = random.choice(POLARIZATIONS)
            b, scale, difference = field(shape, polarization, point)
            worst = max(worst, difference)
            inputs = [repr(float(value)) for value in (*shape, *polarization, *point)]
            # What symmetry makes zero comes out as the rounding of the 70 digits.
            outputs = [mp.nstr(part, DIGITS) if abs(part) > ZERO * scale else "0.0" for part in b]
            print(",".join([region, *inputs, *outputs, mp.nstr(scale, 6)]))
    print(f"largest difference between the two routes: {mp.nstr(worst, 3)} of |M|", file=sys.stderr)


if __name__ == "__main__":
    main()
