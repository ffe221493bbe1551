# SPDX-License-Identifier: GPL-2.0-or-later
"""`python -m extension.demo FOLDER`: lays out a sample and leaves SVG, PNG and HTML to look at."""

from __future__ import annotations

import html
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from extension.job.options import LayOutOptions, usual_workers
from extension.operations.lay_out import lay_out
from extension.operations.progress import progress_text
from extension.operations.running import Run
from extension.picture import draw_picture, length_line
from extension.svg.document import parse, write_atomically
from nesting.errors import ThriftlayError
from nesting.search.keeper import Progress
from nesting.stop import Clock, Request

SAMPLE = Path(__file__).resolve().parent.parent / "sample_svgs/lined-jacket.svg"
TITLE = "Child's lined jacket, main cloth, 140 cm wide (invented)"
LINE_EVERY = 4.0
"""Seconds between two progress lines."""
DRAWING, PICTURE, PAGE = "layout.svg", "layout.png", "index.html"

_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Thriftlay: {title}</title>
<style>
body {{ font: 1rem/1.5 system-ui, sans-serif; color: #1a1a1a; max-width: 70rem; margin: 2rem auto;
  padding: 0 1rem; }}
img {{ width: 100%; border: 1px solid #d9d0bd; }}
.length {{ font-size: 1.3rem; }}
.caution {{ border-left: 4px solid #8a7a5c; padding-left: 1rem; }}
</style>
</head>
<body>
<h1>{title}</h1>
<p class="length">{length}</p>
<p><a href="{drawing}"><img src="{picture}" alt="{alt}"></a></p>
<p>White parts lie printed side up, grey ones printed side down. The small arrow on a part points
to its top. The pattern and its measures are invented. The drawing with the pattern and, to
the right of it, the layout: <a href="{drawing}">{drawing}</a>, to be opened in the editor.</p>
<h2>What the layout says</h2>
<ul>
{lines}
</ul>
<div class="caution">
<h2>Before you cut</h2>
{cautions}
</div>
</body>
</html>
"""


class Lines:
    """Says now and then how far the run is."""

    def __init__(self) -> None:
        self._next = 0.0

    def __call__(self, now: Progress) -> None:
        """Say how far the run is, unless it was said a moment ago."""
        if now.seconds >= self._next:
            self._next = now.seconds + LINE_EVERY
            say(f"  {progress_text(now)}")


def say(line: str) -> None:
    """Write one line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def demonstrate(folder: Path, options: LayOutOptions, clock: Clock) -> dict[str, Any]:
    """Lay out the sample and write the three files; return the report of the run."""
    outcome = lay_out(parse(SAMPLE), options, Run(clock, Request(), Lines()))
    write_atomically(outcome.drawing, folder / DRAWING)
    draw_picture(outcome.report, folder / PICTURE, TITLE)
    write_atomically(page(outcome.report).encode("utf-8"), folder / PAGE)
    return outcome.report


def page(report: Mapping[str, Any]) -> str:
    """Return the page that shows a result."""
    length = length_line(report)
    return _PAGE.format(
        title=html.escape(TITLE),
        length=html.escape(length),
        alt=html.escape(f"Cutting layout: {length}"),
        drawing=DRAWING,
        picture=PICTURE,
        lines=_tagged("li", report["summary"]),
        cautions=_tagged("p", report["cautions"]),
    )


def _tagged(tag: str, lines: Sequence[str]) -> str:
    """Return lines of text as elements."""
    return "\n".join(f"<{tag}>{html.escape(line)}</{tag}>" for line in lines)


def main() -> int:
    """Run the demonstration into the folder that is named; return the exit code."""
    started = time.perf_counter()
    folder = Path(sys.argv[1]).absolute()
    options = LayOutOptions(fabric_width=1400.0, workers=usual_workers())
    say(
        f"Laying out {SAMPLE.name} on cloth 140 cm wide as on the bolt, for "
        f"{options.seconds:.0f} seconds:"
    )
    try:
        report = demonstrate(folder, options, lambda: time.perf_counter() - started)
    except ThriftlayError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    say(f"The layout {length_line(report)}.")
    say("To look at:")
    for name in (PAGE, PICTURE, DRAWING):
        say(f"  {folder / name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
