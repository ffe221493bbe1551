# SPDX-License-Identifier: GPL-2.0-or-later
"""A menu command with its dialog filled in and a drawing opened, short of its work."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TypeVar

from extension.dialogs.menu_command import MenuCommand
from extension.dialogs.talk import Host, Talk

Kind = TypeVar("Kind", bound=MenuCommand)

EMPTY = b'<svg xmlns="http://www.w3.org/2000/svg" width="1mm" height="1mm"/>'


def host() -> Host:
    """Return a host that has no clock, never stops and hears nothing."""
    return Host(lambda: 0.0, lambda _: False, Talk(io.BytesIO()))


def opened(kind: Callable[[Host], Kind], *words: str, drawing: bytes = EMPTY) -> Kind:
    """Return a menu command with the words of its dialog, and a drawing read as the editor's."""
    command = kind(host())
    command.parse_arguments([*words, "--output=o"])
    command.load(io.BytesIO(drawing))
    return command
