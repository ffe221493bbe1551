# SPDX-License-Identifier: GPL-2.0-or-later
"""The `lay:` attributes of a piece or of a mark: their names, and from text to typed values.

A new attribute is named and parsed here. What is parsed of a piece, `PieceDetails`, travels whole:
with its draft, with the piece as drawn, with what is proposed for it. Every value that cannot be
used is refused in one sentence that names the object, the value, what is allowed, and an example.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeVar, get_args

from extension.language.errors import DrawingError, OptionError
from extension.language.names import RESULT_ATTRIBUTES
from extension.language.units import parse_angle
from extension.language.words import folded
from extension.pieces.cutlist import HANDS, ONCE, Demand, cut_list
from extension.pieces.matchwords import Matching, match_words
from extension.pieces.values import (
    MOST_NOTE,
    allowance_of,
    note_words,
    off_grain_of,
    priority_of,
)
from nesting.model import EDGE_WORDS, Edge

Role = Literal[
    "outline", "grainline", "fold", "notch", "mark", "label", "stitching", "bracket", "edge"
]
SideUp = Literal["face", "either"]
End = Literal["start", "end"]

PIECE_ATTRIBUTES = {
    "name": "Left sleeve",
    "size": "38",
    "cut": "2 main; 1 interfacing; 2 lining same",
    "hand": "mirrored",
    "allowance": "15mm",
    "leave-out": "yes",
    "note": "cut last, from what is left",
    "grain": "up",
    "fold": "line12",
    "top": "end",
    "turns": "two-way",
    "turns-on-nap": "allow",
    "off-grain": "2deg",
    "side-up": "face",
    "priority": "1",
    "hidden": "yes",
    "border": "hem",
    "drawn": "(a fingerprint of the outline, written by Set Cutting Details)",
    "role": "grainline",
    "one-side": "yes",
    "match": "side seam along",
    "read": '{"cut": "2", "name": "Front"}',
}
"""Every attribute that may stand on a piece or on a mark of it, with an example, in the order in
which the dialog asks for them.

`read` is written by Read Pattern Markings: what it set, so that what she set by hand is known."""

SETTABLE = tuple(
    name for name in PIECE_ATTRIBUTES if name not in ("drawn", "role", "one-side", "read")
)
"""What she can set on a piece, or, `match`, on a mark; the rest is written by commands."""

FREE_STEP = 15.0
"""Degrees between the turns of a piece that may lie in any direction (`lay:turns="free"`)."""

TURNS: dict[str, tuple[float, ...]] = {
    "one-way": (0.0,),
    "two-way": (0.0, 180.0),
    "four-way": (0.0, 90.0, 180.0, 270.0),
    "free": tuple(FREE_STEP * step for step in range(round(360 / FREE_STEP))),
}
DIRECTIONS = {"right": 0.0, "up": 90.0, "left": 180.0, "down": 270.0}
"""Typed directions as angles in the piece's own coordinates, counter-clockwise as seen."""

DRAWN_WHOLE = "none"
"""What `lay:fold` says of a piece that lies on no fold of the cloth: its outline is all of it."""

MARK_ATTRIBUTES = frozenset({"role", "one-side", "match", "read"})
SHARED_ATTRIBUTES = frozenset({"size", "leave-out"})
"""Attributes that a group or layer hands down to all that is in it without making it a piece."""

PART_NOTES = {
    "copy": "set lay:cut to how often the piece is cut",
    "turned": "use lay:turns for the ways it may lie",
    "flipped": "use lay:side-up for the side that may be up",
    "held": "hold parts with Hold or Release Parts",
}
"""What is noted on the parts of a layout, and what to do instead where it stands on a piece."""
_OF_MARKS = {
    "one-side": "the mark that is on one side only",
    "match": "a small mark at the point that is to match, or to the grainline",
}
"""What is said of marks, and where it belongs when it stands on a piece."""
IN_GROUPS = frozenset({"one-side", "match"})
"""What a group round a piece is not refused here: it may be said of the marks in it."""
_EXTRAS_OF = {"grainline": {"top"}, "fold": {"top"}, "edge": {"allowance"}}
_MARK_EXTRAS = MARK_ATTRIBUTES | SHARED_ATTRIBUTES | {"name"}

_MOST_QUOTED = 200
"""Letters of a wrong value that a message quotes."""
_YES_NO = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}

_Value = TypeVar("_Value")


@dataclass(frozen=True, slots=True)
class Typed:
    """A direction typed on a piece: degrees counter-clockwise in the element's own coordinates."""

    degrees: float


Pointer = Typed | str
"""A grain or fold as given by attribute: a typed direction, or the id of a line."""

FOR_ENGINE = ("turns", "turns_on_nap", "off_grain", "priority", "hidden", "band")
"""Details that the engine is told as they stand, under the same names (`nesting.model.Piece`)."""


