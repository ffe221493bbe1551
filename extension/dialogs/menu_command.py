# SPDX-License-Identifier: GPL-2.0-or-later
"""What the menu commands have in common: inkex's extension class, fed by our own strict reader.

inkex reads the arguments, knows the selection and leads through a run: arguments, drawing, effect,
result. The file is parsed by `extension.svg.document`, because inkex's parser accepts damaged ones,
and what is drawn is read as it stands in the file (see `elements`).
"""

from __future__ import annotations

import contextlib
import io
import os
from abc import abstractmethod
from argparse import ArgumentParser
from pathlib import Path
from typing import Any, BinaryIO, ClassVar

import inkex
from lxml import etree

from extension.dialogs.elements import ELEMENTS
from extension.dialogs.talk import Host
from extension.language.errors import DrawingError
from extension.language.faults import OTHER_DIALOG
from extension.language.names import NAMESPACE
from extension.layouts.layers import layout_of
from extension.operations import KEEPS_BEST
from extension.svg.document import Document, parse, write_atomically
from extension.svg.identities import Identities
from extension.watch import limits_for, watched

SEE, SEE_BEHIND = " (press Close, then 4).", " (press Close here and in the dialog, then 4)."
"""How the whole drawing comes into view: 4 is the editor's own key for that. A dialog that stays
open has the keys first."""
DONE, REFUSED = 0, 2
"""Exit codes of a process that is ended from within, as `hosted` has them."""


class MenuCommand(inkex.EffectExtension):  # type: ignore[misc]
    """A command of the menu: the fields of its dialog, and what it does.

    The file it stands in is named like its operation; each field of its dialog (.inx) is one of its
    arguments, with the same type and default.
    """

    extra_nss: ClassVar = {"lay": NAMESPACE}
    tab = ""
    """The page of the dialog that is shown first."""

    def __init__(self, host: Host) -> None:
        self.host = host
        self.before = b""
        self.drawing: Document
        self.svg: Any
        self.result = b""
        self._watch = contextlib.ExitStack()
        super().__init__()

    @property
    def called(self) -> str:
        """Its name, as in `--command=lay-out`."""
        return type(self).__module__.rpartition(".")[2].replace("_", "-")

    @abstractmethod
    def act(self) -> bytes:
        """Return the drawing as it is after the command. Raises a ThriftlayError."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        """Add the fields of the dialog: here, what every one has."""
        pars.allow_abbrev = False
        pars.add_argument("--command", default=self.called)
        pars.add_argument("--tab", default=self.tab)

    def parse_arguments(self, args: list[str]) -> None:
        """Read the fields. Raises DrawingError for those of another version's dialog."""
        try:
            with contextlib.redirect_stderr(io.StringIO()):
                super().parse_arguments(args)
        except SystemExit:
            raise DrawingError(OTHER_DIALOG) from None

    def msg(self, text: str) -> None:
        """Tell the person something about the result, once there is one."""
        self.host.talk.note(text)

    def hint(self, text: str) -> None:
        """Tell what is worth a look and stands on the drawing, too: only in a window of ours."""
        self.host.talk.hint(text)

    def done(self, what: str, *, may_be_far: bool = True) -> None:
        """Tell last what is done and where; it `may_be_far` from what is seen now."""
        see = SEE_BEHIND if self.tab else SEE
        self.host.talk.done(f"Done: {what}{see if may_be_far else ''}")

    @property
    def ids(self) -> list[str]:
        """What the editor said is selected, in its order, with ids that the drawing lacks.

        Operations look them up, by the same rule for all doors, and tell those that are none.
        """
        return list(self.options.ids)

    def selected(self) -> list[etree._Element]:
        """Return what `ids` stands for in the drawing, in its order: inkex's own selection."""
        return list(self.svg.selection.rendering_order())

    def selected_layouts(self) -> list[str]:
        """Return the selected ids that are layouts or lie on one; others may be selected, too."""
        return [str(one.get("id")) for one in self.selected() if layout_of(one) is not None]

    # --- a run, as inkex leads through it --------------------------------------------------------

    def load(self, stream: BinaryIO) -> Any:
        """Return the tree of a drawing in inkex's elements. Raises DrawingError."""
        # Bytes, not the path: the editor's temporary name means nothing to a person.
        self.before = stream.read()
        if self.host.alone:
            self._watch.enter_context(self._watched())
        self.drawing = parse(self.before, ELEMENTS)
        self.svg = self.drawing.root
        if self.ids:
            # By the rule that every operation looks ids up by, which is not quite inkex's.
            found = map(Identities(self.svg).find, self.ids)
            self.svg.selection.set(*[one for one in found if one is not None])
        return self.drawing.tree

    def effect(self) -> None:
        """Do what the command does, watched until there is a result."""
        with self._watch:
            try:
                self.result = self.act()
            except inkex.AbortExtension as error:  # inkex's own errors for a person
                raise DrawingError(str(error)) from error

    def save_raw(self, ret: object) -> None:
        """Write the result, the drawing as it was when nothing was to be kept; whole or not at all.

        Raises DrawingError.
        """
        drawing = self.before if self.host.cancelled() else self.result
        write_atomically(drawing, Path(self.options.output))

    def clean_up(self) -> None:
        """Let the file go, and the watch of a run that was refused."""
        self._watch.close()
        super().clean_up()

    def _watched(self) -> contextlib.AbstractContextManager[None]:
        """Return a watch over the command, which ends the process when it has to."""

        def end(told: str) -> None:
            if told:
                self.host.talk.tell("message", told)
            else:
                write_atomically(self.before, Path(self.options.output))
            os._exit(REFUSED if told else DONE)

        keeps = self.called in KEEPS_BEST
        asked = float(getattr(self.options, "seconds", 0.0) or 0.0) if keeps else 0.0
        limits = limits_for(self.called, Path(self.options.input_file), asked)
        return watched(limits, self.host.cancelled, end)
