# SPDX-License-Identifier: GPL-2.0-or-later
"""What a cutting diagram says about one layout, whatever it is written on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from extension.diagram import on_border
from extension.diagram.captions import TWICE
from extension.diagram.cloth import Cloth, cloths_of
from extension.diagram.lacking import lacking_text
from extension.diagram.matching import match_head, match_note, match_text
from extension.diagram.paper import Leaf, Paper, leaves_of
from extension.diagram.places import Place, places
from extension.diagram.rows import words_height
from extension.diagram.shapes import Picture, picture_of
from extension.diagram.stretches import LEAST, pictures_of
from extension.diagram.tape import UNITS, tape_text
from extension.diagram.telling import (
    across_text,
    allowance_text,
    cut_text,
    distances_text,
    grain_text,
    nearer_text,
    side_text,
)
from extension.job.options import LayOutOptions
from extension.job.plan import Cut
from extension.job.summary import between_text
from extension.language.rounding import purchase_text
from extension.language.spreads import ON_FOLD, THROUGH_BOTH
from extension.language.words import listed
from extension.language.working_order import fold_cautions, lay_text, lies_text
from extension.layouts.checked import Checked, examined, layout_now, options_now
from extension.layouts.layers import LayoutLayer
from extension.pieces.sizes import sizes_drawn
from extension.svg.document import Document, title_of
from extension.svg.leaves import read_leaves
from nesting import VERSION
from nesting.cloth.repeats import matches_along
from nesting.model import Repeat

APART = 1.0
"""mm between two pictures on a leaf."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """What a drawing is called, "" when it is not, and the day on which pages are made of it."""

    name: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """A table of plain text; its last `figures` columns are numbers. `note` explains it.

    With `ticked` a box to tick stands at the end of every row, under this head.
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: int = 0
    note: str = ""
    ticked: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Section:
    """One layout: the picture, or several of a long one, what stands round it, and the tables.

    `about` tells which pattern it is, `bought` the length to buy, `cloth` what is laid out on,
    `lacking` what is not on the layout, nothing where everything is.
    """

    title: str
    about: str
    bought: str
    cloth: str
    pictures: tuple[Picture, ...]
    notes: str
    tables: tuple[Table, ...]
    leaf: Leaf
    cautions: tuple[str, ...] = ()
    """Those of folded cloth, beside the usual ones."""
    lacking: str = ""

    @property
    def leaves(self) -> tuple[tuple[Picture, ...], ...]:
        """The pictures, leaf by leaf of paper: as many on each as it has room for."""
        found: list[list[Picture]] = []
        for picture in self.pictures:
            free = self.leaf.room[1] - sum(one.extent[1] + APART for one in (found or [[]])[-1])
            if found and picture.extent[1] <= free:
                found[-1].append(picture)
            else:
                found.append([picture])
        return tuple(map(tuple, found))


def sections(
    document: Document,
    layers: Sequence[LayoutLayer],
    paper: Paper,
    scale: str,
    day: date | None = None,
) -> list[Section]:
    """Return what is said about layouts of a drawing, each section of folded cloth by itself.

    Raises DrawingError when one is empty or breaks a rule, and OptionError when one does not fit
    on the paper at the scale (one of `SCALES`).
    """
    leaves = read_leaves(document, include_layouts=True)
    found = [examined(document, leaves, layer) for layer in layers]
    pattern = Pattern(title_of(document), day)
    return [one for checked in found for one in sections_of(checked, paper, scale, pattern)]


def sections_of(checked: Checked, paper: Paper, scale: str, pattern: Pattern) -> list[Section]:
    """Return what is said about one layout. Raises as `sections` does."""
    cloths = cloths_of(options_now(checked), layout_now(checked))
    laid = places(checked, cloths)
    return [
        _section(checked, own, cloths, cloth, paper, scale, pattern)
        for cloth in cloths
        for own in [[one for one in laid if one.cloth is cloth]]
    ]


def heading_of(layer: LayoutLayer) -> str:
    """Return the heading of a layout."""
    return f"Cutting diagram: {layer.name}"


