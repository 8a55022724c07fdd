"""Make pull_blocks.csv: force and torque between parallel blocks, in 60-digit arithmetic.

Run by hand, from anywhere, with mpmath and NumPy installed (a minute):

    python tests/reference/pull_blocks.py > tests/reference/pull_blocks.csv

Force: the potential functions phi_x, phi_y, phi_z of G. Akoun and J.-P. Yonnet, IEEE Trans. Magn. 20
(1984) 1962, as printed (ln(r - u), atan(u v / (r w)); from memory), summed over the 64 differences of
corners; a pair of polarization components that are not parallel by the third derivatives of the same
integral, from its definition, by differentiating the energy (a five-point difference in 130 digits). A
limit at a coincident plane is taken by stepping 1e-40 m off it. Torque about the center of the second
block, and the force once more: the field of the first block (sum over its corners) on the charge of the
second, by a Gauss-Legendre rule with 120 or more nodes a side, in double precision. Before anything is
written, the two forces must agree to 11 digits (5 far away, where the charges of opposite faces nearly
cancel). Touching blocks have no second route, because the integral is singular there, and far ones a
poor one; the torque of both is left out as nan.

Columns: sides of the first block, its polarization; sides of the second, its polarization; its center
from that of the first; force on it, torque on it about its center. SI, mu0 = 1.25663706127e-6.
"""

import itertools

import numpy as np
from mpmath import atan, log, mp, mpf, nan, pi, sqrt

mp.dps = 60
DIGITS = 20
MU0 = mpf("1.25663706127e-6")
TINY = mpf(10) ** -40

# Sides, polarization, sides, polarization, offset; mm and T.
CASES = [
    # The example of the paper (dimensions from memory).
    ((20, 12, 6), (0, 0, 0.38), (12, 20, 6), (0, 0, 0.38), (-4, -4, 8)),
    ((20, 12, 6), (0, 0, 0.38), (12, 20, 6), (0, 0, 0.38), (16, -4, 8)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (0, 0, 15)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (4, 7, 12)),
    ((10, 10, 10), (0, 0, 1.2), (10, 10, 10), (1.1, 0, 0), (3, 0, 14)),
    ((10, 10, 10), (0.4, 1, 0), (6, 8, 4), (0, 0.2, 1.1), (-11, 2, 3)),
    ((30, 20, 2), (0, 0, 1.2), (5, 5, 2), (0.2, 0, 1.2), (13, 6, 4)),
    ((2, 2, 50), (0, 0, 1.2), (3, 4, 5), (0.7, 0.7, 0.1), (4, 1, 26)),
    # Distance: ten, fifty, a thousand sizes.
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (60, 50, 80)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (300, 200, 400)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (8000, -3000, 5000)),
    # Flat against flat, far for their thickness.
    ((20, 20, 0.1), (0, 0, 1.2), (20, 20, 0.1), (0, 0, 1.2), (5, 3, 30)),
    # Touching: face on face, edge on edge, side by side, pole on part of a pole.
    ((10, 10, 10), (0, 0, 1.2), (10, 10, 10), (0, 0, 1.2), (0, 0, 10)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (10, 0, 0)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (10, 10, 0)),
    ((10, 10, 10), (0.3, -0.2, 1.2), (10, 10, 10), (0.1, 0.5, 1.1), (10, 10, 10)),
    ((20, 12, 6), (0, 0, 1.2), (8, 4, 4), (0.1, 0.2, 1), (3, -5, 5)),
]


def signs():
    for n in range(64):
        yield [1 if n >> k & 1 else -1 for k in range(6)]


def summed(f, a, b, d):
    total = mpf(0)
    for s in signs():
        u = [d[i] + s[3 + i] * b[i] - s[i] * a[i] for i in range(3)]
        sign = s[0] * s[1] * s[2] * s[3] * s[4] * s[5]
        total += sign * f(*u)
    return total


def log_minus(u, v, w):
    """ln(r - u), for u > 0 without cancellation."""
    r = sqrt(u * u + v * v + w * w)
    return log((v * v + w * w) / (r + u)) if u > 0 else log(r - u)


