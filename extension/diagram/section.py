# SPDX-License-Identifier: GPL-2.0-or-later
"""What a cutting diagram says about one layout, whatever it is written on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.diagram.paper import Leaf, Paper
from extension.diagram.places import Place, places
from extension.diagram.shapes import Cloth, Picture
from extension.diagram.stretches import pictures_of
from extension.diagram.tape import UNITS, tape_text
from extension.diagram.telling import (
    across_text,
    allowance_text,
    cut_text,
    distances_text,
    grain_text,
    side_text,
)
from extension.job.summary import between_text
from extension.language.edges import CUT_END
from extension.language.rounding import purchase_text
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import LayoutLayer
from extension.svg.document import Document
from extension.svg.leaves import read_leaves


@dataclass(frozen=True, slots=True)
class Table:
    """A table of plain text; its last `figures` columns are numbers. `note` explains it."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: int = 0
    note: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Section:
    """One layout: the picture, or several of a long one, what stands round it, and the tables.

    `bought` is the length to buy, `cloth` what is laid out on.
    """

    title: str
    bought: str
    cloth: str
    pictures: tuple[Picture, ...]
    notes: str
    tables: tuple[Table, ...]
    leaf: Leaf


def sections(
    document: Document, layers: Sequence[LayoutLayer], paper: Paper, scale: str
) -> list[Section]:
    """Return what is said about layouts of a drawing.

    Raises DrawingError when one is empty or breaks a rule, and OptionError when one does not fit
    on the paper at the scale (one of `SCALES`).
    """
    leaves = read_leaves(document, include_layouts=True)
    return [section_of(examined(document, leaves, layer), paper, scale) for layer in layers]


def title_of(layer: LayoutLayer) -> str:
    """Return the heading of a layout."""
    return f"Cutting diagram: {layer.name}"


def cloth_of(checked: Checked) -> Cloth:
    """Return the cloth of a layout, as long as it is bought."""
    options, length = checked.layer.options, checked.situation.length
    long = max(options.bought(length).length, length)
    return Cloth(long, checked.situation.frame.width, options.nap, options.system)


def cloth_text(checked: Checked) -> str:
    """Return what is laid out on."""
    options = checked.layer.options
    return f"{options.material}, {between_text(options)}. Single layer, cloth open, right side up."


def section_of(checked: Checked, paper: Paper, scale: str) -> Section:
    """Return what is said about one layout. Raises as `sections` does."""
    laid, cloth = places(checked), cloth_of(checked)
    leaf, pictures = pictures_of(laid, cloth, paper, scale, checked.layer.title)
    return Section(
        title_of(checked.layer),
        purchase_text(checked.layer.options.bought(checked.situation.length)),
        f"{cloth_text(checked)} {allowance_text(laid, cloth.system)}",
        pictures,
        _notes(laid, pictures),
        (_pieces(laid), _placing(laid, cloth)),
        leaf,
    )


def _notes(laid: Sequence[Place], pictures: Sequence[Picture]) -> str:
    """Return what the signs on the pictures mean."""
    said = ["White: printed side up."]
    if any(place.flipped for place in laid):
        said.append("Shaded: printed side down.")
    if any(place.is_opened for place in laid):
        said.append("* Open out before laying.")
    if any(place.allowance for place in laid):
        said.append("Dashed: edge of the paper. Solid: cut here.")
    first = pictures[0]
    said += [
        "Arrows point to the top of the piece.",
        f"Distances in {UNITS[first.cloth.system][1]}, as in the placing table.",
        f"Scale 1:{1.0 / first.scale:.2f}".rstrip("0").rstrip(".") + ".",
    ]
    if len(pictures) > 1:
        said.append(
            f"The layout is shown in {len(pictures)} stretches; pale parts belong to another one. "
            f"Distances with // begin at the {CUT_END} too, on a stretch before."
        )
    return " ".join(said)


def _pieces(laid: Sequence[Place]) -> Table:
    """Return the table of the pieces."""
    head, rows = ["number", "piece", "cut", "material"], []
    sized = any(place.cut.drawn.size for place in laid)
    if sized:
        head.insert(2, "size")
    noted = any(place.cut.drawn.details.note for place in laid)
    if noted:
        head.append("note")
    for cut in dict.fromkeys(place.cut for place in laid):
        own = [place for place in laid if place.cut is cut]
        drawn = cut.drawn
        count = f"{len(own)}, opened out" if drawn.fold else f"{len(own)}"
        number = own[0].number.partition("-")[0]
        size = (drawn.size or "",) if sized else ()
        note = (drawn.details.note or "",) if noted else ()
        rows.append((number, drawn.name or drawn.id, *size, count, cut.demand.material, *note))
    return Table("Pieces", tuple(head), tuple(rows))


def _placing(laid: Sequence[Place], cloth: Cloth) -> Table:
    """Return the placing table, in cutting order."""
    system = cloth.system
    unit = UNITS[system][0]
    is_grown = any(place.allowance for place in laid)
    edge = "the paper’s leading edge" if is_grown else "the leading edge"
    head = (
        "number",
        "piece",
        "lay",
        *(["cut all round"] if is_grown else []),
        "grainline",
        f"{CUT_END} to {edge}, {unit}",
        f"nearer selvedge to the grainline, {unit}",
    )
    rows = tuple(
        (
            place.number,
            place.cut.title,
            side_text(place),
            *([cut_text(place, system)] if is_grown else []),
            grain_text(place),
            tape_text(place.leading, system),
            across_text(place, system),
        )
        for place in laid
    )
    note = distances_text(laid, system)
    return Table("Placing table, in cutting order", head, rows, figures=2, note=note)
