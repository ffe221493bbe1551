# SPDX-License-Identifier: GPL-2.0-or-later
"""Faults of a drawing or of what was typed, each with one plain sentence for the person."""

from __future__ import annotations

from extension.language.words import begun
from nesting.errors import ThriftlayError


class DrawingError(ThriftlayError):
    """The drawing cannot be read or laid out as it is.

    `object_id` is the id of the object at fault, or None when it is the whole drawing.
    """

    def __init__(self, message: str, object_id: str | None = None) -> None:
        super().__init__(begun(message))
        self.object_id = object_id


class OptionError(ThriftlayError):
    """A value typed in the dialog or on the command line cannot be used."""


class OutputError(ThriftlayError):
    """What a command says cannot be written where it was sent."""
