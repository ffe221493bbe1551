# SPDX-License-Identifier: GPL-2.0-or-later
"""Options of runs on cloth as wide as the number says, for tests that are about something else.

Unless told, a width is one as on the bolt, and something comes off it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from extension.job.options import LayOutOptions, options_from_text


def between_selvedges(fabric_width: float, **values: Any) -> LayOutOptions:
    """Return options for cloth that is so wide, mm, between its selvedges."""
    return LayOutOptions(fabric_width, width_is="usable", **values)


def typed_between_selvedges(typed: Mapping[str, str]) -> LayOutOptions:
    """Return the options of values as typed, the width between the selvedges unless it says."""
    return options_from_text({"width_is": "usable", **typed})