@dataclass(frozen=True, slots=True)
class PieceDetails:
    """The cutting details that stand on one piece; None is "not said". Lengths in mm.

    The size is not among them, since layers hand it down (`objects.size_of`). What is worked out of
    details (a name where none is said, the direction of the grain) stands beside them.
    """

    name: str | None = None
    priority: float | None = None
    cut: tuple[Demand, ...] | None = None
    side_up: SideUp = "face"
    grain: Pointer | None = None
    fold: Pointer | None = None
    drawn_whole: bool = False
    drawn: str | None = None
    top: End | None = None
    turns: tuple[float, ...] = TURNS["two-way"]
    turns_on_nap: bool = False
    off_grain: float = 0.0
    allowance: float | None = None
    hidden: bool = False
    """Not seen in the garment, as a facing or a pocket bag: it may lie over a flaw."""
    band: Edge = ""
    """The edge that lies on the border of the cloth (`lay:border`)."""
    note: str | None = None
    """What the designer tells whoever cuts it, in her own words."""

    @property
    def demands(self) -> tuple[Demand, ...]:
        """What is cut of the piece: as said, or once."""
        return self.cut or ONCE

    @property
    def for_engine(self) -> dict[str, Any]:
        """What the engine is told as it stands, by the names of its model."""
        return {name: getattr(self, name) for name in FOR_ENGINE}

    @property
    def turns_word(self) -> str:
        """The word for the ways it may lie."""
        return next(word for word, turns in TURNS.items() if turns == self.turns)


@dataclass(frozen=True, slots=True)
class MarkDetails:
    """What stands on a mark: its role, whether it is on one side only, what it is to match.

    Of a line along an edge also the allowance that is added there, mm.
    """

    role: Role | None = None
    one_side: bool = False
    match: Matching | None = None
    allowance: float | None = None


def makes_piece(attributes: Mapping[str, str]) -> bool:
    """Return whether these attributes make the object that carries them a piece.

    A size or "leave out" alone does not: layers carry those for all that is in them.
    """
    others = MARK_ATTRIBUTES | SHARED_ATTRIBUTES
    named = any(name in PIECE_ATTRIBUTES and name not in others for name in attributes)
    return named or folded(attributes.get("role", "")) == "outline"


def check_names(attributes: Mapping[str, str], owner: object, object_id: str) -> None:
    """Raise DrawingError when an attribute is none of ours (a slip of the pen, most likely)."""
    for name in attributes:
        if name in PIECE_ATTRIBUTES or name in RESULT_ATTRIBUTES:
            continue
        near = difflib.get_close_matches(name, PIECE_ATTRIBUTES, n=1)
        advice = f"use lay:{near[0]}, or remove it." if near else "remove it."
        raise DrawingError(f"{owner} has an unknown attribute lay:{name}: {advice}", object_id)


def check_place(attributes: Mapping[str, str], owner: object, object_id: str) -> None:
    """Raise DrawingError when the outline of a piece carries what only means something elsewhere.

    That is what we note on the parts of a layout (a part itself, with `lay:of`, may be copied
    among the pieces), and what is said of marks.
    """
    for name in attributes:
        if name in PART_NOTES and "of" not in attributes:
            raise DrawingError(
                f"{owner} has lay:{name}, which is noted on parts of a layout and says nothing on "
                f"a piece: {PART_NOTES[name]}, and remove it.",
                object_id,
            )
    for name, where in _OF_MARKS.items():
        if name in attributes:
            raise DrawingError(
                f"{owner} has lay:{name}, which is said of a mark, not of a piece: give it to "
                f"{where}, or remove it.",
                object_id,
            )


def check_mark(attributes: Mapping[str, str], role: str, owner: object, object_id: str) -> None:
    """Raise DrawingError when a mark with a role carries details of a piece: nobody reads them."""
    used = _MARK_EXTRAS | _EXTRAS_OF.get(folded(role), set())
    for name in attributes:
        if name in PIECE_ATTRIBUTES and name not in used:
            raise DrawingError(
                f"{owner} is a mark (lay:role=“{role}”), so lay:{name} says nothing on it: give "
                f"lay:{name} to the outline of the piece, or remove it.",
                object_id,
            )


