# SPDX-License-Identifier: GPL-2.0-or-later
"""Which sample file is drawn by which draft."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tests.helpers.drafting import (
    apron,
    border_skirt,
    jacket,
    pouch,
    shirt,
    skirt,
    striped_top,
    trousers,
    worktable,
)
from tests.helpers.drafting.sheet import Sheet

SAMPLES: Mapping[str, Callable[[], Sheet]] = {
    "first-apron.svg": apron.sheet,
    "wrap-skirt.svg": skirt.sheet,
    "lined-jacket.svg": jacket.sheet,
    "inch-trousers.svg": trousers.sheet,
    "untidy-smock.svg": worktable.sheet,
    "checked-shirt.svg": shirt.sheet,
    "striped-top.svg": striped_top.sheet,
    "border-skirt.svg": border_skirt.sheet,
    "remnant-pouch.svg": pouch.sheet,
}
