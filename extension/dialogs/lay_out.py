# SPDX-License-Identifier: GPL-2.0-or-later
"""Lay Out on Fabric in the editor: from the dialog and the selection to the options of a run."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.fields import add_cloth_fields, cloth_options, yes_or_no
from extension.dialogs.menu_command import MenuCommand
from extension.dialogs.talk import ProgressLines
from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.settings import options_of
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import chosen_layers, layout_of
from extension.operations.lay_out import Run, lay_out

_SELECT_ONE = (
    "To use the settings of a layout, select that layout or one part of it, and nothing else; "
    "or untick “Use the settings of the selected layout”."
)
_SELECT_KEPT = (
    "To keep parts in place, select them, all on one layout, or let it keep only those that are "
    "held."
)


class LayOut(MenuCommand):
    """Lays the selected pieces out on a new layer: all with none selected."""

    tab = "fabric"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--width", type=float, default=140.0)
        pars.add_argument("--width_unit", default="cm")
        pars.add_argument("--nap", type=yes_or_no, default=True)
        pars.add_argument("--material", default="main")
        pars.add_argument("--garments", type=int, default=1)
        pars.add_argument("--sizes", default="")
        add_cloth_fields(pars)
        pars.add_argument("--seconds", type=int, default=20)
        pars.add_argument("--again", type=yes_or_no, default=False)
        pars.add_argument("--keep", default="held")

    def wanted(self) -> LayOutOptions:
        """Return the options of the run.

        Raises OptionError, or DrawingError when the settings of a layout are wanted and none, or
        more than one, is selected.
        """
        values, on_layouts = self.options, set(self.selected_layouts())
        pieces = [id_ for id_ in self.ids if id_ not in on_layouts]
        if values.again and values.keep == "all":
            return changed_options(self._settings(only_layouts=True), {}, pieces)
        if values.again:
            return self._settings()
        typed = {
            # The editor's spin box may add noise in the far digits.
            "fabric_width": f"{round(values.width, 4):.10g}{values.width_unit}",
            "nap": "yes" if values.nap else "no",
            "material": values.material,
            "garments": str(values.garments),
            "sizes": values.sizes,
            **cloth_options(values),
        }
        return options_from_text(typed, pieces)

    def _settings(self, *, only_layouts: bool = False) -> LayOutOptions:
        """Return the options that the one selected layout was made with.

        `only_layouts`: other things may be selected, too.
        """
        layers = [layout_of(one) for one in self.selected()]
        if only_layouts:
            layers = [layer for layer in layers if layer is not None]
        if not layers or any(layer is not layers[0] for layer in layers) or layers[0] is None:
            raise DrawingError(_SELECT_ONE)
        return options_of(layers[0].get(lay("settings"), ""))

    def kept(self) -> HoldRequest:
        """Return which parts the run keeps where they are.

        Raises DrawingError when parts are to be kept but none, or a part of several layouts, is
        selected.
        """
        values, selected = self.options, self.selected_layouts()
        if values.keep == "held" and not values.again:
            return HoldRequest(selected[0] if selected else "")
        layers = chosen_layers(self.drawing, selected) if selected else ()
        if len(layers) != 1:
            raise DrawingError(_SELECT_ONE if values.again else _SELECT_KEPT)
        if values.keep == "all":
            return HoldRequest(layers[0].id, (layers[0].id,))
        kept = [id_ for id_ in selected if id_ != layers[0].id]
        return HoldRequest(layers[0].id, tuple(kept) if values.keep == "selected" else ())

    def act(self) -> bytes:
        """Return the drawing with a layout on a new layer."""
        options, kept = self.wanted(), self.kept()
        hear = ProgressLines(self.host.talk, options.seconds)
        run = Run(self.host.clock, self.host.stop, hear)
        return lay_out(self.drawing, options, run, kept).drawing
