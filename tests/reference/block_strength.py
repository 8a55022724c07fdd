"""Make block_strength.csv: the field strength inside uniformly polarized blocks, in 160-digit arithmetic.

Run by hand, from anywhere, with mpmath installed (seconds):

    python tests/reference/block_strength.py > tests/reference/block_strength.csv

The result is the same on every run. Inside a needle or a plate B and J may agree to many digits; mu0 H is
B - J, with B from the textbook field of block_field.py, whose head says more, and all its digits.

Columns: side lengths in m, polarization in T and point in m, all in the frame of the block; then mu0 H in T
with 25 digits.
"""

from random import Random

from block_field import AXES, DIGITS, POLARIZATIONS, SHAPES, ZERO, corner_sum, rounded
from mpmath import mp, mpf

COLUMNS = [f"{name}_{axis}" for name in ("size", "polarization", "point", "mu0h") for axis in AXES]
# Along one axis, or H would mostly be that of the one component which demagnetizes most.
AXIAL = [j for j in POLARIZATIONS if sum(map(bool, j)) == 1]


def main():
    print(",".join(COLUMNS))
    random = Random(21)
    for shape in SHAPES:
        for polarization in (*AXIAL, random.choice(POLARIZATIONS)):
            half = [max(rounded(5e-3 * h), 5e-6) for h in random.sample(shape, 3)]
            for share in (0.3, 0.9, 0.999):
                point = [random.choice((-1, 1)) * rounded(share * random.random() * h) for h in half]
                size = [2.0 * h for h in half]
                b, _ = corner_sum(size, polarization, point)
                h = [one - mpf(own) for one, own in zip(b, polarization, strict=True)]
                inputs = [repr(float(value)) for value in (*size, *polarization, *point)]
                outputs = [mp.nstr(part, DIGITS) if abs(part) > ZERO else "0.0" for part in h]
                print(",".join([*inputs, *outputs]))


if __name__ == "__main__":
    main()