def piece_details(attributes: Mapping[str, str], owner: object, object_id: str) -> PieceDetails:
    """Return the cutting details in these attributes.

    `owner` is how messages call the object. Raises DrawingError for the first value that cannot
    be used.
    """
    check_names(attributes, owner, object_id)
    reader = _Reader(attributes, owner, object_id)
    hand = reader.word("hand", HANDS, "mirrored")
    drawn_whole = says_drawn_whole(attributes)
    return PieceDetails(
        name=reader.text("name"),
        priority=reader.value(
            "priority", priority_of, None, "a number from 1 up, the first to be laid"
        ),
        cut=reader.value(
            "cut",
            lambda text: cut_list(text, hand),
            None,
            "a count from 1 to 999, or a list of counts with their materials",
        ),
        side_up=reader.word("side-up", _SIDES_UP, "face"),
        grain=reader.value("grain", _pointer, None, _POINTERS),
        fold=None if drawn_whole else reader.value("fold", _pointer, None, _FOLD_POINTERS),
        drawn_whole=drawn_whole,
        drawn=reader.text("drawn"),
        top=reader.word("top", _ENDS, None),
        turns=reader.word("turns", TURNS, TURNS["two-way"]),
        turns_on_nap=reader.word("turns-on-nap", {"allow": True, **_YES_NO}, False),
        off_grain=reader.value("off-grain", off_grain_of, 0.0, "an angle from 0 to 45 degrees"),
        allowance=_read_allowance(reader),
        hidden=reader.word("hidden", _YES_NO, False),
        band=reader.word("border", _EDGES, ""),
        note=reader.value("note", note_words, None, f"a few words, {MOST_NOTE} letters at most"),
    )


def says_drawn_whole(attributes: Mapping[str, str]) -> bool:
    """Return whether a piece is said to have no fold edge, whatever its label says of a fold."""
    return folded(attributes.get("fold", "")) == DRAWN_WHOLE


def says_leave_out(attributes: Mapping[str, str], owner: object, object_id: str) -> bool:
    """Return whether an object is marked to be left out. Raises DrawingError."""
    return _Reader(attributes, owner, object_id).word("leave-out", _YES_NO, False)


def mark_details(attributes: Mapping[str, str], owner: object, object_id: str) -> MarkDetails:
    """Return what these attributes say of a mark. Raises DrawingError as `piece_details` does."""
    reader = _Reader(attributes, owner, object_id)
    role = reader.word("role", _ROLES, None)
    return MarkDetails(
        role=role,
        one_side=reader.word("one-side", _YES_NO, False),
        match=reader.value("match", match_words, None, _MATCH_WORDS),
        allowance=_read_allowance(reader) if role == "edge" else None,
    )


_MATCH_WORDS = "the name of a group, and “on line”, “between lines”, “along” or “across” behind it"
_EDGES: dict[str, Edge] = {str(edge): edge for edge in EDGE_WORDS}
_SIDES_UP: dict[str, SideUp] = {"face": "face", "either": "either"}
_ENDS: dict[str, End | None] = {"start": "start", "end": "end"}
_ROLES: dict[str, Role | None] = {role: role for role in get_args(Role)}
_POINTERS = "up, down, left, right, an angle, or the id of a line"
_FOLD_POINTERS = f"{_POINTERS}, or {DRAWN_WHOLE} for a piece that is drawn whole"


class _Reader:
    """Reads typed values out of one object's attributes."""

    def __init__(self, attributes: Mapping[str, str], owner: object, object_id: str) -> None:
        self._attributes = attributes
        self._owner = owner
        self._object_id = object_id

    def text(self, name: str) -> str | None:
        """Return an attribute's text without spaces round it; None when absent or blank."""
        return " ".join(self._attributes.get(name, "").split()) or None

    def word(self, name: str, allowed: Mapping[str, _Value], absent: _Value) -> _Value:
        """Return what a keyword stands for."""
        if name not in self._attributes:
            return absent
        by_word = {folded(word): value for word, value in allowed.items()}

        def meaning(text: str) -> _Value:
            if folded(text) not in by_word:
                raise ValueError("")
            return by_word[folded(text)]

        words = [word for word in allowed if word not in ("true", "false", "1", "0")]
        return self.value(name, meaning, absent, _one_of(words))

    def value(
        self, name: str, parse: Callable[[str], _Value], absent: _Value, allowed: str
    ) -> _Value:
        """Return a parsed value, or raise the one sentence that says what is wrong with it."""
        text = self._attributes.get(name)
        if text is None:
            return absent
        try:
            return parse(text)
        except (ValueError, OptionError) as error:
            reason = f" (it {error})" if isinstance(error, ValueError) and str(error) else ""
            raise DrawingError(
                f"{self._owner} has lay:{name}=“{_quoted(text)}”{reason}, which cannot be used: "
                f"give {allowed}, such as “{PIECE_ATTRIBUTES[name]}”.",
                self._object_id,
            ) from error


def _read_allowance(reader: _Reader) -> float | None:
    return reader.value("allowance", allowance_of, None, "a length with its unit from 0 to 50 cm")


def _one_of(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _quoted(text: str) -> str:
    return text if len(text) <= _MOST_QUOTED else f"{text[:_MOST_QUOTED]}…"


def _pointer(text: str) -> Pointer:
    word = folded(text)
    if word in DIRECTIONS:
        return Typed(DIRECTIONS[word])
    if not text.strip():
        raise ValueError("is empty")
    try:
        return Typed(parse_angle(text))
    except OptionError:
        return text.strip().removeprefix("#")
