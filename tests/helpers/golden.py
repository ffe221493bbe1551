# SPDX-License-Identifier: GPL-2.0-or-later
"""Compares what is written with a file kept as golden: canonical XML, numbers rounded."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

from lxml import etree

_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")


def canonical(element: etree._Element) -> str:
    """Return an element as canonical XML, one tag a line, decimals rounded to 1/1000."""
    # As it is read from a file: in memory, moved elements may carry idle declarations.
    again = etree.fromstring(etree.tostring(element, with_tail=False))
    text = _NUMBER.sub(_rounded, etree.tostring(again, method="c14n").decode())
    return text.replace("><", ">\n<") + "\n"


def differences(element: etree._Element, golden: Path) -> str:
    """Return a unified diff between an element and a golden file; "" when they agree."""
    kept = golden.read_text(encoding="utf-8") if golden.exists() else ""
    lines = difflib.unified_diff(
        kept.splitlines(), canonical(element).splitlines(), golden.name, "drawn", lineterm="", n=1
    )
    return "\n".join(lines)


def assert_golden(element: etree._Element, golden: Path, *, store: bool) -> None:
    """Fail with the difference; with `store`, keep the element as the new golden file and fail."""
    found = differences(element, golden)
    if found and store:
        golden.parent.mkdir(parents=True, exist_ok=True)
        golden.write_text(canonical(element), encoding="utf-8")
        raise AssertionError(f"{golden.name} was stored anew: look at it, and run again")
    assert not found, found


def _rounded(match: re.Match[str]) -> str:
    value = round(float(match[0]), 3)
    return f"{value + 0.0:g}" if abs(value) < 1e5 else f"{value:.3f}"