def akoun(a, b, d):
    """Force by the printed functions, for polarizations of 1 T along z."""

    def r(u, v, w):
        return sqrt(u * u + v * v + w * w)

    def phi_x(u, v, w):
        return (
            (v * v - w * w) / 2 * log_minus(u, v, w)
            + u * v * log_minus(v, u, w)
            + v * w * atan(u * v / (r(u, v, w) * w))
            + r(u, v, w) * u / 2
        )

    def phi_y(u, v, w):
        return (
            (u * u - w * w) / 2 * log_minus(v, u, w)
            + u * v * log_minus(u, v, w)
            + u * w * atan(u * v / (r(u, v, w) * w))
            + r(u, v, w) * v / 2
        )

    def phi_z(u, v, w):
        return (
            -u * w * log_minus(u, v, w)
            - v * w * log_minus(v, u, w)
            + u * v * atan(u * v / (r(u, v, w) * w))
            - r(u, v, w) * w
        )

    # The signs of the two poles (indices k, l) are the product of s and t along z; the corners have the rest.
    return [summed(phi, a, b, d) / (4 * pi * MU0) for phi in (phi_x, phi_y, phi_z)]


def energy(a, ja, b, jb, d):
    """From its definition: charges of both on their faces, four integrals in closed form."""

    def r(u, v, w):
        return sqrt(u * u + v * v + w * w)

    def parallel(u, v, w):
        # Poles across w: psi of the paper.
        return (
            u * (v * v - w * w) / 2 * log_minus(u, v, w)
            + v * (u * u - w * w) / 2 * log_minus(v, u, w)
            + u * v * w * atan(u * v / (r(u, v, w) * w))
            + r(u, v, w) * (u * u + v * v - 2 * w * w) / 6
        )

    def crossed(u, v, w):
        # Poles across v and w: integrated twice along u, once along v and w.
        return (
            u * v * w * log_minus(u, v, w)
            + w * (u * u / 2 - w * w / 6) * log_minus(v, u, w)
            + v * (u * u / 2 - v * v / 6) * log_minus(w, u, v)
            + u**3 / 6 * atan(v * w / (r(u, v, w) * u))
            + u * v * v / 2 * atan(u * w / (r(u, v, w) * v))
            + u * w * w / 2 * atan(u * v / (r(u, v, w) * w))
            + v * w * r(u, v, w) / 3
        )

    total = mpf(0)
    for k in range(3):
        for j in range(3):
            if ja[k] == 0 or jb[j] == 0:
                continue
            if k == j:
                order = [(k + 1) % 3, (k + 2) % 3, k]
                f = parallel
            else:
                order = [3 - k - j, k, j]
                f = crossed
            total -= ja[k] * jb[j] * summed(lambda *u, o=order, f=f: f(u[o[0]], u[o[1]], u[o[2]]), a, b, d)
    return total / (4 * pi * MU0)


def field(a, ja, p):
    """B outside a block, at arrays of points: sum over its corners."""
    b = [np.zeros_like(p[0]) for _ in range(3)]
    for c in range(8):
        s = [1 if c >> k & 1 else -1 for k in range(3)]
        x = [p[i] - s[i] * a[i] for i in range(3)]
        r = np.sqrt(x[0] ** 2 + x[1] ** 2 + x[2] ** 2)
        sign = s[0] * s[1] * s[2] / (4 * np.pi)
        for k in range(3):
            m, n = (k + 1) % 3, (k + 2) % 3
            with np.errstate(divide="ignore"):  # in the plane of a face the angle is a right one
                b[k] += sign * ja[k] * np.arctan(x[m] * x[n] / (x[k] * r))
            # Along m, a face charged across k: ln(r + x_n), whose odd part is enough; and vice versa.
            b[m] -= sign * ja[k] * np.arcsinh(x[n] / np.hypot(x[m], x[k]))
            b[n] -= sign * ja[k] * np.arcsinh(x[m] / np.hypot(x[n], x[k]))
    return b


