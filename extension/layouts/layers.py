# SPDX-License-Identifier: GPL-2.0-or-later
"""The layout layers of a drawing, what was stored on each, and which of them are meant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.settings import laid_sections, options_of, result_of
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.language.words import listed
from extension.svg.document import Document, matrix_of
from extension.svg.identities import Identities, described, label_of
from extension.svg.transforms import can_be_undone
from nesting.errors import ThriftlayError
from nesting.model import LaidSection

NO_LAYOUT = "There is no layout in this drawing: lay the pieces out on fabric first."
AS_LONG = 0.05
"""mm by which a length may differ that the editor has rounded, and be the same."""


@dataclass(frozen=True, eq=False, slots=True)
class LayoutLayer:
    """One layout in the drawing: its layer, the options it was made with, what came out then.

    `name` is its label, or its id without one, and more where that does not tell it from others:
    a layer that was copied keeps its label. `sections` are those of folded cloth, none else.
    """

    element: etree._Element
    id: str
    label: str
    options: LayOutOptions
    result: Mapping[str, Any]
    name: str
    sections: tuple[LaidSection, ...] = ()

    @property
    def title(self) -> str:
        """What messages call it."""
        return described(self.id, self.name, "the layer")

    def is_still_a_draft(self, length: float) -> bool:
        """Return whether it was a first draft when it was laid, and is as long as then (mm)."""
        laid = self.result.get("length_mm")
        is_as_laid = isinstance(laid, int | float) and abs(length - laid) < AS_LONG
        return self.result.get("first_draft") is True and is_as_laid

    def sublayer(self, holds: str) -> etree._Element | None:
        """Return the sublayer that holds `cloth`, `parts` or `measures`; None when it is gone.

        On a layout drawn before sublayers said so themselves the label tells it.
        """
        groups = [one for one in self.element if _is_group(one)]
        named = {id(one): one.get(lay("holds"), "").partition(" ")[0] for one in groups}
        if not any(named.values()):
            named = {id(one): label_of(one) for one in groups}
        return next((one for one in groups if named[id(one)] == holds), None)


def layout_of(element: etree._Element) -> etree._Element | None:
    """Return the layer of the layout that an element is or lies in, None when in none."""
    lines = [element, *element.iterancestors()]
    return next((one for one in lines if one.get(lay("layout")) is not None), None)


def layout_layers(document: Document) -> tuple[LayoutLayer, ...]:
    """Return every layout of a drawing that can be read, in document order.

    Raises DrawingError when there is none, or when what is stored on all of them is damaged.
    """
    layers, damaged = _all_layers(document)
    if not layers:
        raise damaged[0] if damaged else DrawingError(NO_LAYOUT)
    return tuple(layers)


def damaged_layers(document: Document) -> tuple[str, ...]:
    """Return a sentence for each layout whose settings cannot be read."""
    return tuple(str(fault) for fault in _all_layers(document)[1])


def chosen_layers(document: Document, ids: Sequence[str]) -> tuple[LayoutLayer, ...]:
    """Return the layouts that ids stand for: of the layers themselves, or of anything on them.

    A number that is no id stands for a layout, 1 for the first; no id at all stands for every
    layout that can be read. Raises DrawingError for an id or a number of none, and for a layout
    that is chosen but cannot be read.
    """
    layers = layout_layers(document)
    if not ids:
        return layers
    identities = Identities(document.root)
    chosen = []
    for wanted in ids:
        found = identities.find(wanted)
        if found is None and wanted.isascii() and wanted.isdigit():
            found = _numbered(layers, wanted).element
        element = None if found is None else layout_of(found)
        if element is None:
            raise DrawingError(_not_one(wanted, layers), wanted)
        chosen.append(_layer(element, identities.id_of(element)).element)
    return tuple(layer for layer in layers if layer.element in chosen)


def one_layer(document: Document, wanted: str) -> LayoutLayer:
    """Return the layout of an id or number, or the only one there is when `wanted` is empty.

    Raises DrawingError when it cannot be said which one is meant.
    """
    return only_one(chosen_layers(document, [wanted] if wanted else []))


def only_one(layers: Sequence[LayoutLayer], what: str = "") -> LayoutLayer:
    """Return the only one of some layouts. Raises DrawingError when there are several.

    `what` tells for what there may be one alone: `The full size`.
    """
    if len(layers) > 1:
        titles = listed([layer.title for layer in layers])
        if not what:
            raise DrawingError(
                f"There are {len(layers)} layouts, {titles}: say which one is meant."
            )
        raise DrawingError(
            f"{what} shows one layout, and there are several, {titles}: say which one is meant. "
            "Select it, or a part of it; in a terminal, type --layout."
        )
    return layers[0]


def _all_layers(document: Document) -> tuple[list[LayoutLayer], list[DrawingError]]:
    """Return the layouts of a drawing, and the faults of those that cannot be read."""
    identities = Identities(document.root)
    layers, damaged = [], []
    for element in document.root.iter(etree.Element):
        if not _is_layout(element):
            continue
        try:
            layer = _layer(element, identities.id_of(element))
            _check_place(document, layer)
            layers.append(layer)
        except DrawingError as fault:
            damaged.append(fault)
    return _told_apart(layers), damaged


def _told_apart(layers: Sequence[LayoutLayer]) -> list[LayoutLayer]:
    """Return layouts with names that differ: a copy is called one, other namesakes by their ids.

    A copy has the label and the number of one that lies before it, as the editor copies them.
    """
    named: list[LayoutLayer] = []
    copies: dict[tuple[str, str], int] = {}
    for layer in layers:
        made = layer.name, layer.element.get(lay("layout"), "")
        copies[made] = copies.get(made, 0) + 1
        name = layer.name
        if copies[made] > 1:
            name += " (copy)" if copies[made] == 2 else f" (copy {copies[made] - 1})"
        if any(other.name == name for other in named):
            name += f" ({layer.id})"
        named.append(replace(layer, name=name))
    return named


def _is_layout(element: etree._Element) -> bool:
    """Return whether an element is the layer of a layout, and not within one of its own copies."""
    return element.get(lay("layout")) is not None and layout_of(element) is element


def _is_group(element: etree._Element) -> bool:
    """Return whether a node is a group."""
    return isinstance(element.tag, str) and etree.QName(element).localname == "g"


def _layer(element: etree._Element, id_: str) -> LayoutLayer:
    """Return the layout on a layer."""
    label = label_of(element)
    text = element.get(lay("settings"), "")
    result = result_of(text)
    try:
        options = options_of(text)
        sections = laid_sections(result, options.usable_width)
    except ThriftlayError:
        raise DrawingError(
            f"The settings stored on the layout {described(id_, label, 'without a name')} are gone "
            "or damaged, so "
            "its fabric is not known: lay the pieces out again.",
            id_,
        ) from None
    return LayoutLayer(element, id_, label, options, result, label or id_, sections)


def _check_place(document: Document, layer: LayoutLayer) -> None:
    """Raise DrawingError when the layer is squeezed to a line, so that nothing lies anywhere."""
    inside = [layer.element, layer.sublayer("parts"), layer.sublayer("cloth")]
    try:
        if all(can_be_undone(matrix_of(document, one)) for one in inside if one is not None):
            return
        why = "is squeezed to a line or blown up beyond all numbers, with all that lies on it: undo"
    except ValueError as error:
        why = f"is moved by what cannot be read (“{error}”): correct"
    raise DrawingError(
        f"The layout {described(layer.id, layer.label, 'without a name')} {why} that, or lay the "
        "pieces out again.",
        layer.id,
    )


def _numbered(layers: Sequence[LayoutLayer], number: str) -> LayoutLayer:
    """Return the layout of a number, 1 for the first. Raises DrawingError when there is none."""
    if not 1 <= int(number) <= len(layers):
        raise DrawingError(
            f"There is no layout number {number}: the drawing has {len(layers)}, "
            f"{listed([layer.title for layer in layers])}."
        )
    return layers[int(number) - 1]


def _not_one(wanted: str, layers: Sequence[LayoutLayer]) -> str:
    """Return the sentence for an id that stands for no layout."""
    titles = listed([layer.title for layer in layers])
    return f"“{wanted}” is no layout and lies on none: choose {titles}."
