# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten Layout in the editor."""

from __future__ import annotations

from argparse import ArgumentParser

from extension.dialogs.menu_command import MenuCommand
from extension.dialogs.talk import ProgressLines
from extension.language.errors import DrawingError
from extension.language.words import listed
from extension.layouts.layers import chosen_layers
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import serialise
from nesting.stop import AfterSeconds, AnyOf


class Tighten(MenuCommand):
    """Makes the selected layout tighter on a new layer: the only one with none selected."""

    tab = "run"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the field of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--seconds", type=int, default=20)

    def act(self) -> bytes:
        """Return the drawing with the tighter layout; as it was when there is nothing to gain."""
        layers = chosen_layers(self.drawing, self.selected_layouts())
        if len(layers) > 1:
            how = "are selected" if self.selected_layouts() else "are in the drawing"
            raise DrawingError(
                f"{len(layers)} layouts {how}, {listed([one.title for one in layers])}: select "
                "the one to tighten, or a part of it, and no other."
            )
        host, seconds = self.host, self.options.seconds
        stop = AnyOf(AfterSeconds(seconds, host.clock), host.stop)
        run = Run(host.clock, stop, ProgressLines(host.talk, seconds, layers[0].options.system))
        outcome = tighten_layout(self.drawing, layers[0].id, run)
        if outcome.drawing is None:
            self.msg(" ".join(outcome.summary))
        else:
            said = " ".join(outcome.said)
            self.done(f"{said}\nThe tightened layout is on a new layer {outcome.where}")
        return outcome.drawing or serialise(self.drawing)
