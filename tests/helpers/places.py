# SPDX-License-Identifier: GPL-2.0-or-later
"""Where things are, whichever folder a test lies in."""

from __future__ import annotations

from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
EXTENSION = PROJECT / "extension"
SAMPLES = PROJECT / "sample_svgs"
DIALOGS = EXTENSION / "dialogs"
HOST = EXTENSION / "host"
