# SPDX-License-Identifier: GPL-2.0-or-later
"""Limits of single options, and how they are read: seconds, and shares lost in the wash."""

from __future__ import annotations

from extension.language.errors import OptionError

SECONDS_LIMIT = 86_400.0
SHRINKAGE_LIMIT = 0.5
_NO_SHRINKAGE = f"The shrinkage must be between 0 and {100.0 * SHRINKAGE_LIMIT:g} %"
_OF_CLOTH_THERE = (
    "Shrinkage is for cloth that is bought: measure the piece that is there after it has been "
    "washed, and leave the shrinkage out."
)


def time_limit(text: str) -> float:
    """Return a typed time limit in seconds. Raises OptionError."""
    try:
        seconds = float(text)
    except ValueError:
        raise OptionError(
            f"The time limit must be a number of seconds, but it is “{text}”: type 20, say."
        ) from None
    check_seconds(seconds)
    return seconds


def check_seconds(seconds: float) -> None:
    """Raise for a time limit that is none."""
    if not 0.0 < seconds <= SECONDS_LIMIT:
        raise OptionError(
            "The time limit must be more than 0 seconds and at most a day: type 20, say."
        )


def typed_share(text: str) -> float:
    """Return a typed percentage as a share. Raises OptionError."""
    plain = text.removesuffix("%").strip().replace(",", ".")
    try:
        return float(plain) / 100.0
    except ValueError:
        raise OptionError(f"{_NO_SHRINKAGE}, but it is “{text}”: write it like “5%”.") from None


def check_shrinkage(shares: tuple[float, ...], *, is_there: bool) -> None:
    """Raise when cloth would grow, lose more than cloth does, or is there already."""
    for share in shares:
        if not 0.0 <= share <= SHRINKAGE_LIMIT:
            raise OptionError(
                f"{_NO_SHRINKAGE}, but it is “{100.0 * share:g} %”: write it like “5%”."
            )
    if is_there and any(shares):
        raise OptionError(_OF_CLOTH_THERE)
