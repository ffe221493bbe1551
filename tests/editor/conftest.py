# SPDX-License-Identifier: GPL-2.0-or-later
"""What tests of the real editor begin with."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.helpers.edited import Edited
from tests.helpers.editor import Profile


@pytest.fixture
def profile(tmp_path: Path) -> Profile:
    """Return a profile of the editor with the plugin in it."""
    made = Profile(tmp_path / "profile ä")
    made.install()
    return made


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    """Return a drawing with a layout."""
    file = tmp_path / "laid.svg"
    file.write_bytes(Edited().data)
    return file
