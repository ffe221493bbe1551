# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts that are laid out again from their settings: what each is ordered with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extension.job.options import LayOutOptions
from extension.job.wishes import Typed, changed_for
from extension.language.errors import DrawingError
from extension.layouts.flaws import flaws_drawn
from extension.layouts.found import leaves_on
from extension.layouts.frame import frame_of
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import LayoutLayer, chosen_layers
from extension.operations.lay_out import Order
from extension.pieces.objects import called
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf


def orders_again(
    document: Document,
    layers: Sequence[LayoutLayer],
    typed: Typed,
    select: Sequence[str] = (),
    held: Sequence[str] = (),
) -> list[Order]:
    """Return the orders of layouts with their settings, what is typed in the place of those.

    `select` are ids of pieces that are laid as well, `held` of parts that stay, each on its own
    layout. Flaws that are drawn on a layout are heeded as well. Raises OptionError for a value that
    cannot be used, DrawingError for a part that is held on another layout than these.
    """
    leaves = read_leaves(document, include_layouts=True)
    if len(layers) == 1:
        (layer,) = layers
        options = changed_for(layer.options, typed, select)
        options = _with_flaws(document, leaves, layer, options)
        return [Order(options, HoldRequest(layer.id, tuple(held)))]
    kept: dict[str, list[str]] = {layer.id: [] for layer in layers}
    for id_ in held:
        (on,) = chosen_layers(document, [id_])
        if on.id not in kept:
            what = next((called(one) for one in leaves if one.id == id_), "A held part")
            raise DrawingError(f"{what} lies on {on.title}, which is not laid out again.", id_)
        kept[on.id].append(id_)
    names = [layer.options.material for layer in layers]
    return [
        Order(
            _with_flaws(document, leaves, layer, changed_for(layer.options, typed, select, names)),
            HoldRequest(layer.id, tuple(kept[layer.id])),
        )
        for layer in layers
    ]


def _with_flaws(
    document: Document, leaves: Sequence[Leaf], layer: LayoutLayer, options: LayOutOptions
) -> LayOutOptions:
    """Return options with the flaws that are drawn on a layout.

    Raises OptionError where they cannot be heeded, as on a crosswise fold.
    """
    own = leaves_on(leaves, layer)
    was, frame = layer.options, frame_of(document, layer, own)
    drawn = flaws_drawn(own, frame, was.sides, was.remnant)
    return replace(options, flaws=(*options.flaws, *drawn)) if drawn else options
