"""Make block_field.csv: the flux density of uniformly polarized blocks, computed in 160-digit arithmetic.

Run by hand, from anywhere, with mpmath installed (a minute):

    python tests/reference/block_field.py > tests/reference/block_field.csv

The result is the same on every run: the points come from a seeded generator and are rounded to decimals.

The field is the textbook sum over the eight corners (E. P. Furlani, Permanent Magnet and Electromechanical
Devices, Academic Press 2001, ch. 4; R. Engel-Herbert and T. Hesjedal, J. Appl. Phys. 97 (2005) 074504,
eqs. 1-4). Far from a thin block it loses up to 40 digits; 160 leave enough. Before anything is written, the
rows of the region `quadrature` are computed a second time without that sum, by numerical double integration
of the charge on the faces, and must agree to 30 digits.

Columns: the region; side lengths in m, polarization in T and point in m, all in the frame of the block and
written so that every reader gets the same double; then B in T with 25 digits. Inside the material B is
mu0 H + J; on a face it is the limit from outside.
"""

import sys
from itertools import permutations, product
from random import Random

from mpmath import mp, mpf

mp.dps = 160
DIGITS = 25
AGREE = mpf(10) ** -30
ZERO = mpf(10) ** -100

AXES = ("x", "y", "z")
COLUMNS = ["region", *(f"{name}_{axis}" for name in ("size", "polarization", "point", "b") for axis in AXES)]

# Half sides in units of the largest: cube, brick, plate, needle, thin wall, lath and slips between them.
SHAPES = [
    (1.0, 1.0, 1.0),
    (1.0, 0.75, 0.5),
    (1.0, 1.0, 1e-4),
    (1.0, 1e-4, 1e-4),
    (1.0, 1e-2, 1e-4),
    (1.0, 0.3, 1e-3),
    (1.0, 1e-2, 1e-2),
]
POLARIZATIONS = [(0.0, 0.0, 1.3), (0.0, 0.9, 0.0), (0.7, 0.0, 0.0), (0.0, -0.8, 0.9), (0.5, -0.7, 0.6)]
# Below this share of |M| |J| an oblique polarization happens to give almost no field; B is then what is left
# of larger parts, and its relative error says nothing about the way it was computed.
NEARLY_NOTHING = mpf("0.02")


def corner_sum(size, polarization, point):
    """B and the magnitude |M| |J| of the products it is summed from."""
    half = [mpf(side) / 2 for side in size]
    polarization = [mpf(part) for part in polarization]
    inside = all(abs(mpf(at)) < h for at, h in zip(point, half, strict=True))
    # An exact hit on the plane of a face is moved outward by so little that no printed digit changes.
    outward = max(half) * mpf(10) ** -50
    offsets = []
    for at, h in zip(map(mpf, point), half, strict=True):
        near_far = [at - h, at + h]
        offsets.append([offset or way * outward for offset, way in zip(near_far, (1, -1), strict=True)])

    matrix = mp.zeros(3)
    for corner in product((0, 1), repeat=3):
        d = [offsets[axis][side] for axis, side in enumerate(corner)]
        sign = (-1) ** sum(corner)
        distance = mp.sqrt(sum(part * part for part in d))
        for i in range(3):
            j, k = (i + 1) % 3, (i + 2) % 3
            matrix[i, i] += sign * mp.atan(d[j] * d[k] / (d[i] * distance))
            # ln(d + R), written without cancellation where d is negative.
            across = d[j] ** 2 + d[k] ** 2
            log = mp.log(d[i] + distance) if d[i] > 0 else mp.log(across / (distance - d[i]))
            matrix[j, k] -= sign * log
            matrix[k, j] -= sign * log
    matrix /= 4 * mp.pi
    if inside:
        matrix += mp.eye(3)
    b = [sum(matrix[i, k] * polarization[k] for k in range(3)) for i in range(3)]
    return b, mp.mnorm(matrix, "f") * mp.norm(polarization)


def surface_charge(size, polarization, point):
    """B by double integration of the surface charge J . n, the field of a charge being r / 4 pi r^3."""
    half = [mpf(side) / 2 for side in size]
    b = [mpf(0)] * 3
    with mp.workdps(45):
        for axis, way in product(range(3), (-1, 1)):
            if polarization[axis] == 0:
                continue
            j, k = (axis + 1) % 3, (axis + 2) % 3
            d = mpf(point[axis]) - way * half[axis]
            u_range = [mpf(point[j]) - half[j], mpf(point[j]) + half[j]]
            v_range = [mpf(point[k]) - half[k], mpf(point[k]) + half[k]]
            # Cut at the foot of the perpendicular, where the integrand is steepest.
            u_range[1:1] = [mpf(0)] if u_range[0] < 0 < u_range[1] else []
            v_range[1:1] = [mpf(0)] if v_range[0] < 0 < v_range[1] else []
            for component, direction in (
                (axis, lambda u, v, d=d: d),
                (j, lambda u, v: u),
                (k, lambda u, v: v),
            ):
                integral = mp.quad(
                    lambda u, v, d=d, along=direction: along(u, v) / (u * u + v * v + d * d) ** mpf(1.5),
                    u_range,
                    v_range,
                    method="gauss-legendre",
                    maxdegree=7,
                )
                b[component] += way * mpf(polarization[axis]) * integral / (4 * mp.pi)
    inside = all(abs(mpf(at)) < h for at, h in zip(point, half, strict=True))
    return [part + mpf(own) * inside for part, own in zip(b, polarization, strict=True)]


