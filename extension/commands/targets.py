# SPDX-License-Identifier: GPL-2.0-or-later
"""The files that a command writes: looked at before the work, and the report written."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from extension.operations.results import JSON, SVG, check_results
from extension.svg.document import write_atomically


def check_targets(drawing: Path, output: Path | None, report: Path | None) -> None:
    """Raise before the work when a result could not be written, or would destroy something.

    Also when the name of one says that it is something else.
    """
    if report is not None:
        taken = (drawing, *([] if output is None else [output]))
        check_results("The report", [(report, JSON)], taken)
    check_results("The drawing", [(output, SVG)])


def write_report(report: Mapping[str, Any], path: Path | None) -> None:
    """Write a report as JSON where one is wanted. Raises DrawingError when it cannot be written."""
    if path is not None:
        text = json.dumps(report, ensure_ascii=False, indent=1)
        write_atomically(text.encode(), path)
