# SPDX-License-Identifier: GPL-2.0-or-later
"""How a run grows with the number of parts: `python -m tests.benchmarks.growth [--output FILE]`.

Garments of ten drawn parts each (curves, mirrored pairs, pieces on the fold, two turns) on cloth of
140 cm: time to the first layout and to within 2 % of the last, its length and utilisation, and the
most memory of all processes together. Prints a table, and draws a chart (PNG) with --output.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

from tests.benchmarks.watch import watched
from tests.helpers.sample_jobs import PARTS_EACH, garments

NEAR = 0.02
"""Share of the last length that counts as nearly there."""
INK, FIRST, SOFT = "#1b3a5c", "#b3541e", "#c9c9c9"


@dataclass(frozen=True, slots=True)
class Row:
    """What was measured for one number of parts: seconds, mm, share of the cloth, MB."""

    parts: int
    first: float
    near: float
    length: float
    utilisation: float
    memory: float


def measured(parts: int, seconds: float, workers: int) -> Row:
    """Lay out so many parts once and return what was measured."""
    run = watched(garments(parts), seconds, workers=workers)
    layout = run.layout
    near = run.time_to_within(NEAR)
    return Row(parts, run.first, near, layout.length, layout.utilisation, run.memory)


def chart(rows: Sequence[Row], title: str) -> Figure:
    """Return the chart: four panels over the number of parts."""
    figure = Figure(figsize=(10.0, 7.0), dpi=120, layout="constrained")
    FigureCanvasAgg(figure)
    figure.suptitle(title, fontsize=12)
    (times, length), (share, memory) = figure.subplots(2, 2)
    _draw(times, "Seconds from the start of the process", [(row.parts, row.near) for row in rows])
    _draw(times, "", [(row.parts, row.first) for row in rows], colour=FIRST)
    times.set_yscale("log")
    times.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    times.lines[0].set_label(f"to within {100 * NEAR:.0f} % of the last length")
    times.lines[1].set_label("to the first layout")
    times.legend(frameon=False, fontsize=8, loc="center right")
    each = [(row.parts, row.length * PARTS_EACH / row.parts) for row in rows]
    whole = [
        f"{per:.0f}\n{row.length / 1000.0:.2f} m" for row, (_, per) in zip(rows, each, strict=True)
    ]
    _draw(length, "Length per garment, mm; below it that of all, m", each, whole)
    _draw(share, "Utilisation, %", [(row.parts, 100.0 * row.utilisation) for row in rows])
    _draw(memory, "Most memory of all processes, MB", [(row.parts, row.memory) for row in rows])
    for axes in (length, memory):
        axes.set_ylim(0.0, axes.get_ylim()[1] * 1.15)
    return figure


def _draw(
    axes: Axes,
    title: str,
    values: Sequence[tuple[int, float]],
    words: Sequence[str] = (),
    colour: str = INK,
) -> None:
    """Draw a line through (parts, value), with words, or else the value, beside each dot."""
    xs, ys = [x for x, _ in values], [y for _, y in values]
    axes.plot(xs, ys, "o-", color=colour, linewidth=1.6, markersize=5)
    for x, y, word in zip(xs, ys, words or [f"{y:.3g}" for y in ys], strict=True):
        axes.annotate(
            word,
            (x, y),
            xytext=(0, 7),
            textcoords="offset points",
            ha="center",
            fontsize=8,
            color=colour,
        )
    if title:
        axes.set_title(title, fontsize=10, loc="left")
    axes.set_xscale("log")
    axes.xaxis.set_major_locator(FixedLocator(xs))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda at, _: f"{at:.0f}"))
    axes.set_xlabel("parts", fontsize=9)
    axes.margins(x=0.1, y=0.2)
    axes.grid(True, color=SOFT, linewidth=0.5)
    axes.spines[["top", "right"]].set_visible(False)


def main() -> None:
    """Measure, print the table and draw the chart."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--output", type=Path, help="the chart, PNG")
    parser.add_argument("--seconds", type=float, default=30.0, help="time limit of each run")
    parser.add_argument("--parts", default="10,20,40,80,160", help="multiples of ten")
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    print("parts   first layout, s   to within 2 %, s   length, mm   utilisation     MB")
    rows = []
    for parts in map(int, options.parts.split(",")):
        row = measured(parts, options.seconds, options.workers)
        rows.append(row)
        print(
            f"{row.parts:5} {row.first:17.2f} {row.near:18.1f} {row.length:12.2f} "
            f"{row.utilisation:13.2%} {row.memory:6.0f}",
            flush=True,
        )
    if options.output is not None:
        title = f"Garments of {PARTS_EACH} parts on 140 cm, {options.seconds:g} s each"
        chart(rows, title).savefig(options.output)


if __name__ == "__main__":
    main()
