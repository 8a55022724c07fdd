"""What a cluster costs over processes of this machine: the same designs through both, in one run."""

import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from distributed import Client, LocalCluster

from yokewright import variations as vary

COUNT = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000


def main() -> None:
    """Print seconds and the ratio."""
    design = vary.DesignFile((Path(__file__).parents[1] / "examples" / "trainer_stick.toml").read_text())
    table = vary.sampled(COUNT, seed=1, **{"axis.roll.gap_mm": (3.0, 4.5), "axis.pitch.gap_mm": (3.0, 4.5)})
    warm = vary.sampled(8, seed=1, **{"axis.roll.gap_mm": (3.0, 4.5)})

    with ProcessPoolExecutor(2) as executor:
        vary.run(design, warm, executor=executor)
        start = time.perf_counter()
        near = vary.run(design, table, executor=executor)
        processes = time.perf_counter() - start
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
        client.get_executor() as executor,
    ):
        vary.run(design, warm, executor=executor, workers=2)
        start = time.perf_counter()
        far = vary.run(design, table, executor=executor, workers=2)
        clustered = time.perf_counter() - start
    assert near == far
    print(f"{COUNT} designs: processes {processes:.1f} s, cluster {clustered:.1f} s, ratio {clustered / processes:.2f}")


if __name__ == "__main__":
    main()
