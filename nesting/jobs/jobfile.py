# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs and results as JSON (version 1 of both formats): the engine without the editor, replayable.

Reading is strict: an unknown or missing key, a value of the wrong kind or beyond a limit is an
error that names it. Text goes in and out; files are the caller's business.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from nesting.errors import JobError, first_and_count
from nesting.jobs.validation import validated
from nesting.jobs.values import is_count, is_number
from nesting.judge.verdict import capital
from nesting.model import (
    Band,
    Fabric,
    Job,
    LaidFabric,
    LaidSection,
    Layout,
    LeftOver,
    Match,
    Piece,
    Placement,
    Repeat,
    Section,
)

__all__ = [
    "JOB_FORMAT",
    "LAYOUT_FORMAT",
    "VERSION",
    "job_from_json",
    "job_to_json",
    "layout_from_json",
    "layout_to_json",
    "validated",
]

JOB_FORMAT = "thriftlay-job"
LAYOUT_FORMAT = "thriftlay-layout"
VERSION = 1

Keys = tuple[str, ...]

HEAD: Keys = ("format", "version")
FABRIC: Keys = tuple(field.name for field in fields(Fabric))
PIECE: Keys = tuple(dict.fromkeys(("id", "name", *(field.name for field in fields(Piece)))))
PLACEMENT: Keys = ("piece", "copies", "garment", "turn", "flip", "x", "y")
FOLDED: Keys = ("section", "layers", "on_fold")
"""What a placement says on folded cloth; absent, it lies in the only section on one layer."""
MORE: Keys = (*FOLDED, "fabric")
"""What a placement may say beside; on which of several pieces of cloth, absent: the first."""
LAID_FABRIC: Keys = tuple(field.name for field in fields(LaidFabric))
SECTION: Keys = tuple(field.name for field in fields(Section))
LAID_SECTION: Keys = (*SECTION, "length")
REPEAT: Keys = tuple(field.name for field in fields(Repeat))
BAND: Keys = ("name", "from", "to")
MATCH: Keys = tuple(field.name for field in fields(Match))
LEFT_OVER: Keys = ("piece", "copies")
FIGURES: Keys = ("width", "length", "utilisation", "lower_bound", "seconds")
COUNTS: Keys = ("seed", "rounds", "workers")
LISTS: Keys = ("sections", "fabrics")
RESULT: Keys = (*FIGURES, *COUNTS, "engine", "placements", "left_over", "outlines")


def job_from_json(text: str | bytes) -> Job:
    """Return the valid job of a job file.

    Raises JobError with one sentence: the first fault in full, the others counted.
    """
    more = ("fabric", "fabrics", "held", "one_lot")
    document = _document(text, "job file", JOB_FORMAT, ("pieces",), more)
    if not {"fabric", "fabrics"} & set(document):
        raise JobError("The job file lacks the key “fabric”: add it, or “fabrics” for several.")
    if {"fabric", "fabrics"} <= set(document):
        raise JobError("The job file has “fabric” and “fabrics”: keep the one that is meant.")
    several, one = document.get("fabrics", []), document.get("fabric", {})
    pieces, held = document["pieces"], document.get("held", [])
    _refuse(
        *(_key_faults("The fabric", one, ("width",), FABRIC) if "fabric" in document else ()),
        *_list_faults("fabric", several, ("width",), FABRIC),
        *_list_faults("piece", pieces, ("id", "outline"), PIECE),
        *_list_faults("held placement", held, PLACEMENT, FOLDED),
    )
    if "fabrics" in document and not several:
        raise JobError("The list of fabrics is empty: give the job a piece of cloth at least.")
    fabrics = tuple(_fabric_of(fabric) for fabric in several)
    for piece in pieces:
        if "match" in piece:
            _refuse(*_list_faults("match point", piece["match"], ("point", "group"), MATCH))
            piece["match"] = tuple(Match(**match) for match in piece["match"])
    return validated(
        Job(
            fabrics[0] if fabrics else _fabric_of(one),
            tuple(Piece(**piece) for piece in pieces),
            tuple(Placement(**spot) for spot in held),
            fabrics,
            document.get("one_lot", ""),
        )
    )


