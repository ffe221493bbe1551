# SPDX-License-Identifier: GPL-2.0-or-later
"""What the editor's dialogs pass on, turned into the options of the commands.

Each dialog (.inx) has a parser here whose arguments, types and defaults are the dialog's: a test
compares them. A dialog hands over what was typed; the options judge it.
"""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from lxml import etree

from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.settings import options_of
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import chosen_layers, layout_of
from extension.pieces.attributes import SETTABLE
from extension.svg.document import Document

_SELECT_ONE = (
    "To use the settings of a layout, select that layout or one part of it, and nothing else; "
    "or untick “Use the settings of the selected layout”."
)
_SELECT_KEPT = (
    "To keep parts in place, select them, all on one layout, or let it keep only those that are "
    "held."
)


def yes_or_no(text: str) -> bool:
    """Return what the editor writes for a tick."""
    return text.strip().lower() in ("true", "1")


def common_parser() -> ArgumentParser:
    """Return the parser of what every dialog passes: what to run, and what is selected."""
    parser = ArgumentParser(add_help=False, allow_abbrev=False)
    parser.add_argument("file")
    parser.add_argument("--output", required=True)
    parser.add_argument("--id", action="append", default=[], dest="ids")
    parser.add_argument("--selected-nodes", action="append", default=[])
    parser.add_argument("--command", default="")
    parser.add_argument("--tab", default="")
    return parser


def lay_out_parser() -> ArgumentParser:
    """Return the parser of the dialog of the main job."""
    parser = common_parser()
    parser.set_defaults(command="lay-out", tab="fabric")
    parser.add_argument("--width", type=float, default=140.0)
    parser.add_argument("--width_unit", default="cm")
    parser.add_argument("--width_is", default="usable")
    parser.add_argument("--nap", type=yes_or_no, default=True)
    parser.add_argument("--material", default="main")
    parser.add_argument("--gap", default="3 mm")
    parser.add_argument("--end_allowance", default="")
    parser.add_argument("--shrinkage", default="0 %")
    parser.add_argument("--round_up", default="auto")
    parser.add_argument("--garments", type=int, default=1)
    parser.add_argument("--sizes", default="")
    parser.add_argument("--allowance_is", default="included")
    parser.add_argument("--allowance", default="1.5 cm")
    parser.add_argument("--lay_without_grain", type=yes_or_no, default=False)
    parser.add_argument("--seconds", type=int, default=20)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--again", type=yes_or_no, default=False)
    parser.add_argument("--keep", default="held")
    return parser


def join_lines_parser() -> ArgumentParser:
    """Return the parser of the dialog that joins broken lines."""
    parser = common_parser()
    parser.set_defaults(command="join-lines", tab="lines")
    parser.add_argument("--tolerance", default="1 mm")
    return parser


DETAIL_FIELDS = tuple(name.replace("-", "_") for name in SETTABLE if name != "match")
"""Fields of the dialog of cutting details; one that is empty leaves each piece as it is.

Stripes are not matched yet, so the dialog does not ask for match points."""


def details_parser() -> ArgumentParser:
    """Return the parser of the dialog of cutting details."""
    parser = common_parser()
    parser.set_defaults(command="details", tab="cutting")
    for field in DETAIL_FIELDS:
        parser.add_argument(f"--{field}", default="")
    return parser


def detail_changes(values: Namespace) -> dict[str, str]:
    """Return the details that were filled in, by their names."""
    typed = {field: str(getattr(values, field)).strip() for field in DETAIL_FIELDS}
    return {field.replace("_", "-"): text for field, text in typed.items() if text}


def read_markings_parser() -> ArgumentParser:
    """Return the parser of the dialog that reads what is drawn on the pieces."""
    parser = common_parser()
    parser.set_defaults(command="read-markings", tab="read")
    parser.add_argument("--overwrite", type=yes_or_no, default=False)
    return parser


def added_allowance(values: Namespace) -> str:
    """Return the seam allowance to add as typed, or `included`. Raises OptionError."""
    if values.allowance_is == "add" and not values.allowance.strip():
        # Left blank it would read as "included", which is the opposite of what was ticked.
        raise OptionError(
            "Seam allowance is to be added, but not how much: type its width, such as “1.5 cm”."
        )
    return str(values.allowance) if values.allowance_is == "add" else "included"


