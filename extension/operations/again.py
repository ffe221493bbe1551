# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts that are laid out again from their settings: what each is ordered with."""

from __future__ import annotations

from collections.abc import Sequence

from extension.job.wishes import Typed, changed_for
from extension.language.errors import DrawingError
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import LayoutLayer, chosen_layers
from extension.operations.lay_out import Order
from extension.svg.document import Document


def orders_again(
    document: Document,
    layers: Sequence[LayoutLayer],
    typed: Typed,
    select: Sequence[str] = (),
    held: Sequence[str] = (),
) -> list[Order]:
    """Return the orders of layouts with their settings, what is typed in the place of those.

    `select` are ids of pieces that are laid as well, `held` of parts that stay, each on its own
    layout. Raises OptionError for a value that cannot be used, DrawingError for a part that is
    held on another layout than these.
    """
    if len(layers) == 1:
        (layer,) = layers
        options = changed_for(layer.options, typed, select)
        return [Order(options, HoldRequest(layer.id, tuple(held)))]
    kept: dict[str, list[str]] = {layer.id: [] for layer in layers}
    for id_ in held:
        (on,) = chosen_layers(document, [id_])
        if on.id not in kept:
            raise DrawingError(f"“{id_}” lies on {on.title}, which is not laid out again.", id_)
        kept[on.id].append(id_)
    names = [layer.options.material for layer in layers]
    return [
        Order(
            changed_for(layer.options, typed, select, names),
            HoldRequest(layer.id, tuple(kept[layer.id])),
        )
        for layer in layers
    ]