def _fabric_of(fabric: dict[str, Any]) -> Fabric:
    """Return a piece of cloth. Raises JobError for the keys of what is in it."""
    if "sections" in fabric:
        _refuse(*_list_faults("section", fabric["sections"], (), SECTION))
        fabric["sections"] = tuple(Section(**section) for section in fabric["sections"])
    if fabric.get("repeat") is not None:
        _refuse(*_key_faults("The repeat of the fabric", fabric["repeat"], (), REPEAT))
        fabric["repeat"] = Repeat(**fabric["repeat"])
    if "bands" in fabric:
        _refuse(*_list_faults("border", fabric["bands"], ("from", "to"), BAND))
        fabric["bands"] = tuple(
            Band(border.get("name", ""), border["from"], border["to"]) for border in fabric["bands"]
        )
    return Fabric(**fabric)


def job_to_json(job: Job) -> str:
    """Return the job file of a valid job; reading it gives the same job."""
    document: dict[str, Any] = {"format": JOB_FORMAT, "version": VERSION, "unit": "mm"}
    if job.fabrics:
        document["fabrics"] = [_fabric(fabric) for fabric in job.fabrics]
    else:
        document["fabric"] = _fabric(job.fabric)
    if job.one_lot:
        document["one_lot"] = job.one_lot
    document["pieces"] = [_piece(piece) for piece in job.pieces]
    if job.held:
        document["held"] = [_placement(spot) for spot in job.held]
    return _text(document)


def layout_to_json(layout: Layout) -> str:
    """Return the result file of a layout; reading it gives the same layout."""
    document: dict[str, Any] = {"format": LAYOUT_FORMAT, "version": VERSION, "unit": "mm"}
    document |= _as_object(layout, (*FIGURES, *COUNTS, "engine"))
    if layout.exhausted:
        document["exhausted"] = True
    if layout.sections:
        document["sections"] = [_as_object(one, LAID_SECTION) for one in layout.sections]
    if layout.fabrics:
        document["fabrics"] = [_as_object(one, LAID_FABRIC) for one in layout.fabrics]
    document["placements"] = [_placement(spot) for spot in layout.placements]
    document["left_over"] = [_as_object(rest, LEFT_OVER) for rest in layout.left_over]
    document["outlines"] = dict(layout.outlines)
    return _text(document)


def layout_from_json(text: str | bytes) -> Layout:
    """Return the layout of a result file, as it is stated there: `check` judges it.

    Raises JobError with one sentence when the file is no result.
    """
    document = _document(text, "result file", LAYOUT_FORMAT, RESULT, (*LISTS, "exhausted"))
    _refuse(*_kind_faults("The result file", document))
    placements, left_over = document["placements"], document["left_over"]
    sections, fabrics = (document.get(key, []) for key in LISTS)
    _refuse(
        *_list_faults("placement", placements, PLACEMENT, MORE),
        *_list_faults("left-over entry", left_over, LEFT_OVER, LEFT_OVER),
        *_list_faults("section", sections, LAID_SECTION, ()),
        *_list_faults("fabric", fabrics, LAID_FABRIC, ()),
    )
    for number, entry in enumerate((*placements, *left_over, *sections, *fabrics), 1):
        _refuse(*_kind_faults(f"Entry number {number} of the result file", entry))
    return Layout(
        **{key: document[key] for key in (*FIGURES, *COUNTS, "engine")},
        placements=tuple(Placement(**_frozen(spot)) for spot in placements),
        left_over=tuple(LeftOver(**_frozen(rest)) for rest in left_over),
        outlines={
            name: tuple((float(x), float(y)) for x, y in points)
            for name, points in document["outlines"].items()
        },
        sections=tuple(LaidSection(**section) for section in sections),
        fabrics=tuple(LaidFabric(**fabric) for fabric in fabrics),
        exhausted=document.get("exhausted", False),
    )


