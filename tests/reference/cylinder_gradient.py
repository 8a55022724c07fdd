"""Make cylinder_gradient.csv: the gradient of the field of cylinders and rings, in 320-digit arithmetic.

Run by hand, from anywhere, with mpmath installed (some minutes; gmpy2 makes it several times faster):

    python tests/reference/cylinder_gradient.py > tests/reference/cylinder_gradient.csv

The result is the same on every run: the magnets and points of cylinder_field.py, from a seeded generator.

The elements M_zz, M_rz and M_pp of B = M J are the closed forms with complete elliptic integrals (N. Derby
and S. Olbert, Am. J. Phys. 78 (2010) 229, eqs. 4-6; A. Caciagli et al., J. Magn. Magn. Mater. 456 (2018) 423)
and the gradient their central difference over a step so small that 320 digits leave 40. What the closed
forms lose far away or on thin shapes, they have to spare. Two checks before anything is written: d M_pp / dz
and d M_pp / d rho must agree with M_rz / rho and (M_rr - M_pp) / rho, which curl and divergence of B demand;
and in many a region a row must have the M that cylinder_field.py integrates without any elliptic integral.

Columns: the region; outer and inner diameter (0 for a solid cylinder) and length in m, polarization in T,
point in m, in the frame of the magnet (its axis is z); then the elements dB_i/dx_j of the symmetric gradient
in T/m with 25 digits; then |T| |J| in T/m, the size of the parts that an oblique polarization is summed from.
"""

import sys
from random import Random

import cylinder_field
from cylinder_field import AXES, DIGITS, POLARIZATIONS, SHAPES, points_around
from mpmath import mp, mpf

mp.dps = 320
# Of the distance from the axis or the mantle, whichever is less.
STEP = mpf(10) ** -35
AGREE = mpf(10) ** -40
AGREE_FIELD = mpf(10) ** -25
ZERO = mpf(10) ** -40
# A point on a face, on the mantle or on the axis moves by this share of the size; no printed digit changes.
ASIDE = mpf(10) ** -45
# So many rows of a region and shape are compared with the integrals.
COMPARED = 1
ELEMENTS = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)]
COLUMNS = [
    "region",
    *("outer_diameter", "inner_diameter", "length"),
    *(f"{name}_{axis}" for name in ("polarization", "point") for axis in AXES),
    *(f"g_{AXES[i]}{AXES[j]}" for i, j in ELEMENTS),
    "scale",
]


def end(a, rho, zeta):
    """What one end contributes to M_zz, M_rz and M_pp - inside: S, N and T."""
    q2 = (rho + a) ** 2 + zeta * zeta
    q = mp.sqrt(q2)
    m = 4 * a * rho / q2
    n = 4 * a * rho / (a + rho) ** 2
    k, e, pi = mp.ellipk(m), mp.ellipe(m), mp.ellippi(n, m)
    # cel(kc, 1, -1, 1) and cel(kc, gamma^2, 1, gamma) in Legendre's integrals.
    difference = 2 * (k - e) / m - k
    gamma = (a - rho) / (a + rho)
    third = (k + gamma * pi) / (1 + gamma)
    axial = a * zeta / (mp.pi * q * (a + rho)) * third
    radial = a / (mp.pi * q) * difference
    around = a * zeta / (2 * mp.pi * rho**2 * q) * (rho * difference + a * k + (rho - a) * third)
    return axial, radial, around


def elements(shape, rho, z):
    """M_zz, M_rz and M_pp - inside."""
    outer, inner, length = (mpf(value) for value in shape)
    sums = [mpf(0)] * 3
    for radius, weight in ((outer / 2, 1), (inner / 2, -1)):
        if radius:
            near, far = end(radius, rho, z - length / 2), end(radius, rho, z + length / 2)
            parts = (far[0] - near[0], near[1] - far[1], near[2] - far[2])
            sums = [total + weight * part for total, part in zip(sums, parts, strict=True)]
    return sums


