# SPDX-License-Identifier: GPL-2.0-or-later
"""`requirements`: tells how much cloth each size needs, by width and nap, as a table."""

from __future__ import annotations

from argparse import ArgumentParser, BooleanOptionalAction, Namespace
from pathlib import Path

from extension.commands.cloth import (
    TYPED,
    add_border_argument,
    add_buying_arguments,
    add_design_arguments,
    add_price_argument,
    add_reading_arguments,
    add_sides_argument,
    add_width_arguments,
)
from extension.commands.targets import write_report
from extension.commands.terminal import Terminal
from extension.job.wishes import DESIGN
from extension.language.decimals import MARKS
from extension.language.errors import OptionError
from extension.operations.requirements import fabric_requirements
from extension.operations.results import (
    CSV,
    JSON,
    SVG,
    TEXT,
    WEB,
    check_results,
    with_ending,
)
from extension.requirements_table.crews import crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.options import PAPERS, table_options
from extension.requirements_table.work import Run
from extension.svg.document import parse, write_atomically
from nesting.stop import Clock, StopRule

HELP = "tell how much cloth each size needs, by width and nap"


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    results = parser.add_argument_group("results, at least one of them")
    results.add_argument("--csv", metavar="OUT.csv", type=Path, help="for a spreadsheet")
    results.add_argument("--html", metavar="OUT.html", type=Path, help="a page to print")
    results.add_argument("--text", metavar="OUT.txt", type=Path, help="to paste into an envelope")
    results.add_argument("--report", metavar="R.json", type=Path, help="all of it as JSON")
    results.add_argument("--output", metavar="OUT.svg", type=Path, help="the drawing with it")
    results.add_argument("--write-layouts", action="store_true", help="each as a layer, too")
    _add_look(parser)
    _add_cloth(parser)
    _add_pieces(parser)
    _add_run(parser)


def _add_look(parser: ArgumentParser) -> None:
    look = parser.add_argument_group("look of page, text and drawn table")
    look.add_argument("--paper", choices=PAPERS, default=PAPERS[0])
    look.add_argument(
        "--locale",
        choices=tuple(MARKS),
        default="en",
        help="numbers as there: de, fr 1,90 m; words stay English; CSV and JSON keep the point",
    )
    look.add_argument(
        "--merge-widths",
        metavar="LENGTH",
        default="",
        help="widths no farther apart share a column, each length enough for all: 5cm",
    )


def _add_cloth(parser: ArgumentParser) -> None:
    cloth = parser.add_argument_group("cloth")
    cloth.add_argument(
        "--widths",
        metavar="[MATERIAL=]WIDTH,…",
        action="append",
        required=True,
        help="such as 110cm,140cm; again for another material: interfacing=90cm",
    )
    add_width_arguments(parser)
    cloth.add_argument(
        "--nap",
        metavar="[MATERIAL=]both|with|without",
        action="append",
        default=[],
        help="both unless told; again for another material",
    )
    cloth.add_argument(
        "--spread",
        metavar="longer|each|open|lengthwise|depth[=35cm]|twice[=20cm,30cm]|crosswise",
        default="",
        help="how the cloth lies; unless told what is enough both open and folded lengthwise, with "
        "each the two side by side; by material: main=lengthwise,lining=open",
    )
    add_border_argument(cloth)
    add_sides_argument(cloth)
    add_design_arguments(cloth)
    add_buying_arguments(cloth)
    add_price_argument(cloth)


def _add_pieces(parser: ArgumentParser) -> None:
    pieces = parser.add_argument_group("pieces")
    add_reading_arguments(pieces)
    pieces.add_argument(
        "--sizes",
        metavar="all|38,40|38+40",
        default="",
        help="all unless told; + lays sizes together, 38=2+40 two garments of one of them",
    )
    pieces.add_argument(
        "--raise-sizes",
        action=BooleanOptionalAction,
        default=True,
        help="no larger size is shown with less than a smaller one",
    )


def _add_run(parser: ArgumentParser) -> None:
    run_group = parser.add_argument_group("run")
    limit = run_group.add_mutually_exclusive_group()
    limit.add_argument(
        "--seconds", metavar="S", default="", help="time for the whole table, 180 unless told"
    )
    limit.add_argument(
        "--rounds",
        metavar="N|N*TIMES,…",
        default="",
        help="a fixed amount of work for each length, or what a table says makes it again",
    )
    run_group.add_argument("--seed", metavar="K", default="")
    run_group.add_argument("--workers", metavar="N", default="", help="processes at a time")
    run_group.add_argument(
        "--resume", metavar="FOLDER", type=Path, help="keeps finished lengths, and takes them up"
    )
    run_group.add_argument(
        "--cluster", metavar="ADDRESS", default="", help="of a Dask scheduler: tcp://host:8786"
    )


_LOOK = ("paper", "locale", "merge_widths")
_TYPED = ("sizes", "spread", "border", "price", *_LOOK, *DESIGN, *TYPED)
"""Arguments that are handed over as typed."""


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    typed = {name: str(getattr(arguments, name)) for name in _TYPED}
    typed["widths"] = ";".join(arguments.widths)
    typed["nap"] = ";".join(arguments.nap)
    typed["raise_sizes"] = "yes" if arguments.raise_sizes else "no"
    typed["write_layouts"] = "yes" if arguments.write_layouts else "no"
    options = table_options(typed, arguments.select)
    arguments.csv = with_ending(arguments.csv, CSV)
    arguments.html = with_ending(arguments.html, WEB)
    arguments.text = with_ending(arguments.text, TEXT)
    document = parse(arguments.input)
    _check_targets(arguments)
    shelf = Shelf(arguments.resume)
    wanted = Run(clock, stop, lambda progress: terminal.show_best(progress.text))
    with crew_of(options.base.workers, arguments.cluster) as crew:
        outcome = fabric_requirements(document, options, wanted, crew, shelf)
    terminal.clear()
    results = (
        (arguments.csv, outcome.csv.encode()),
        (arguments.html, outcome.page.encode()),
        (arguments.text, outcome.block.encode()),
        (arguments.output, outcome.drawing),
    )
    for path, data in results:
        if path is not None:
            write_atomically(data, path)
    write_report(outcome.report, arguments.report)
    for line in outcome.lines:
        terminal.say(line)
    return 0


def _check_targets(arguments: Namespace) -> None:
    """Raise before the work when a result could not be written, or would destroy something."""
    beside = (
        (arguments.csv, CSV),
        (arguments.html, WEB),
        (arguments.text, TEXT),
        (arguments.report, JSON),
    )
    drawn = [] if arguments.output is None else [arguments.output]
    if not drawn and all(path is None for path, _ in beside):
        raise OptionError(
            "There is nothing to write: name a file with --csv, --html, --text, --report or "
            "--output."
        )
    # The drawing with the table may take the place of the drawing.
    check_results("The table", [(arguments.output, SVG)])
    check_results("The table", beside, [arguments.input, *drawn])