# --- reading ------------------------------------------------------------------------------------


def _document(text: str | bytes, what: str, form: str, needed: Keys, more: Keys) -> dict[str, Any]:
    """Return the object a JSON text holds, after its head and its keys have been checked."""
    document = _parsed(text, what)
    if not isinstance(document, dict):
        raise JobError(f"The {what} must be a JSON object with the key “format”.")
    if document.get("format") != form:
        raise JobError(f"The {what} must say “format”: “{form}” to be one.")
    if not is_count(document.get("version")) or document["version"] != VERSION:
        raise JobError(f"The {what} must be of “version”: {VERSION}, the only one read here.")
    if document.get("unit", "mm") != "mm":
        raise JobError(f"The {what} must be in millimetres: “unit”: “mm”.")
    _refuse(*_key_faults(f"The {what}", document, (*HEAD, *needed), ("unit", *more)))
    return document


def _parsed(text: str | bytes, what: str) -> Any:
    """Return what a JSON text holds."""
    try:
        if isinstance(text, bytes):
            text = text.decode("utf-8-sig")
        return json.loads(text, object_pairs_hook=_without_repeats)
    except UnicodeDecodeError:
        raise JobError(f"The {what} is not text in UTF-8: save it as UTF-8.") from None
    except json.JSONDecodeError as error:
        raise JobError(
            f"The {what} is not JSON: {error.msg} in line {error.lineno}, column {error.colno}."
        ) from None
    except RecursionError:
        raise JobError(f"The {what} is nested too deep to be one.") from None
    except ValueError:  # Python reads no number of thousands of digits.
        raise JobError(f"The {what} has a number that is too long to be read.") from None


def _without_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object's pairs as a dict; a key given twice is no silent last word."""
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise JobError(f"The key “{key}” is given twice in one object: keep one of them.")
        found[key] = value
    return found


def _refuse(*faults: str) -> None:
    """Raise the faults, if any, as one sentence."""
    if faults:
        raise JobError(first_and_count(faults))


def _list_faults(one: str, values: Any, needed: Keys, known: Keys) -> Iterator[str]:
    """Yield what is wrong with the keys of a list of objects, each called `one`."""
    if not isinstance(values, list):
        yield f"The list of {one}s must be a list of objects."
        return
    for number, value in enumerate(values, 1):
        named = value.get("id") if isinstance(value, dict) else None
        name = f"{one} “{named}”" if isinstance(named, str) else f"{one} number {number}"
        yield from _key_faults(capital(name), value, needed, known)


def _key_faults(what: str, value: Any, needed: Keys, more: Keys) -> Iterator[str]:
    """Yield the keys of an object that are unknown or missing."""
    known = tuple(dict.fromkeys((*needed, *more)))
    if not isinstance(value, dict):
        yield f"{what} must be an object with the keys {_listed(known)}."
        return
    for key in value:
        if key not in known:
            yield f"{what} has the unknown key “{key}”: known are {_listed(known)}."
    for key in needed:
        if key not in value:
            yield f"{what} lacks the key “{key}”: add it."


def _kind_faults(what: str, entry: dict[str, Any]) -> Iterator[str]:
    """Yield the values of a result that are not of their key's kind."""
    for key, (kind, fits) in KINDS.items():
        if key in entry and not fits(entry[key]):
            yield f"The “{key}” of {what[0].lower()}{what[1:]} must be {kind}."


def _is_outlines(value: Any) -> bool:
    """Return whether a value is an object of lists of points."""
    return isinstance(value, dict) and all(
        isinstance(points, list)
        and all(isinstance(p, list) and len(p) == 2 and all(map(is_number, p)) for p in points)
        for points in value.values()
    )


