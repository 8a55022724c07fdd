"""Make block_gradient.csv: the gradient of the flux density of blocks, computed in 160-digit arithmetic.

Run by hand, from anywhere, with mpmath installed (a minute):

    python tests/reference/block_gradient.py > tests/reference/block_gradient.csv

Blocks and points are those of block_field.py, whose head says more; the result is the same on every run.

The gradient is the sum over the eight corners that remains when the textbook field (there) is differentiated:
every logarithm and every arctangent leaves an algebraic term. Before anything is written, each row is
computed a second time without that sum, as the central difference of the textbook field itself over 1e-45
of the distance to the nearest corner, and must agree to 30 digits. (On a face the field jumps; those rows
have the sum alone.)

Columns: the region; side lengths in m, polarization in T and point in m, all in the frame of the block; then
the elements dB_i/dx_j of the symmetric gradient in T/m with 25 digits.
"""

import sys
from itertools import product

from block_field import AXES, DIGITS, NEARLY_NOTHING, ZERO, corner_sum, rows
from mpmath import mp, mpf

AGREE = mpf(10) ** -30
STEP = mpf(10) ** -45
ELEMENTS = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)]
COLUMNS = [
    "region",
    *(f"{name}_{axis}" for name in ("size", "polarization", "point") for axis in AXES),
    *(f"g_{AXES[i]}{AXES[j]}" for i, j in ELEMENTS),
]


def third_derivatives(size, point):
    """T_ijk = dM_ij/dx_k of B = M J.

    From d ln(Z + R)/dZ = 1/R, d atan(Y Z / (X R))/dY = X Z / (R (X^2 + Y^2)) and the like.
    """
    outward = max(map(mpf, size)) * mpf(10) ** -60
    offsets = [[mpf(at) - mpf(side) / 2, mpf(at) + mpf(side) / 2] for at, side in zip(point, size, strict=True)]
    # An exact hit on the plane of a face is moved outward by so little that no printed digit changes.
    offsets = [[near or outward, far or -outward] for near, far in offsets]
    tensor = {}
    for corner in product((0, 1), repeat=3):
        d = [offsets[axis][side] for axis, side in enumerate(corner)]
        sign = (-1) ** sum(corner)
        distance = mp.sqrt(sum(part * part for part in d))
        tensor[0, 1, 2] = tensor.get((0, 1, 2), 0) - sign / distance
        for i in range(3):
            j, k = (i + 1) % 3, (i + 2) % 3
            for twice, once, along in ((i, j, k), (i, k, j)):
                term = d[twice] * d[along] / (distance * (d[twice] ** 2 + d[once] ** 2))
                key = tuple(sorted((twice, twice, once)))
                tensor[key] = tensor.get(key, 0) + sign * term
            # d atan(Y Z / (X R)) / dX
            squares = [d[axis] ** 2 for axis in (i, j, k)]
            term = -d[j] * d[k] * (squares[0] + distance**2)
            term /= distance * (squares[0] + squares[1]) * (squares[0] + squares[2])
            tensor[i, i, i] = tensor.get((i, i, i), 0) + sign * term
    return {key: value / (4 * mp.pi) for key, value in tensor.items()}


def gradient(tensor, polarization):
    """The elements of dB_i/dx_j = T_ijk J_k, and the size |T| |J| of the products they are summed from."""

    def at(*indices):
        return tensor[tuple(sorted(indices))]

    elements = [sum(at(i, j, k) * mpf(polarization[k]) for k in range(3)) for i, j in ELEMENTS]
    squares = sum(at(i, j, k) ** 2 for i, j, k in product(range(3), repeat=3))
    return elements, mp.sqrt(squares) * mp.norm(polarization)


def frobenius(elements):
    return mp.sqrt(sum((1 if i == j else 2) * g * g for (i, j), g in zip(ELEMENTS, elements, strict=True)))


def differences(size, polarization, point):
    """The same by central differences of the field."""
    nearest = mp.sqrt(sum((abs(mpf(at)) - mpf(side) / 2) ** 2 for at, side in zip(point, size, strict=True)))
    step = STEP * nearest
    columns = []
    for axis in range(3):
        ends = []
        for way in (1, -1):
            moved = [mpf(at) + (way * step if i == axis else 0) for i, at in enumerate(point)]
            ends.append(corner_sum(size, polarization, moved)[0])
        columns.append([(up - down) / (2 * step) for up, down in zip(*ends, strict=True)])
    return [columns[j][i] for i, j in ELEMENTS]


def main():
    print(",".join(COLUMNS))
    worst = mpf(0)
    for region, size, polarization, point in rows():
        g, scale = gradient(third_derivatives(size, point), polarization)
        norm = frobenius(g)
        # At the center nothing is left but the rounding of the 160 digits.
        if norm <= NEARLY_NOTHING * scale or norm < ZERO:
            continue
        half = [mpf(side) / 2 for side in size]
        beyond = [abs(mpf(at)) - h for at, h in zip(point, half, strict=True)]
        if max(beyond) != 0:
            second = differences(size, polarization, point)
            error = frobenius([one - two for one, two in zip(g, second, strict=True)]) / norm
            assert error < AGREE, f"the two routes differ by {mp.nstr(error, 3)} at {size} {polarization} {point}"
            worst = max(worst, error)
        inputs = [repr(float(value)) for value in (*size, *polarization, *point)]
        # What symmetry makes zero comes out as the rounding of the 160 digits.
        outputs = [mp.nstr(part, DIGITS) if abs(part) > ZERO * norm else "0.0" for part in g]
        print(",".join([region, *inputs, *outputs]))
    print(f"largest difference between the two routes: {mp.nstr(worst, 3)} of |G|", file=sys.stderr)


if __name__ == "__main__":
    main()
