# SPDX-License-Identifier: GPL-2.0-or-later
"""Names of pieces on labels."""

from __future__ import annotations

import pytest

from extension.labels.names import read_name
from extension.labels.phrases import Text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Left Upper Sleeve", "Left Upper Sleeve"),
        ("fond de poche", "fond de poche"),
        ("pied de col du devant", "pied de col du devant"),
        ("Front lining", "Front lining"),
        ("left", None),
        ("of the front", "front"),
        ("attach to sleeve", None),
        ("FRONT / DEVANT", "FRONT"),
        ("back  pocket", "back pocket"),
        ("zyx sleeve zyx", "sleeve"),
    ],
)
def test_name(text: str, expected: str | None) -> None:
    assert read_name(Text(text)) == expected