def about_text(pattern: Pattern, laid: Sequence[Place], options: LayOutOptions) -> str:
    """Return which pattern it is: its name, sizes and number of garments, the day, the version."""
    laid_sizes = sizes_drawn(one.cut.drawn.size for one in laid if one.cut.drawn.size)
    sizes = [size for size, _ in options.sizes] or laid_sizes
    count = options.garments_in_all
    said = [pattern.name]
    if len(options.sizes) > 1:
        said.append(", ".join(f"size {size}: {times}" for size, times in options.sizes))
    elif sizes:
        said.append(f"{'size' if len(sizes) == 1 else 'sizes'} {listed(list(sizes), 12)}")
    said.append(f"{count} garment{'s' if count > 1 else ''}")
    said += [pattern.day.isoformat()] if pattern.day else []
    return " – ".join(filter(None, [*said, f"Thriftlay {VERSION}"]))


def bought_text(checked: Checked) -> str:
    """Return the length to buy, and what it costs where a price was typed."""
    options = checked.layer.options
    bought = options.bought(checked.situation.length)
    cost = options.cost(bought)
    told = "" if cost is None else f", costs {cost.money.text} ({cost.how})"
    return f"{purchase_text(bought)}{told}"


def cloth_text(checked: Checked, cloths: Sequence[Cloth]) -> str:
    """Return what is laid out on, and how it lies."""
    options = checked.layer.options
    folded = [cloth.laid for cloth in cloths if cloth.laid is not None]
    lies = lies_text(folded, checked.situation.frame.width, options.sides, options.system)
    return f"{options.material}, {between_text(options)}. {lies}"


def _section(
    checked: Checked,
    laid: Sequence[Place],
    cloths: Sequence[Cloth],
    cloth: Cloth,
    paper: Paper,
    scale: str,
    pattern: Pattern,
) -> Section:
    """Return what is said about one section of a layout, or about all of it on plain cloth."""
    layer = checked.layer
    title = heading_of(layer)
    if len(cloths) > 1:
        title = f"{title}, section {cloths.index(cloth) + 1} of {len(cloths)}"
    order = order_of(checked, cloth, laid)
    said = [cloth_text(checked, cloths), order, allowance_text(laid, cloth.system)]
    bought = bought_text(checked)
    lies = " ".join(filter(None, said))
    about = about_text(pattern, laid, layer.options)
    missing = lacking_text(checked)
    # The notes on several pictures are longer, and how many there will be is not known yet.
    longest = [picture_of(laid, cloth, LEAST)] * 2
    leaves = leaves_of(
        paper,
        lambda width: words_height(
            title,
            tuple(filter(None, (about, f"{bought}, {lies}", missing, _notes(laid, longest)))),
            width,
        ),
    )
    leaf, pictures = pictures_of(laid, cloth, leaves, scale, layer.title)
    return Section(
        title,
        about,
        bought,
        lies,
        pictures,
        _notes(laid, pictures),
        (_pieces(laid), _placing(laid, cloth, layer.options.design)),
        leaf,
        cautions_of(cloths),
        missing,
    )


def cautions_of(cloths: Sequence[Cloth]) -> tuple[str, ...]:
    """Return the cautions of folded cloth."""
    return fold_cautions([one.laid for one in cloths if one.laid is not None])


def order_of(checked: Checked, cloth: Cloth, laid: Sequence[Place]) -> str:
    """Return what to do with a section, and which parts to cut; nothing for plain cloth."""
    if cloth.laid is None:
        return ""
    width, sides = checked.situation.frame.width, checked.layer.options.sides
    design = checked.layer.options.design
    order = lay_text(
        cloth.laid,
        width,
        sides,
        cloth.system,
        is_rest=cloth.is_rest,
        on_line=any(matches_along(design, one.cut.piece) for one in laid),
    )
    return f"{order}; lay and cut {numbers_text([one.number for one in laid])}."


def numbers_text(numbers: Sequence[str]) -> str:
    """Return numbers of parts in cutting order, three and more in a row as `2 to 7`.

    Those of one piece, `4-1` and `4-2`, count as the piece when they follow each other.
    """
    runs: list[list[str]] = []
    for number in numbers:
        head = int(number.partition("-")[0])
        if runs and head - int(runs[-1][-1].partition("-")[0]) <= 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = []
    for run in runs:
        told += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return listed(told, len(told))


