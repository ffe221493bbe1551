# SPDX-License-Identifier: GPL-2.0-or-later
"""How soon a layout of many different parts is good: `python -m tests.benchmarks.soon`.

Pairs of closed curves, all different (`tests.helpers.curves`). With `--other FOLDER` every job is
laid out by the version in that folder as well, in turn. Counted is processor time, so that others
on the machine do not matter much: with two workers on two idle cores a second of it passes in half
a second where both are busy, in a whole one where the engine prepares with one of them. Prints how
much of the cloth is used after some times, and the most memory; draws a chart with `--output`.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, NullFormatter

from tests.benchmarks.watch import PROJECT, Watched, watched
from tests.helpers.curves import curves

TOLD = (1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 120.0, 240.0, 600.0, 1200.0)
"""Seconds of processor time after which what is used is printed."""
NOW, BEFORE, SOFT = "#1b3a5c", "#b3541e", "#c9c9c9"
LONGEST = 3600.0
"""Seconds that a run may take on a crowded machine."""


def used_after(run: Watched, spent: float) -> float:
    """Return the share of the cloth that the best layout used by then; 0 before there was one."""
    area = run.layout.utilisation * run.layout.length
    lengths = [length for at, length in run.spent if at <= spent]
    return area / min(lengths) if lengths else 0.0


def chart(runs: Mapping[int, Mapping[str, Watched]], limit: float) -> Figure:
    """Return the chart: a panel for each number of parts, a line for each version."""
    figure = Figure(figsize=(5.0 * len(runs), 4.4), dpi=110, layout="constrained")
    FigureCanvasAgg(figure)
    figure.suptitle("Cloth used by pairs of different curves, 140 cm, two workers", fontsize=12)
    for axes, (parts, versions) in zip(
        figure.subplots(1, len(runs), squeeze=False, sharey=True)[0], runs.items(), strict=True
    ):
        for (name, run), colour in zip(versions.items(), (NOW, BEFORE), strict=False):
            times = [at for at, _ in run.spent]
            shares = [100.0 * used_after(run, at) for at in times]
            axes.step(
                [*times, limit], [*shares, shares[-1]], where="post", color=colour, label=name
            )
        axes.set_title(f"{parts} parts, {parts} shapes", fontsize=10, loc="left")
        axes.set_xscale("log")
        axes.xaxis.set_major_formatter(FuncFormatter(lambda at, _: f"{at:g}"))
        axes.xaxis.set_minor_formatter(NullFormatter())
        axes.set_xlabel("seconds of processor time", fontsize=9)
        axes.grid(True, color=SOFT, linewidth=0.5)
        axes.spines[["top", "right"]].set_visible(False)
        axes.legend(frameon=False, fontsize=9, loc="lower right")
        axes.set_ylabel("% of the cloth used", fontsize=9)
    return figure


def row(name: str, run: Watched, limit: float) -> str:
    """Return what a run has used after the times that are told, and the memory it took."""
    shares = [f"{100.0 * used_after(run, at):6.1f}" if at <= limit else " " * 6 for at in TOLD]
    return f"{name:>12} {''.join(shares)} {run.memory:6.0f} {run.layout.rounds:6}"


def main(words: Sequence[str] | None = None) -> None:
    """Measure, print the table and draw the chart."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--other", type=Path, help="folder of another version, run in turn")
    parser.add_argument("--parts", default="20,60,150,300")
    parser.add_argument("--spend", type=float, default=32.0, help="processor seconds of each run")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--output", type=Path, help="the chart, PNG")
    options = parser.parse_args(words)
    versions = {"now": PROJECT} | ({"before": options.other} if options.other else {})
    print("parts          " + "".join(f"{at:5.0f}s" for at in TOLD) + "     MB rounds")
    runs: dict[int, dict[str, Watched]] = {}
    for parts in map(int, options.parts.split(",")):
        runs[parts] = {}
        for name, folder in versions.items():
            run = watched(
                curves(parts), LONGEST, options.seed, processor=options.spend, folder=folder
            )
            runs[parts][name] = run
            print(f"{parts:4}" + row(name, run, options.spend), flush=True)
    if options.output is not None:
        chart(runs, options.spend).savefig(options.output)


if __name__ == "__main__":
    main()
