# SPDX-License-Identifier: GPL-2.0-or-later
"""`lay-out`: lays the pieces of a drawing on fabric, each material on a new layer."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
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
from extension.commands.targets import check_targets, write_report
from extension.commands.terminal import Terminal
from extension.job.limits import time_limit
from extension.job.wishes import wishes_from_text
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import chosen_layers
from extension.operations.again import orders_again
from extension.operations.lay_out import Outcome, lay_out_again, lay_out_materials
from extension.operations.running import Run
from extension.operations.untold import UNTOLD, width_typed
from extension.svg.document import Document, parse, write_atomically
from nesting.command import DOES_NOT_FIT
from nesting.stop import Clock, StopRule

HELP = "lay the pieces of a drawing on fabric, on a new layer"

_TYPED = (
    *TYPED,
    "fabric_width",
    "fabric_length",
    "nap",
    "spread",
    "repeat",
    "uneven",
    "half_drop",
    "first_line",
    "flaws",
    "border",
    "one_lot",
    "price",
    "advice",
    "material",
    "sizes",
    "garments",
)
"""Arguments that are handed over as typed: the options judge them, in one sentence each."""


_BY_MATERIAL = (
    "What belongs to the cloth may be typed for each material, as in main=3mm,lining=5mm: width "
    "and what it is, length, selvedge, gap, nap, how it lies, design, shrinkage and price; rounds "
    "as well."
)


def add_arguments(parser: ArgumentParser) -> None:
    """Add the arguments of this command."""
    parser.add_argument("input", metavar="IN.svg", type=Path, help="the drawing")
    parser.add_argument("--output", metavar="OUT.svg", type=Path, required=True)
    parser.add_argument("--report", metavar="R.json", type=Path, help="what was read and laid")
    cloth = parser.add_argument_group("cloth", _BY_MATERIAL)
    cloth.add_argument(
        "--fabric-width",
        metavar="[MATERIAL=]WIDTH,…",
        default="",
        help="such as 140cm or 55in; by material: main=140cm,lining=150cm",
    )
    cloth.add_argument(
        "--fabric-length",
        metavar="LENGTH",
        default="",
        help="of a piece that is there, such as 1.2m: what does not fit is named (exit code 3); "
        "by material: main=1.2m,lining=none",
    )
    add_width_arguments(parser)
    cloth.add_argument(
        "--nap",
        metavar="MATERIAL,…",
        nargs="?",
        default="",
        const="yes",
        help="all materials have a nap, or only those named; unless told, all but linings and "
        "interfacings",
    )
    cloth.add_argument(
        "--no-nap", dest="nap", action="store_const", const="no", help="none has one"
    )
    cloth.add_argument(
        "--spread",
        metavar="open|lengthwise|depth[=35cm]|twice[=20cm,30cm]|crosswise|compare",
        default="",
        help="how the cloth lies, open unless told; compare tries several ways and draws the one "
        "that is least to buy; by material: main=lengthwise,lining=open",
    )
    cloth.add_argument(
        "--cloth",
        metavar="ID|NAME",
        action="append",
        default=[],
        help="lay on this piece of cloth, a closed shape of the drawing with lay:role=“cloth” in "
        "full size: it has a width and a length of its own, and a width that is typed tells "
        "the unit alone; once more for another one: as few as hold all are used",
    )
    cloth.add_argument(
        "--one-lot",
        metavar="parted|piece|garment",
        default="",
        help="what is cut from one of several remnants, so that it is of one dye lot: the copies "
        "of a piece in a garment, or all of a garment; parted, unless told: whatever needs least",
    )
    cloth.add_argument(
        "--flaw",
        dest="flaws",
        metavar="[MATERIAL=]X,Y,W,H",
        action="append",
        default=[],
        help="a place on the cloth over which nothing is to lie, from the cut end and the lower "
        "selvedge, before it is folded: 30cm,20cm,5cm,4cm; once more for another one",
    )
    add_border_argument(cloth)
    add_sides_argument(cloth)
    add_design_arguments(cloth)
    add_buying_arguments(cloth)
    add_price_argument(cloth)
    pieces = parser.add_argument_group("pieces")
    add_reading_arguments(pieces)
    pieces.add_argument(
        "--material",
        metavar="all|MATERIAL,…",
        default="",
        help="all that pieces are cut from unless told, a layout each",
    )
    pieces.add_argument("--size", dest="sizes", metavar="38=2,40=1", default="")
    pieces.add_argument("--garments", metavar="N", default="", help="for sizes without a number")
    earlier = parser.add_argument_group("an earlier layout")
    earlier.add_argument(
        "--again",
        metavar="ID|N",
        action="append",
        default=[],
        help="lay this layout out again with its settings; what else is typed takes their place; "
        "once more for another layout",
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
    limit.add_argument(
        "--rounds", metavar="N", default="", help="a fixed amount of work instead, for all"
    )
    run_group.add_argument(
        "--advice",
        metavar="yes|no",
        nargs="?",
        default="",
        const="yes",
        help="look for what would save cloth, in half of the time: single changes, each measured",
    )
    run_group.add_argument("--seed", metavar="K", default="")
    run_group.add_argument("--workers", metavar="N", default="")


def run(arguments: Namespace, terminal: Terminal, clock: Clock, stop: StopRule) -> int:
    """Run the command and return its exit code. Raises a ThriftlayError for bad input."""
    typed = {name: str(getattr(arguments, name)) for name in _TYPED if name != "flaws"}
    typed["flaws"] = "; ".join(arguments.flaws)
    if arguments.cloth and not arguments.again:
        typed["fabric_width"] = typed["fabric_width"] or UNTOLD
    elif not typed["fabric_width"].strip() and not arguments.again:
        typed["fabric_width"] = width_typed(parse(arguments.input), "", arguments.select)
    # Judged before the drawing is read: what is mistyped is told at once.
    wishes = None if arguments.again else wishes_from_text(typed, arguments.select)
    document = parse(arguments.input)
    check_targets(arguments.input, arguments.output, arguments.report)
    wanted = Run(clock, stop, terminal.show)
    if wishes is None:
        outcome = _again(document, arguments, typed, wanted)
    else:
        hold = HoldRequest("", tuple(arguments.hold))
        outcome = lay_out_materials(document, wishes, wanted, hold, arguments.cloth)
    terminal.clear()
    write_atomically(outcome.drawing, arguments.output)
    write_report(outcome.report, arguments.report)
    for line in outcome.summary:
        terminal.say(line)
    return 0 if outcome.all_fit else DOES_NOT_FIT


def _again(
    document: Document, arguments: Namespace, typed: Mapping[str, str], wanted: Run
) -> Outcome:
    """Lay out layouts again; what is typed of time or rounds is for all of them together."""
    layers = chosen_layers(document, arguments.again)
    orders = orders_again(document, layers, typed, arguments.select, arguments.hold)
    seconds = time_limit(typed["seconds"].strip()) if typed["seconds"].strip() else None
    is_shared = len(orders) > 1 and "=" not in typed["rounds"]
    rounds = orders[0].options.rounds if typed["rounds"].strip() and is_shared else None
    return lay_out_again(document, orders, wanted, seconds, rounds)
