# SPDX-License-Identifier: GPL-2.0-or-later
"""How short layouts get: `python -m tests.benchmarks.quality [FOLDER] --seconds 20 --seeds 2`.

Each run is a process of its own, cold but for the compiled cache, and judged. With `--spend` it is
stopped after so many seconds of processor time, of which two workers have two in a second on an
idle machine: so others on the machine do not matter much. Without a folder of published instances
it lays out generated jigsaws (a rectangle cut up, so the optimum is known), the sample drawings at
140 cm, and two garments in two sizes without nap. *spread* is by how much the worst seed is above
the best.
"""

from __future__ import annotations

import argparse
import json
import statistics
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import shapely
import shapely.ops

from nesting.model import Fabric, Job, Piece
from tests.benchmarks.watch import watched
from tests.helpers.published import instance_job
from tests.helpers.sample_jobs import SAMPLES, garments, sample

LONGEST = 36_000.0
"""Seconds that a run may take on a crowded machine."""
PUBLISHED = {
    "albano": 9957.41, "shapes0": 60.0, "shapes1": 56.0, "shirts": 62.21, "fu": 31.333,
}  # fmt: skip
"""Best of GLSHA and SAHA: Gomes, Oliveira, EJOR 171(3), 2006."""


def jigsaw(count: int, seed: int) -> Job:
    """Return a rectangle of 100 x 150 mm cut into irregular convex polygons; the optimum is 150."""
    generator = np.random.default_rng(seed)
    tiles = [shapely.box(0.0, 0.0, 150.0, 100.0)]
    while len(tiles) < count:
        tiles.sort(key=lambda tile: -tile.area)
        tile = tiles.pop(0)
        centre, angle = tile.centroid, generator.uniform(0.0, np.pi)
        way = 500.0 * np.array([np.cos(angle), np.sin(angle)])
        knife = shapely.LineString([(centre.x - way[0], centre.y - way[1]),
                                    (centre.x + way[0], centre.y + way[1])])  # fmt: skip
        tiles += list(shapely.ops.split(tile, knife).geoms)
    pieces = tuple(
        Piece(f"tile {k}", tuple(tile.exterior.coords)[:-1], turns=(0.0,))
        for k, tile in enumerate(tiles)
    )
    return Job(Fabric(width=100.0, nap=False), pieces)


def instances(folder: Path | None) -> Iterator[tuple[str, Job]]:
    """Yield the jobs to lay out with their names."""
    if folder is not None:
        for path in sorted(folder.glob("*.json")):
            yield path.stem, instance_job(folder, path.stem)
        return
    for count in (6, 10, 16, 25):
        yield f"jigsaw {count}", jigsaw(count, count)
    for name in SAMPLES:
        yield name, sample(name)
    yield "two sizes", garments(20)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, help="published instances as JSON")
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--spend", type=float, help="processor seconds, in place of --seconds")
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--only", nargs="*", help="names of instances")
    parser.add_argument("--json", type=Path, help="write the rows as JSON too")
    options = parser.parse_args()
    print(
        "instance        seconds      min     mean    worst spread %  utilisation  published"
        "  diff %   MB"
    )
    rows = []
    for name, job in instances(options.folder):
        if options.only and name not in options.only:
            continue
        runs = [
            watched(job, options.seconds, seed, options.workers)
            if options.spend is None
            else watched(job, LONGEST, seed, options.workers, processor=options.spend)
            for seed in range(options.seeds)
        ]
        lengths = [run.layout.length for run in runs]
        mean, known = statistics.mean(lengths), PUBLISHED.get(name)
        share = max(run.layout.utilisation for run in runs)
        compared = f"{known:10.2f} {100 * (mean / known - 1):+7.2f}" if known else " " * 18
        print(
            f"{name:15} {max(run.seconds for run in runs):7.1f} {min(lengths):8.2f} {mean:8.2f} "
            f"{max(lengths):8.2f} {100 * (max(lengths) / min(lengths) - 1):8.2f} {share:12.2%} "
            f"{compared} {max(run.memory for run in runs):4.0f}",
            flush=True,
        )
        rows.append({"instance": name, "lengths": lengths})
    if options.json:
        options.json.write_text(json.dumps(rows), encoding="utf-8")


if __name__ == "__main__":
    main()
