# SPDX-License-Identifier: GPL-2.0-or-later
"""`lay-out`: lays the pieces of a drawing on fabric and writes the drawing with a new layer."""

from __future__ import annotations

from argparse import ArgumentParser, BooleanOptionalAction, Namespace
from pathlib import Path

from extension.commands.cloth import add_width_arguments
from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.job.options import changed_options, options_from_text
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import one_layer
from extension.operations.lay_out import Run, lay_out
from extension.svg.document import parse, write_atomically
from nesting.command import DOES_NOT_FIT
from nesting.stop import Clock, StopRule

HELP = "lay the pieces of a drawing on fabric, on a new layer"

_TYPED = (
    "fabric_width",
    "fabric_length",
    "width_is",
    "selvedge",
    "gap",
    "round_up",
    "end_allowance",
    "shrinkage",
    "allowance",
    "material",
    "sizes",
    "garments",
    "no_grain",
    "seconds",
    "rounds",
    "seed",
    "workers",
)
"""Arguments that are handed over as typed: the options judge them, in one sentence each."""


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="what was read and laid")
    cloth = parser.add_argument_group("cloth")
    cloth.add_argument("--fabric-width", metavar="WIDTH", default="", help="such as 140cm or 55in")
    cloth.add_argument(
        "--fabric-length",
        metavar="LENGTH",
        default="",
        help="of a piece that is there, such as 1.2m: what does not fit is named (exit code 3)",
    )
    add_width_arguments(parser)
    cloth.add_argument("--nap", action=BooleanOptionalAction, help="--nap unless told")
    cloth.add_argument("--gap", default="", help="between parts, 3mm unless told")
    cloth.add_argument("--round-up", metavar="1/8yd|5cm|10cm|none", default="")
    cloth.add_argument(
        "--end-allowance",
        metavar="LENGTH",
        default="",
        help="added in all for uneven ends, 5cm or 2in unless told; 0cm for none",
    )
    cloth.add_argument("--shrinkage", metavar="PERCENT", default="", help="lost in the wash")
    pieces = parser.add_argument_group("pieces")
    pieces.add_argument("--select", metavar="ID", nargs="+", action="extend", default=[])
    pieces.add_argument("--material", default="", help="main unless told")
    pieces.add_argument("--size", dest="sizes", metavar="38=2,40=1", default="")
    pieces.add_argument("--garments", metavar="N", default="", help="for sizes without a number")
    pieces.add_argument(
        "--allowance", metavar="included|LENGTH", default="", help="seam allowance to add"
    )
    pieces.add_argument("--no-grain", metavar="lay|leave-out", default="")
    earlier = parser.add_argument_group("an earlier layout")
    earlier.add_argument(
        "--again",
        metavar="ID|N",
        default="",
        help="lay this layout out again with its settings; what else is typed takes their place",
    )
    earlier.add_argument(
        "--hold",
        metavar="ID",
        nargs="+",
        action="extend",
        default=[],
        help="parts that stay where they are, or a layout, all of whose parts do",
    )
    run_group = parser.add_argument_group("run")
    limit = run_group.add_mutually_exclusive_group()
    limit.add_argument("--seconds", metavar="S", default="", help="time limit, 20 unless told")
    limit.add_argument("--rounds", metavar="N", default="", help="a fixed amount of work instead")
    run_group.add_argument("--seed", metavar="K", default="")
    run_group.add_argument("--workers", metavar="N", default="")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    typed = {name: str(getattr(arguments, name)) for name in _TYPED}
    typed["nap"] = {None: "", True: "yes", False: "no"}[arguments.nap]
    if arguments.again:
        document = parse(arguments.input)
        layer = one_layer(document, arguments.again)
        options = changed_options(layer.options, typed, arguments.select)
    else:
        options = options_from_text(typed, arguments.select)
        document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    hold = HoldRequest(arguments.again, tuple(arguments.hold))
    outcome = lay_out(document, options, Run(clock, stop, terminal.show), hold)
    terminal.clear()
    write_atomically(outcome.drawing, arguments.output)
    write_report(outcome.report, arguments.report)
    for line in outcome.summary:
        terminal.say(line)
    return DOES_NOT_FIT if outcome.report["left_over"] else 0
