# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth, measures and stored figures of a layout brought up to date with what lies there now.

Only what we drew is drawn again; what a person put on these layers stays, and a sublayer that she
deleted stays away.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from lxml import etree

from extension.drawn.cloth import cloth
from extension.drawn.earlier import EARLIER, drawn_earlier
from extension.drawn.frames import transform_text
from extension.drawn.measures import measures
from extension.drawn.sheet import Sheet
from extension.job.settings import settings_text
from extension.language.names import lay
from extension.layouts.frame import Frame, is_identity
from extension.layouts.layers import LayoutLayer
from extension.svg.building import FreeIds, element
from extension.svg.decoration import Kind, declare, declare_place, remove_all, take_away
from extension.svg.document import Document, matrix_of
from extension.svg.model import Matrix
from extension.svg.transforms import inverse, multiply


def renew(
    document: Document, layer: LayoutLayer, frame: Frame, sheet: Sheet, *, with_cloth: bool
) -> None:
    """Draw measures, and the cloth if wanted, of a layout anew from a sheet."""
    _tell_sublayers(layer)
    said = layer.sublayer("measures")
    if said is not None:
        place = multiply(inverse(matrix_of(document, layer.element)), frame.from_sheet)
        _replace(document, layer, said, "measures", measures(sheet, _legend(said)), place)
    drawn = layer.sublayer("cloth")
    if drawn is not None and with_cloth:
        place = multiply(inverse(matrix_of(document, drawn)), frame.from_sheet)
        _replace(document, layer, drawn, "cloth", cloth(sheet), place)


def store(layer: LayoutLayer, figures: Mapping[str, Any]) -> None:
    """Keep new figures among the results stored on a layout."""
    text = settings_text(layer.options, {**layer.result, **figures})
    layer.element.set(lay("settings"), text)


def _tell_sublayers(layer: LayoutLayer) -> None:
    """Let the sublayers of an earlier version say what they hold, each until it is drawn anew."""
    found = {holds: layer.sublayer(holds) for holds in ("cloth", "parts", "measures")}
    for holds, sublayer in found.items():
        if sublayer is not None and sublayer.get(lay("holds")) is None:
            sublayer.set(lay("holds"), f"{holds} {EARLIER}")


def _replace(
    document: Document,
    layer: LayoutLayer,
    sublayer: etree._Element,
    kind: Kind,
    drawn: Sequence[etree._Element],
    place: Matrix,
) -> None:
    """Put what is drawn anew where what we drew before was: below all that is not ours."""
    take_away(sublayer, kind)
    if sublayer.get(lay("holds")) != kind:
        number = str(layer.element.get(lay("layout")))
        remove_all(drawn_earlier(number, sublayer, kind))
    sublayer.set(lay("holds"), kind)
    ids = FreeIds(document.root)
    stem = f"{layer.id}-{kind}"
    declare(drawn, kind, stem)
    if not is_identity(place):
        drawn = [element("g", {"transform": transform_text(place)}, drawn)]
        declare_place(drawn[0], kind, stem)
    for place_in_order, one in enumerate(drawn):
        sublayer.insert(place_in_order, one)
        for node in one.iter(etree.Element):
            node.set("id", ids.take(node.get("id") or f"{stem}-line"))


def _legend(sublayer: etree._Element) -> tuple[str, ...]:
    """Return what the numbers on small parts mean, as it was noted; nothing when that is gone."""
    try:
        return tuple(map(str, json.loads(sublayer.get(lay("legend"), "[]"))))
    except (ValueError, TypeError):
        return ()
