# SPDX-License-Identifier: GPL-2.0-or-later
"""What is typed in fields that several dialogs have."""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.dialogs.fields import chosen_path, yes_or_no
from extension.language.errors import OptionError


def test_files_are_chosen_by_their_whole_path(tmp_path: Path) -> None:
    assert chosen_path("  ", "The web page") is None
    assert chosen_path(str(tmp_path / "a.html"), "The web page") == tmp_path / "a.html"
    with pytest.raises(OptionError, match="does not say in which folder"):
        chosen_path("a.html", "The web page")


@pytest.mark.parametrize(("text", "said"), [("true", True), ("false", False), ("1", True)])
def test_ticks_are_read_as_the_editor_writes_them(text: str, said: bool) -> None:
    assert yes_or_no(text) is said