def gradient(shape, polarization, point, compare):
    """The elements of the gradient, |T| |J| and the largest difference of two routes."""
    outer, inner, length = (mpf(value) for value in shape)
    x, y, z = (mpf(value) for value in point)
    size = max(outer, length)
    rho2 = x * x + y * y
    rho = mp.sqrt(rho2)
    unit = (x / rho, y / rho) if rho else (mpf(1), mpf(0))
    # Squares, so that a point on the mantle is on it to the last digit.
    if 4 * rho2 == outer**2:
        rho += ASIDE * size
    elif inner and 4 * rho2 == inner**2:
        rho -= ASIDE * size
    elif rho == 0:
        rho = ASIDE * size
    if abs(z) == length / 2:
        z += ASIDE * size * mp.sign(z)
    step = STEP * min(rho, *(abs(rho - radius / 2) for radius in (outer, inner)))

    along_z = [
        (up - down) / (2 * step)
        for up, down in zip(elements(shape, rho, z + step), elements(shape, rho, z - step), strict=True)
    ]
    along_rho = [
        (up - down) / (2 * step)
        for up, down in zip(elements(shape, rho + step, z), elements(shape, rho - step, z), strict=True)
    ]
    zzz, rzz, ppz = along_z
    rpp = along_rho[2]
    zz, rz, pp = elements(shape, rho, z)
    rrr, rrz = -(rpp + rzz), -(ppz + zzz)
    norm = mp.sqrt(rrr**2 + zzz**2 + 3 * (rrz**2 + rzz**2 + ppz**2 + rpp**2))
    # M_rr - M_pp without the inside, which drops out.
    worst = max(abs(ppz - rz / rho), abs(rpp - (-zz - 2 * pp) / rho), abs(rzz - along_rho[0])) / norm
    assert worst < AGREE, f"the two routes differ by {mp.nstr(worst, 3)} at {shape}, {point}"
    if compare:
        inside = (not inner or rho > inner / 2) and rho < outer / 2 and abs(z) < length / 2
        with mp.workdps(70):
            other_rr, other_pp, other_zz, other_rz, _ = cylinder_field.matrix(shape, rho, z, int(inside))
        size_m = mp.sqrt(other_rr**2 + other_pp**2 + other_zz**2 + 2 * other_rz**2)
        differences = (zz - other_zz, rz - other_rz, pp + inside - other_pp)
        worst = max(abs(part) for part in differences) / size_m
        assert worst < AGREE_FIELD, f"not the integral's field by {mp.nstr(worst, 3)} at {shape}, {point}"

    jx, jy, jz = (mpf(value) for value in polarization)
    radial, around = jx * unit[0] + jy * unit[1], jy * unit[0] - jx * unit[1]
    g = mp.matrix(3)
    g[0, 0] = rrr * radial + rrz * jz
    g[1, 1] = rpp * radial + ppz * jz
    g[2, 2] = rzz * radial + zzz * jz
    g[0, 1] = g[1, 0] = rpp * around
    g[0, 2] = g[2, 0] = rrz * radial + rzz * jz
    g[1, 2] = g[2, 1] = ppz * around
    turn = mp.matrix([[unit[0], -unit[1], 0], [unit[1], unit[0], 0], [0, 0, 1]])
    return turn * g * turn.T, norm * mp.norm([jx, jy, jz])


def main():
    random = Random(37)
    print(",".join(COLUMNS))
    compared = {}
    for shape in SHAPES:
        for region, point in points_around(shape, random):
            # In the center symmetry leaves nothing.
            if max(map(abs, point)) > 1e6 or not any(point):
                continue
            polarization = random.choice(POLARIZATIONS)
            count = compared.setdefault((shape, region), 0)
            # Within a hair of the surface, the integrals need their own shift of the point.
            regular = "mantle" not in region and "axis" not in region and "face" not in region
            compared[shape, region] += regular
            g, scale = gradient(shape, polarization, point, regular and count < COMPARED)
            inputs = [repr(float(value)) for value in (*shape, *polarization, *point)]
            # What symmetry makes zero comes out as rounding.
            parts = [g[i, j] for i, j in ELEMENTS]
            outputs = [mp.nstr(part, DIGITS) if abs(part) > ZERO * scale else "0.0" for part in parts]
            print(",".join([region, *inputs, *outputs, mp.nstr(scale, 6)]))
    print(
        f"compared with the integrals: {sum(min(n, COMPARED) for n in compared.values())} rows",
        file=sys.stderr,
    )


if __name__ == "__main__":
    main()
