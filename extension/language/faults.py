# SPDX-License-Identifier: GPL-2.0-or-later
"""Faults that nobody foresaw, as one sentence instead of a traceback."""

from __future__ import annotations

import os
import traceback
from pathlib import Path

OWN_FAULT = 70
"""Exit code of a fault of ours, not of the drawing: EX_SOFTWARE of BSD's sysexits.h."""
SHOWN = "THRIFTLAY_TRACEBACK"
"""Variable of the environment that lets a developer see where a fault comes from."""

OTHER_DIALOG = (
    "The editor still shows a dialog of another version of Thriftlay, as after an update. Nothing "
    "was changed. Please close the editor, open it again, and start the command anew."
)
NO_MEMORY = (
    "There is not enough memory for this drawing: close other programs, or divide the drawing, and "
    "try again. The drawing is as it was."
)


def is_memory(fault: BaseException) -> bool:
    """Return whether a fault is want of memory, also when it shows in loading a library."""
    return isinstance(fault, MemoryError) or "failed to map segment" in str(fault)


def sentence_of(fault: BaseException) -> str:
    """Return what a person is told of a fault. Raises it again where a developer wants it."""
    if os.environ.get(SHOWN):
        raise fault
    if is_memory(fault):
        return NO_MEMORY
    own = [one for one in traceback.extract_tb(fault.__traceback__) if _is_ours(one.filename)]
    where = f", {Path(own[-1].filename).name} line {own[-1].lineno}" if own else ""
    return (
        f"Thriftlay met a fault of its own ({type(fault).__name__}{where}) and stopped; the "
        "drawing is as it was. Please report this line together with the drawing."
    )


def _is_ours(file: str) -> bool:
    """Return whether a source file is one of the project."""
    return bool({"extension", "nesting"} & set(Path(file).parts))
