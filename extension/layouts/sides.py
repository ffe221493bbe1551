# SPDX-License-Identifier: GPL-2.0-or-later
"""Which parts were turned over by hand since they were drawn: printed side up or down.

Mirrored as a whole a layout has as many lefts as rights as before, so that counting hands does not
show it; but every part then lies on the other side than its shading and its words say.
"""

from __future__ import annotations

from extension.layouts.copies import Assigned
from extension.layouts.situation import Situation

FEWEST = 2
"""Parts that must have been turned over for it to be the layout, and not a part by itself."""


def turned_over(situation: Situation) -> tuple[Assigned, ...]:
    """Return the parts that lie on the other side than they were drawn on."""
    return tuple(one for one in _with_a_side(situation) if _is_over(one))


def is_flipped_whole(situation: Situation) -> bool:
    """Return whether every part of which it can be told lies on the other side than drawn."""
    told = _with_a_side(situation)
    return len(told) >= FEWEST and all(map(_is_over, told))


def is_folded_cloth_flipped(situation: Situation) -> bool:
    """Return whether folded cloth was flipped as a whole: its folds then lie at the other side.

    Nothing can be said of where its parts lie before it is flipped back.
    """
    return bool(situation.frame.lying) and is_flipped_whole(situation)


def is_right_hand(one: Assigned) -> bool:
    """Return whether a part whose outline is known lies in the hand of a copy that it cuts.

    Through two layers it is cut in both.
    """
    assert one.pose is not None
    return one.part.spot.layers == 2 or one.part.cuts_flipped(one.pose) in one.hands


def _with_a_side(situation: Situation) -> list[Assigned]:
    """Return the parts whose outline tells the side, and that may not lie on either.

    A symmetric outline fits both ways; with either side up a flip is her good right.
    """
    return [
        one
        for one in situation.tally.assigned
        if one.part.cut is not None
        and len({pose.is_down for pose in one.part.poses}) == 1
        and (len(one.hands) == 1 or len(one.copies) > 1)
        and one.part.found.flipped is not None
    ]


def _is_over(one: Assigned) -> bool:
    """Return whether a part lies on the other side than its notes say."""
    return one.pose is not None and one.pose.is_down != one.part.found.flipped