KINDS: Mapping[str, tuple[str, Callable[[Any], bool]]] = {
    **dict.fromkeys((*FIGURES, "turn", "x", "y", "lower", "upper"), ("a number", is_number)),
    **dict.fromkeys(
        (*COUNTS, "garment", "section", "layers", "fabric"), ("a whole number", is_count)
    ),
    **dict.fromkeys(("engine", "piece"), ("text", lambda value: isinstance(value, str))),
    **dict.fromkeys(
        ("flip", "on_fold", "crosswise", "turned", "exhausted"),
        ("true or false", lambda value: isinstance(value, bool)),
    ),
    "copies": (
        "a list of whole numbers",
        lambda value: isinstance(value, list) and all(map(is_count, value)),
    ),
    "outlines": ("an object of lists of points", _is_outlines),
}
"""What the values of a result must be, by key."""


def _frozen(entry: dict[str, Any]) -> dict[str, Any]:
    """Return an entry of a result with its list of copies as the tuple the model holds."""
    return {**entry, "copies": tuple(entry["copies"])}


# --- writing ------------------------------------------------------------------------------------


def _as_object(
    value: Fabric | LaidFabric | Section | Repeat | Piece | Match | Placement | LeftOver | Layout,
    keys: Keys,
) -> dict[str, Any]:
    """Return fields of a frozen value as a JSON object."""
    return {key: getattr(value, key) for key in keys}


def _fabric(fabric: Fabric) -> dict[str, Any]:
    """Return a piece of cloth as a JSON object; what plain cloth has not is left out."""
    sections = [_as_object(section, SECTION) for section in fabric.sections]
    found = _as_object(fabric, FABRIC) | {"sections": sections}
    found["bands"] = [
        dict(zip(BAND, (border.name, border.line, border.to), strict=True))
        for border in fabric.bands
    ]
    if fabric.repeat is not None:
        found["repeat"] = _as_object(fabric.repeat, REPEAT)
    unsaid = ["sections", "sides"] if fabric.is_plain else []
    unsaid += [key for key in ("flaws", "bands", "outline", "holes", "repeat") if not found[key]]
    return {key: value for key, value in found.items() if key not in unsaid}


def _piece(piece: Piece) -> dict[str, Any]:
    """Return a piece as a JSON object; its match points and copies only where it says any."""
    found = _as_object(piece, PIECE) | {"match": [_as_object(one, MATCH) for one in piece.match]}
    return {key: value for key, value in found.items() if value or key not in ("match", "copies")}


def _placement(spot: Placement) -> dict[str, Any]:
    """Return a placement as a JSON object; what it says of folds and cloths where it does."""
    found, folded = _as_object(spot, PLACEMENT), _as_object(spot, FOLDED)
    is_plain = (spot.section, spot.layers, spot.on_fold) == (1, 1, False)
    found = found if is_plain else found | folded
    return found if spot.fabric == 1 else found | {"fabric": spot.fabric}


def _text(document: dict[str, Any]) -> str:
    """Return a document as JSON that a person can read: one line per key, or per entry of one."""
    lines = [f"{_compact(key)}: {_spread(value)}" for key, value in document.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _spread(value: Any) -> str:
    """Return a list of objects, or an object of lists, with one entry per line."""
    if isinstance(value, list) and value:
        return "[\n  " + ",\n  ".join(map(_compact, value)) + "\n]"
    if isinstance(value, dict) and any(isinstance(entry, tuple) for entry in value.values()):
        lines = [f"{_compact(key)}: {_compact(entry)}" for key, entry in value.items()]
        return "{\n  " + ",\n  ".join(lines) + "\n}"
    return _compact(value)


def _compact(value: Any) -> str:
    """Return a value as JSON on one line; the judge has seen to it that numbers are finite."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _listed(keys: Keys) -> str:
    """Return keys as a sentence lists them."""
    return ", ".join(keys)