def panels(half, center, edge):
    """Gauss-Legendre nodes on one side of a block, cut where the edges of the other project onto it."""
    cuts = {-half, half, 0.0} | {x for x in (-edge - center, edge - center) if abs(x) < half}
    cuts = sorted(cuts)
    x, w = np.polynomial.legendre.leggauss(60)
    nodes = [(p + q) / 2 + (q - p) / 2 * x for p, q in itertools.pairwise(cuts)]
    weights = [(q - p) / 2 * w for p, q in itertools.pairwise(cuts)]
    return np.concatenate(nodes), np.concatenate(weights)


def integrated(a, ja, b, jb, d):
    """Force and torque about the center of the second block, from the field on its charges, in doubles."""
    a, ja, b, jb, d = ([float(x) for x in v] for v in (a, ja, b, jb, d))
    force, torque = np.zeros(3), np.zeros(3)
    for k in range(3):
        m, n = (k + 1) % 3, (k + 2) % 3
        (x, wx), (y, wy) = (panels(b[i], d[i], a[i]) for i in (m, n))
        weights = np.outer(wx, wy) * jb[k] / float(MU0)
        for side in (-1, 1):
            arm = [None] * 3
            arm[k], arm[m], arm[n] = (
                np.full(weights.shape, side * b[k]),
                x[:, None] + 0 * y,
                0 * x[:, None] + y,
            )
            pull = [side * weights * f for f in field(a, ja, [d[i] + arm[i] for i in range(3)])]
            force += [f.sum() for f in pull]
            torque += [(arm[i - 2] * pull[i - 1] - arm[i - 1] * pull[i - 2]).sum() for i in range(3)]
    return force.tolist(), torque.tolist()


def main():
    print("ax,ay,az,jax,jay,jaz,bx,by,bz,jbx,jby,jbz,dx,dy,dz,fx,fy,fz,tx,ty,tz")
    for case in CASES:
        # The doubles that a reader of the file gets, exactly.
        numbers = [repr(x * 1e-3) for x in case[0]] + [repr(float(x)) for x in case[1]]
        numbers += [repr(x * 1e-3) for x in case[2]] + [repr(float(x)) for x in case[3]]
        numbers += [repr(x * 1e-3) for x in case[4]]
        v = [mpf(float(x)) for x in numbers]
        a, ja, b, jb, d = [x / 2 for x in v[:3]], v[3:6], [x / 2 for x in v[6:9]], v[9:12], v[12:15]
        gaps = [abs(x) - p - q for x, p, q in zip(d, a, b, strict=True)]
        touching = max(gaps) < mpf(10) ** -15
        far = sqrt(sum(x * x for x in d)) > 0.09
        # Exactly touching, whatever the doubles say; then a hair apart, so that every function has a value.
        for i in range(3):
            if abs(gaps[i]) < mpf(10) ** -15:
                d[i] = (1 if d[i] > 0 else -1) * (a[i] + b[i] + TINY)
        off = [x + TINY * (i + 1) for i, x in enumerate(d)]
        mp.dps = 130
        force = gradient(a, ja, b, jb, off)
        if ja[:2] == [0, 0] and jb[:2] == [0, 0]:
            check(force, [ja[2] * jb[2] * x for x in akoun(a, b, off)], 12)
        torque = [nan] * 3
        if not touching:
            second, about = integrated(a, ja, b, jb, off)
            check(force, second, 5 if far else 11)
            if not far:
                torque = about
        mp.dps = 60
        print(",".join(numbers + [mp.nstr(mpf(x), DIGITS) for x in force + torque]), flush=True)


def gradient(a, ja, b, jb, d):
    """By a five-point difference: its step is far below every length, far above the last of 130 digits."""
    h = mpf(10) ** -48

    def along(i):
        def f(x):
            moved = list(d)
            moved[i] += x
            return energy(a, ja, b, jb, moved)

        return -(8 * (f(h) - f(-h)) - (f(2 * h) - f(-2 * h))) / (12 * h)

    return [along(i) for i in range(3)]


def check(one, other, digits):
    size = sqrt(sum(x * x for x in one))
    wrong = sqrt(sum((x - y) ** 2 for x, y in zip(one, other, strict=True)))
    if wrong > size * mpf(10) ** -digits:
        raise SystemExit(f"two routes differ: {one} and {other}")


if __name__ == "__main__":
    main()
