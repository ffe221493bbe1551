# SPDX-License-Identifier: GPL-2.0-or-later
"""The files that a command will write, looked at before the work."""

from __future__ import annotations

from pathlib import Path

from extension.document import check_writable
from extension.errors import OptionError


def check_targets(drawing: Path, output: Path, report: Path | None) -> None:
    """Raise before the work when a result could not be written, or would destroy something."""
    if report is not None:
        for other in (drawing, output):
            if report.resolve() == other.resolve():
                raise OptionError(f"The report would overwrite “{other}”: give it another name.")
        check_writable(report)
    check_writable(output)