def lay_out_options(values: Namespace, document: Document) -> LayOutOptions:
    """Return the options of a lay-out run from what the dialog passed.

    Raises OptionError, or DrawingError when the settings of a layout are wanted and none, or more
    than one, is selected.
    """
    on_layouts = selected_layouts(document, values.ids)
    pieces = [id_ for id_ in values.ids if id_ not in on_layouts]
    if values.again and values.keep == "all":
        return changed_options(settings_of_selected(document, on_layouts), {}, pieces)
    if values.again:
        return settings_of_selected(document, values.ids)
    typed = {
        # The editor's spin box may add noise in the far digits.
        "fabric_width": f"{round(values.width, 4):.10g}{values.width_unit}",
        "width_is": values.width_is,
        "nap": "yes" if values.nap else "no",
        "material": values.material,
        "gap": values.gap,
        "end_allowance": values.end_allowance,
        "shrinkage": values.shrinkage,
        "round_up": "" if values.round_up == "auto" else values.round_up,
        "garments": str(values.garments),
        "sizes": values.sizes,
        "allowance": added_allowance(values),
        "no_grain": "lay" if values.lay_without_grain else "leave-out",
        "seconds": str(values.seconds),
        "seed": str(values.seed),
    }
    return options_from_text(typed, pieces)


def hold_request(values: Namespace, document: Document) -> HoldRequest:
    """Return which parts a lay-out run keeps where they are, from what the dialog passed.

    Raises DrawingError when parts are to be kept but none, or a part of several layouts, is
    selected.
    """
    selected = selected_layouts(document, values.ids)
    if values.keep == "held" and not values.again:
        return HoldRequest(selected[0] if selected else "")
    layers = chosen_layers(document, selected) if selected else ()
    if len(layers) != 1:
        raise DrawingError(_SELECT_ONE if values.again else _SELECT_KEPT)
    if values.keep == "all":
        return HoldRequest(layers[0].id, (layers[0].id,))
    parts = [id_ for id_ in selected if id_ != layers[0].id] if values.keep == "selected" else []
    return HoldRequest(layers[0].id, tuple(parts))


def chosen_path(text: str, what: str) -> Path | None:
    """Return the file or folder chosen in the dialog, None where the field is empty.

    Raises OptionError for a path that starts nowhere: the program's own folder is not meant.
    """
    if not text.strip():
        return None
    path = Path(text.strip()).expanduser()
    if not path.is_absolute():
        raise OptionError(
            f"{what} “{text.strip()}” does not say in which folder it is: choose it with the "
            "button beside the field."
        )
    return path


def check_parser() -> ArgumentParser:
    """Return the parser of the check, which asks nothing."""
    parser = common_parser()
    parser.set_defaults(command="check")
    return parser


def hold_parser() -> ArgumentParser:
    """Return the parser of the command that holds or releases parts, which asks nothing."""
    parser = common_parser()
    parser.set_defaults(command="hold")
    return parser


def tighten_parser() -> ArgumentParser:
    """Return the parser of the dialog that tightens a layout."""
    parser = common_parser()
    parser.set_defaults(command="tighten", tab="run")
    parser.add_argument("--seconds", type=int, default=20)
    return parser


def selected_layouts(document: Document, ids: list[str]) -> list[str]:
    """Return the selected ids that are layouts or lie on one; other things may be selected too."""
    wanted = set(ids)
    return [
        str(one.get("id"))
        for one in document.root.iter(etree.Element)
        if one.get("id") in wanted and layout_of(one) is not None
    ]


def settings_of_selected(document: Document, ids: list[str]) -> LayOutOptions:
    """Return the options that the one selected layout was made with."""
    wanted = set(ids)
    selected = [one for one in document.root.iter(etree.Element) if one.get("id") in wanted]
    layers = [layout_of(one) for one in selected]
    if not layers or any(layer is not layers[0] for layer in layers) or layers[0] is None:
        raise DrawingError(_SELECT_ONE)
    return options_of(layers[0].get(lay("settings"), ""))
