# SPDX-License-Identifier: GPL-2.0-or-later
"""What a cutting diagram says about one layout, whatever it is written on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.checking.check_layout import Checked, examined
from extension.checking.layers import LayoutLayer
from extension.diagram.paper import Leaf, Paper
from extension.diagram.places import Place, ends_text, places, tape_text
from extension.diagram.shapes import Cloth, Picture
from extension.diagram.stretches import pictures_of
from extension.document import Document
from extension.leaves import read_leaves
from extension.rounding import purchase_text, small_text
from extension.units import System

_UNITS: dict[System, tuple[str, str]] = {
    "metric": ("cm", "centimetres"),
    "imperial": ("in", "inches"),
}
"""Units of distances on the cloth: short, and in full."""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of plain text; its last `figures` columns are numbers."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: int = 0


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
    width = small_text(checked.situation.frame.width, options.system)
    return (
        f"{options.material}, {width} between the selvedges. "
        "Single layer, cloth open, right side up."
    )


def section_of(checked: Checked, paper: Paper, scale: str) -> Section:
    """Return what is said about one layout. Raises as `sections` does."""
    laid, cloth = places(checked), cloth_of(checked)
    leaf, pictures = pictures_of(laid, cloth, paper, scale, checked.layer.title)
    return Section(
        title_of(checked.layer),
        purchase_text(checked.layer.options.bought(checked.situation.length)),
        cloth_text(checked),
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
    first, unit = pictures[0], _UNITS[pictures[0].cloth.system][1]
    said += [
        "Arrows point to the top of the piece.",
        f"Distances in {unit}: from the cut end to the leading edge, and from the nearer selvedge "
        "to both ends of the grainline.",
        f"Scale 1:{1.0 / first.scale:.1f}.".replace(".0.", "."),
    ]
    if len(pictures) > 1:
        said.append(
            f"The layout is shown in {len(pictures)} stretches; pale parts belong to another one. "
            "Distances with // begin at the cut end too, on a stretch before."
        )
    return " ".join(said)


def _pieces(laid: Sequence[Place]) -> Table:
    """Return the table of the pieces."""
    head, rows = ["number", "piece", "cut", "material"], []
    sized = any(place.cut.drawn.size for place in laid)
    if sized:
        head.insert(2, "size")
    for cut in dict.fromkeys(place.cut for place in laid):
        own = [place for place in laid if place.cut is cut]
        drawn = cut.drawn
        count = f"{len(own)}, opened out" if drawn.fold else f"{len(own)}"
        number = own[0].number.partition("-")[0]
        size = (drawn.size or "",) if sized else ()
        rows.append((number, drawn.name or drawn.id, *size, count, cut.demand.material))
    return Table("Pieces", tuple(head), tuple(rows))


def _placing(laid: Sequence[Place], cloth: Cloth) -> Table:
    """Return the placing table, in cutting order."""
    unit = _UNITS[cloth.system][0]
    head = (
        "number",
        "piece",
        "lay",
        f"cut end to leading edge, {unit}",
        f"nearer selvedge to the ends of the grainline, {unit}",
    )
    rows = tuple(
        (
            place.number,
            place.cut.title,
            place.side + (", opened out" if place.is_opened else ""),
            tape_text(place.leading, cloth.system),
            ends_text(place, cloth.system),
        )
        for place in laid
    )
    return Table("Placing table, in cutting order", head, rows, figures=2)
