"""The axial cylinder beside the same formula by SciPy's elliptic integrals, and what a second core brings.

python benches/cylinder_side_by_side.py
"""

import os
import subprocess
import sys
import time

import numpy as np
from scipy.special import elliprf, elliprj

import yokewright as yw

RADIUS, HALF, J = 5e-3, 3.5e-3, 1.3
POINTS = 1_000_000
CHUNK = 8192  # fits the second-level cache
ROUNDS = 7


def cel(kc, p, a, b):
    """Bulirsch's complete integral by Carlson's forms."""
    return a * elliprf(0, kc * kc, 1) + (b - p * a) * elliprj(0, kc * kc, 1, p) / 3


def scipy_route(points):
    """N. Derby and S. Olbert, Am. J. Phys. 78 (2010) 229, eqs. 4-6: radial and axial component, T."""
    rho, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]

    def end(zeta):
        q = np.sqrt((rho + RADIUS) ** 2 + zeta * zeta)
        kc = np.sqrt((rho - RADIUS) ** 2 + zeta * zeta) / q
        gamma = (RADIUS - rho) / (RADIUS + rho)
        scale = J * RADIUS / (np.pi * q)
        return scale * cel(kc, 1.0, 1.0, -1.0), scale * zeta / (RADIUS + rho) * cel(kc, gamma**2, 1.0, gamma)

    (radial_far, axial_far), (radial_near, axial_near) = end(z + HALF), end(z - HALF)
    return radial_near - radial_far, axial_far - axial_near


def best(call, count):
    """Least wall time of a call, ns a point."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times) / count * 1e9


def measure():
    points = np.random.default_rng(1).uniform(-3, 3, (POINTS, 3)) * RADIUS
    shapes = {
        "block": yw.magnet.Block((10e-3, 7.5e-3, 5e-3), (0, 0, J)),
        "cylinder, axial": yw.magnet.Cylinder(2 * RADIUS, 2 * HALF, (0, 0, J)),
        "cylinder, across": yw.magnet.Cylinder(2 * RADIUS, 2 * HALF, (J, 0, 0)),
    }
    for name, magnet in shapes.items():
        print(f"{name:24}{best(lambda magnet=magnet: magnet.fields_at(points), POINTS):8.1f} ns a point")
    if os.environ["YOKEWRIGHT_THREADS"] != "1":
        return
    few = points[: POINTS // 5]
    _, axial = scipy_route(few)
    worst = np.abs(axial - shapes["cylinder, axial"].fields_at(few)[0][:, 2]).max()
    chunks = [few[i : i + CHUNK] for i in range(0, len(few), CHUNK)]
    slow = best(lambda: [scipy_route(chunk) for chunk in chunks], len(few))
    print(f"{'SciPy, axial':24}{slow:8.1f} ns a point; largest difference {worst:.0e} T")


if __name__ == "__main__":
    if "YOKEWRIGHT_THREADS" in os.environ:
        measure()
    else:
        for threads in ("1", "2"):
            print(f"threads: {threads}", flush=True)
            environment = os.environ | {"YOKEWRIGHT_THREADS": threads}
            subprocess.run([sys.executable, __file__], env=environment, check=True)
