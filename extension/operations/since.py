# SPDX-License-Identifier: GPL-2.0-or-later
"""What became of the cloth of a layout since it was laid, told where it is laid out again."""

from __future__ import annotations

from extension.job.options import LayOutOptions
from extension.layouts.cloth_since import changed_since
from extension.layouts.flaws import flaws_beside
from extension.layouts.found import leaves_on
from extension.layouts.frame import frame_of
from extension.layouts.layers import one_layer
from extension.operations.drawing import Drawing


def told_since(drawing: Drawing, options: LayOutOptions, layer_id: str) -> tuple[str, ...]:
    """Return sentences on a remnant that was changed, and on flaws that lie beside the cloth.

    `layer_id` is the layout that is laid out again, "" for none.
    """
    said = [changed_since(drawing.drawn, options.remnant, options.flaws)]
    if layer_id:
        layer = one_layer(drawing.document, layer_id)
        own = leaves_on(drawing.everything, layer)
        frame = frame_of(drawing.document, layer, own)
        said.append(flaws_beside(own, frame, layer.options.remnant))
    return tuple(filter(None, said))