def rounded(value):
    """To six decimal digits, so that the last bits of no machine's mathematics library show."""
    return float(f"{value:.6g}")


def points_around(half, random):
    """(region, point) around one block, well spread; edges and corners themselves have no field."""
    largest = max(half)

    def sign():
        return random.choice((-1.0, 1.0))

    def along(axis, share=1.0):
        return sign() * rounded(share * random.random() * half[axis])

    # Far: any direction, on an axis of the block, in the plane of a face, on the extension of an edge.
    for reach in (1.3, 3.0, 10.0, 100.0, 1e4, 1e6):
        direction = [random.gauss(0.0, 1.0) for _ in range(3)]
        length = sum(part * part for part in direction) ** 0.5
        yield "far", [rounded(1.8 * reach * largest * part / length) for part in direction]
        axis = random.randrange(3)
        on_axis = [0.0, 0.0, 0.0]
        on_axis[axis] = half[axis] + rounded(reach * largest)
        yield "axis", on_axis
        in_plane = [rounded(random.uniform(-1.0, 1.0) * reach * largest) for _ in range(3)]
        in_plane[axis] = sign() * half[axis]
        other = (axis + 1) % 3
        in_plane[other] += sign() * half[other]
        if abs(in_plane[other]) > half[other]:
            yield "face plane", in_plane
        on_extension = [sign() * h for h in half]
        on_extension[axis] += (1.0 if on_extension[axis] > 0.0 else -1.0) * rounded(reach * largest)
        yield "edge extension", on_extension

    # Close to a face, to an edge and to a corner, on either side; the tiny offsets are shares of the size.
    for gap in (0.0, 1e-12, 1e-9, 1e-6, 1e-3, 0.1):
        axis = random.randrange(3)
        at_face = [along(i) for i in range(3)]
        at_face[axis] = sign() * half[axis]
        if gap == 0.0:
            yield "face", at_face
            continue
        at_face[axis] += sign() * gap * half[axis]
        yield "near face", at_face
        at_edge = [sign() * h + sign() * gap * random.random() * largest for h in half]
        at_edge[axis] = along(axis)
        yield "near edge", at_edge
        at_corner = [sign() * h + sign() * gap * random.random() * largest for h in half]
        yield "near corner", at_corner

    for share in (0.0, 0.5, 0.9, 1.0):
        yield "inside", [along(axis, share) for axis in range(3)]


def quadrature_points():
    """Blocks and points where double integration converges to all digits: not too thin, not too close."""
    cube, brick, plate, bar = (
        (10e-3, 10e-3, 10e-3),
        (20e-3, 15e-3, 10e-3),
        (20e-3, 20e-3, 2e-3),
        (4e-3, 4e-3, 20e-3),
    )
    for size, point in [
        (cube, (0.0, 0.0, 9e-3)),
        (cube, (8e-3, -7e-3, 11e-3)),
        (cube, (0.5e-3, -0.25e-3, 1e-3)),
        (brick, (12e-3, 3e-3, -9e-3)),
        (brick, (0.0, 15e-3, 5e-3)),
        (brick, (-150e-3, 80e-3, 60e-3)),
        (plate, (4e-3, -6e-3, 8e-3)),
        (plate, (17e-3, 0.0, 1e-3)),
        (bar, (7e-3, 2e-3, 4e-3)),
        (bar, (2e-3, 2e-3, 17e-3)),
    ]:
        for polarization in ((0.0, 0.0, 1.3), (0.5, -0.7, 0.6)):
            yield "quadrature", size, polarization, point


def rows():
    """(region, size, polarization, point), block by block."""
    random = Random(20)
    yield from quadrature_points()
    for shape in SHAPES:
        orders = list(dict.fromkeys(permutations(shape)))
        for order in random.sample(orders, min(2, len(orders))):
            scale = random.choice((2.5e-3, 5e-3, 0.1))
            half = [max(rounded(scale * h), 5e-6) for h in order]
            polarization = random.choice(POLARIZATIONS)
            size = [2.0 * h for h in half]
            for region, point in points_around(half, random):
                yield region, size, polarization, point


def main():
    print(",".join(COLUMNS))
    worst = mpf(0)
    for region, size, polarization, point in rows():
        b, scale = corner_sum(size, polarization, point)
        if mp.norm(b) < NEARLY_NOTHING * scale:
            continue
        if region == "quadrature":
            second = surface_charge(size, polarization, point)
            error = mp.norm([one - two for one, two in zip(b, second, strict=True)]) / mp.norm(b)
            assert error < AGREE, f"the two routes differ by {mp.nstr(error, 3)} at {size} {polarization} {point}"
            worst = max(worst, error)
        inputs = [repr(float(value)) for value in (*size, *polarization, *point)]
        # What symmetry makes zero comes out as the rounding of the 160 digits.
        outputs = [mp.nstr(part, DIGITS) if abs(part) > ZERO * mp.norm(b) else "0.0" for part in b]
        print(",".join([region, *inputs, *outputs]))
    print(f"largest difference between the two routes: {mp.nstr(worst, 3)} of |B|", file=sys.stderr)


if __name__ == "__main__":
    main()