def _notes(laid: Sequence[Place], pictures: Sequence[Picture]) -> str:
    """Return what the signs on the pictures mean."""
    said = ["White: printed side up."]
    if any(place.flipped for place in laid):
        said.append("Shaded: printed side down.")
    if any(place.is_opened for place in laid):
        said.append("* Open out before laying.")
    if any(place.spot.layers > 1 for place in laid):
        said.append(f"{TWICE}: through both layers, cuts 2.")
    if pictures[0].cloth.is_folded:
        said.append("Tinted cloth: two layers.")
    cloths = [picture.cloth for picture in pictures]
    if any(cloth.flaws or cloth.flaws_below for cloth in cloths):
        is_hidden = any(place.cut.piece.hidden for place in laid)
        what = "only hidden pieces may lie" if is_hidden else "nothing is laid"
        below = "; lighter, with a broken line, where they are in the lower layer"
        below = below if any(cloth.flaws_below for cloth in cloths) else ""
        said.append(f"Dark grey: flaws of the cloth, over which {what}{below}.")
    if any(cloth.bands for cloth in cloths):
        said.append(on_border.NOTE)
    if any(cloth.bands_below for cloth in cloths):
        said.append(on_border.BELOW)
    if pictures[0].cloth.remnant is not None:
        said.append("Tinted: the remnant; dashed round it: the frame that distances begin at.")
    if any(place.is_grown for place in laid):
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
            f"Distances with // begin at the {first.cloth.begin} too, on a stretch before."
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
        count = ", ".join([_count(cut, own), *_ways(own)])
        number = own[0].number.partition("-")[0]
        size = (drawn.size or "",) if sized else ()
        note = (drawn.details.note or "",) if noted else ()
        rows.append((number, drawn.name or drawn.id, *size, count, cut.demand.material, *note))
    return Table("Pieces", tuple(head), tuple(rows))


def _count(cut: Cut, own: Sequence[Place]) -> str:
    """Return how many copies are cut, and of how many where others are cut from other cloth."""
    here = str(sum(len(place.copies) for place in own))
    return f"{here} of {cut.of}" if cut.copies < cut.of else here


def _ways(own: Sequence[Place]) -> list[str]:
    """Return how parts of one piece are cut, where it is not out of one layer as drawn."""
    ways = {
        "opened out": any(place.is_opened for place in own),
        ON_FOLD: any(place.spot.on_fold for place in own),
        THROUGH_BOTH: any(place.spot.layers > 1 for place in own),
    }
    return [words for words, is_so in ways.items() if is_so]


def _placing(laid: Sequence[Place], cloth: Cloth, design: Repeat | None) -> Table:
    """Return the placing table, in cutting order."""
    system = cloth.system
    unit = UNITS[system][0]
    is_bordered = any(on_border.asks(place, cloth) for place in laid)
    is_grown = any(place.is_grown for place in laid)
    is_matched = design is not None and any(place.matched for place in laid)
    edge = "the paper’s nearest edge" if is_grown else "the nearest edge"
    head = (
        "number",
        "piece",
        "lay",
        *(["cut all round"] if is_grown else []),
        *([on_border.HEAD] if is_bordered else []),
        "grainline",
        *([match_head(system)] if is_matched else []),
        f"{cloth.begin} to {edge}, {unit}",
        f"{nearer_text(cloth)} to the grainline, {unit}",
    )
    rows = tuple(
        (
            place.number,
            place.cut.title,
            side_text(place),
            *([cut_text(place, system)] if is_grown else []),
            *([on_border.edge_text(place, cloth)] if is_bordered else []),
            grain_text(place),
            *([match_text(place, design, system)] if design is not None and is_matched else []),
            tape_text(place.leading, system),
            across_text(place, system),
        )
        for place in laid
    )
    note = distances_text(laid, cloth)
    if design is not None and is_matched:
        note = f"{note} {match_note(design)}"
    return Table("Placing table, in cutting order", head, rows, 2, note, ticked="done")
