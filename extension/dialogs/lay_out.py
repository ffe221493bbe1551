# SPDX-License-Identifier: GPL-2.0-or-later
"""Lay Out on Fabric in the editor: from the dialog and the selection to the options of a run."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Mapping, Sequence
from typing import Any

from extension.dialogs.fields import (
    add_cloth_fields,
    add_design_fields,
    add_fold_fields,
    cloth_options,
    design_options,
    fold_options,
    yes_or_no,
)
from extension.dialogs.menu_command import MenuCommand
from extension.dialogs.talk import ProgressLines
from extension.job.portions import USUAL_LOT
from extension.job.short_cloth import NOT_FIT
from extension.job.spread import USUAL_SPREAD
from extension.job.summary import FIRST_DRAFT, FIRST_DRAFT_OF_SOME
from extension.job.unsaid import COUNTS_OTHERWISE, NOT_CLEAR
from extension.job.wishes import Wishes, wishes_from_text
from extension.language.errors import DrawingError
from extension.language.words import listed
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import LayoutLayer, chosen_layers, layout_of
from extension.operations.again import orders_again
from extension.operations.lay_out import Order, Outcome, lay_out_again, lay_out_materials
from extension.operations.running import Run
from extension.operations.untold import NOT_LAID_ON, width_typed
from extension.pieces.twice import LIES_ON

_SELECT_LAYOUT = (
    "To use the settings of layouts, select them, or a part of each, and nothing else; or untick "
    "“Use the settings of the selected layout”. New pieces go into the gaps of one alone."
)
_SELECT_KEPT = (
    "To keep parts in place, select them, all on one layout, or let it keep only those that are "
    "held."
)

_SET_GRAIN = (
    "Set the grain (command 4), or tick “Lay pieces that have no grainline as they are drawn”."
)


def without_grain(report: Mapping[str, Any]) -> list[str]:
    """Return a sentence on the pieces that are not on their layout for want of a grainline."""
    left = [one for each in report.get("layouts", [report]) for one in each["left_out"]]
    lost = [one["label"] or one["id"] for one in left if one["reason"] == "no grainline"]
    names = listed(list(dict.fromkeys(lost)), most=12)
    return [f"Not laid, having no grainline: {names}. {_SET_GRAIN}"] if lost else []


def perhaps_wrong(report: Mapping[str, Any]) -> list[str]:
    """Return the notes on pieces of which too few or too many may be laid."""
    notes = [note for each in report.get("layouts", [report]) for note in each["notes"]]
    signs = COUNTS_OTHERWISE, NOT_CLEAR, LIES_ON
    return list(dict.fromkeys(note for note in notes if any(sign in note for sign in signs)))


class LayOut(MenuCommand):
    """Lays the selected pieces out on a new layer: all with none selected."""

    tab = "fabric"

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog."""
        super().add_arguments(pars)
        pars.add_argument("--fabric_width", default="140 cm")
        pars.add_argument("--fabric_length", default="")
        pars.add_argument("--nap", type=yes_or_no, default=True)
        pars.add_argument("--napped", default="")
        pars.add_argument("--spread", default=USUAL_SPREAD)
        add_fold_fields(pars)
        add_design_fields(pars)
        pars.add_argument("--material", default="all")
        pars.add_argument("--flaws", default="")
        pars.add_argument("--border", default="")
        pars.add_argument("--one_lot", default=USUAL_LOT)
        pars.add_argument("--price", default="")
        pars.add_argument("--garments", type=int, default=1)
        pars.add_argument("--sizes", default="")
        add_cloth_fields(pars)
        pars.add_argument("--seconds", type=int, default=20)
        pars.add_argument("--advice", type=yes_or_no, default=False)
        pars.add_argument("--again", type=yes_or_no, default=False)
        pars.add_argument("--keep", default="held")

    def wanted(self) -> Wishes:
        """Return the wishes of a run from the fields. Raises OptionError."""
        values = self.options
        selected = self._pieces()
        typed = {
            "fabric_width": width_typed(self.drawing, values.fabric_width, selected),
            "fabric_length": values.fabric_length,
            "nap": values.napped if values.nap else "no",
            **fold_options(values),
            **design_options(values),
            "material": values.material,
            "flaws": values.flaws,
            "border": values.border,
            "one_lot": values.one_lot,
            "price": values.price,
            "advice": "yes" if values.advice else "",
            "garments": str(values.garments),
            "sizes": values.sizes,
            **cloth_options(values),
        }
        return wishes_from_text(typed, selected)

    def kept(self) -> HoldRequest:
        """Return which parts the run keeps where they are.

        Raises DrawingError when parts are to be kept but none, or a part of several layouts, is
        selected.
        """
        selected = self.selected_layouts()
        if self.options.keep == "held":
            return HoldRequest(selected[0] if selected else "")
        layers = chosen_layers(self.drawing, selected) if selected else ()
        if len(layers) != 1:
            raise DrawingError(_SELECT_KEPT)
        return HoldRequest(layers[0].id, tuple(self._kept_on(layers)))

    def orders(self) -> list[Order]:
        """Return the orders of the selected layouts with the settings that they were made with.

        Raises DrawingError when none is selected, or other things besides.
        """
        values = self.options
        layouts = [layout_of(one) for one in self.selected()]
        # New pieces go into the gaps of one layout only.
        fills = values.keep == "all"
        if fills:
            layouts = [one for one in layouts if one is not None]
        count = len({id(one) for one in layouts})
        if not layouts or None in layouts or (fills and count > 1):
            raise DrawingError(_SELECT_LAYOUT)
        layers = chosen_layers(self.drawing, self.selected_layouts())
        pieces = self._pieces() if fills else []
        return orders_again(self.drawing, layers, {}, pieces, self._kept_on(layers))

    def _pieces(self) -> list[str]:
        """Return the selected ids that lie on no layout."""
        on_layouts = set(self.selected_layouts())
        return [id_ for id_ in self.ids if id_ not in on_layouts]

    def _kept_on(self, layers: Sequence[LayoutLayer]) -> list[str]:
        """Return the ids of what is kept in place beside the parts that are held."""
        whole = [layer.id for layer in layers]
        if self.options.keep == "all":
            return whole
        kept = [id_ for id_ in self.selected_layouts() if id_ not in whole]
        return kept if self.options.keep == "selected" else []

    def act(self) -> bytes:
        """Return the drawing with the layouts on new layers; of several, tell what to buy."""
        host = self.host
        if self.options.again:
            orders = self.orders()
            seconds = sum(order.options.seconds for order in orders)
            run = Run(
                host.clock, host.stop, ProgressLines(host.talk, seconds, orders[0].options.system)
            )
            outcome = lay_out_again(self.drawing, orders, run)
        else:
            wishes, kept = self.wanted(), self.kept()
            run = Run(
                host.clock,
                host.stop,
                ProgressLines(host.talk, wishes.base.seconds, wishes.base.system),
            )
            outcome = lay_out_materials(self.drawing, wishes, run, kept)
        self._tell(outcome)
        return outcome.drawing

    def _tell(self, outcome: Outcome) -> None:
        """Tell what to buy and where it lies; what needs a look stays until it is closed."""
        where, report = outcome.where, outcome.report
        missing = [*perhaps_wrong(report), *without_grain(report)]
        if outcome.count > 1:
            self.msg("\n".join([*outcome.to_buy, *missing]))
            self.done(f"{outcome.count} layouts lie {where}, each on a new layer")
            return
        first, *rest = outcome.summary
        signs = FIRST_DRAFT, FIRST_DRAFT_OF_SOME, NOT_FIT, NOT_LAID_ON
        look_at = [*[line for line in rest if line.startswith(signs)], *missing]
        if look_at:
            self.hint("\n".join([first, *look_at]))
            self.done(f"the layout is on a new layer {where}")
        else:
            self.done(f"{first}\nThe layout is on a new layer {where}")
