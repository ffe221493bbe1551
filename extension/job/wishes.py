# SPDX-License-Identifier: GPL-2.0-or-later
"""What is wished for of all materials of one run, as typed; for each of them, the options.

What belongs to the cloth may be typed for each material: `main=140cm, lining=150cm`. All else
holds for the whole run.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from extension.job.border import LOWER, UPPER, border_by_material, border_text
from extension.job.border import WRITE_IT as WRITE_BORDER
from extension.job.design import NONE, repeat_by_material
from extension.job.design import WRITE_IT as WRITE_REPEAT
from extension.job.flaws import OF_WHICH, flaws_by_material
from extension.job.flaws import WRITE_IT as WRITE_FLAWS
from extension.job.materials import MAIN, MOST, check_materials, materials_text
from extension.job.options import YES_OR_NO, LayOutOptions, changed_options, options_from_text
from extension.job.remnant import Remnant
from extension.job.spread import WRITE_IT, spread_by_material
from extension.language.by_material import REST, one_by_material, value_for
from extension.language.errors import OptionError
from extension.language.vocabulary import is_inside, material
from extension.language.words import begun, listed
from extension.pieces.remnants import DrawnCloth

Typed = Mapping[str, str]

BY_MATERIAL: dict[str, str] = {
    "spread": WRITE_IT,
    "flaws": WRITE_FLAWS,
    "border": WRITE_BORDER,
    "sides": "type it like “together” or “main=together, lining=apart”",
    "fabric_width": "type it like “140cm” or “main=140cm, lining=150cm”",
    "fabric_length": "type it like “1.2m” or “main=1.2m, lining=none”",
    "width_is": "type it like “booked” or “main=booked, interfacing=usable”",
    "selvedge": "type it like “2cm” or “main=2cm, lining=1cm”",
    "repeat": WRITE_REPEAT,
    "uneven": "type it like “yes” or “main=yes, contrast=no”",
    "half_drop": "type it like “yes” or “main=yes, contrast=no”",
    "first_line": "type it like “2cm” or “main=2cm, contrast=5mm”",
    "gap": "type it like “3mm” or “main=3mm, lining=5mm”",
    "shrinkage": "type it like “5%” or “main=5%, lining=2%”",
    "shrinkage_across": "type it like “3%” or “main=3%, lining=1%”",
    "price": "type it like “12.50” or “main=12.50, lining=6”",
    "rounds": "type it like “40” or “main=30, lining=10”",
    "nap": "type yes or no, the materials that have one, like “main, contrast”, or both, like "
    "“main=yes, lining=no”",
}
"""What may be typed for each material, and how a fault ends."""
ALL = "all"
"""The word for every material that there is."""
DESIGN = ("repeat", "uneven", "half_drop", "first_line")
"""What makes up the design of the cloth. Linings and interfacings have none unless told, where
other cloth is laid as well."""


@dataclass(frozen=True, eq=False, slots=True)
class Wishes:
    """One run over materials: what is typed for each of them, and what holds for all.

    `cloth` is by field of `BY_MATERIAL`, then by material or `REST`; `materials` are those that are
    asked for, none for all that pieces are cut from. `base` are the options of one of them, for
    what is the same in all: sizes, selection, allowance, seed, workers and time.
    """

    common: Typed
    cloth: Mapping[str, Typed]
    materials: tuple[str, ...]
    base: LayOutOptions

    @property
    def rounds(self) -> int | None:
        """The rounds of the whole run, None where time limits it, or each has its own."""
        return self.base.rounds if REST in self.cloth.get("rounds", {}) else None

    def options(self, present: Mapping[str, int]) -> tuple[LayOutOptions, ...]:
        """Return the options of each layout of the run.

        `present` are the materials that are drawn, with the numbers of their pieces. Raises
        OptionError for a material that nothing is cut from, and for one without a width.
        """
        wanted = self.materials or tuple(present) or (MAIN,)
        if present:
            named = (name for typed in self.cloth.values() for name in typed if name != REST)
            check_materials((*wanted, *named), present)
        if len(wanted) > 1 and REST in self.cloth.get("flaws", {}):
            raise OptionError(OF_WHICH)
        widths = self.cloth["fabric_width"]
        missing = {name: count for name, count in present.items() if name in wanted}
        missing = {name: n for name, n in missing.items() if value_for(name, widths) is None}
        if missing:
            raise OptionError(_no_width(missing, present))
        return tuple(
            _options(self.common, self.cloth, name, self.base.select, wanted) for name in wanted
        )

    def taken_alike(self, materials: Sequence[str]) -> str:
        """Return that one width was taken for several materials, "" where each has its own."""
        widths = self.cloth["fabric_width"]
        alike = [name for name in materials if name not in widths]
        if len(alike) < 2:
            return ""
        entries = ", ".join(f"{name}=…" for name in alike)
        return (
            f"{begun(listed(alike, MOST))} are laid on the same width, {widths[REST]}, which "
            f"was typed for all: where they differ, type “{entries}”."
        )


def wishes_from_text(typed: Typed, select: Sequence[str] = ()) -> Wishes:
    """Return the wishes of values as typed; what is missing or blank takes its default.

    Keys are fields of `LayOutOptions`. Those of `BY_MATERIAL` may hold a list by material, and
    `material` holds several, or `all`. Raises OptionError.
    """
    cloth = _cloth(typed)
    if "fabric_width" not in cloth:
        raise OptionError(f"No fabric width is given: {BY_MATERIAL['fabric_width']}.")
    common = {name: text for name, text in typed.items() if name not in BY_MATERIAL}
    materials = materials_typed(common.pop("material", ""))
    named = dict.fromkeys(name for values in cloth.values() for name in values if name != REST)
    with_width = [name for name in named if value_for(name, cloth["fabric_width"]) is not None]
    laid = materials or (MAIN, *with_width)
    judged = [_options(common, cloth, name, select, laid) for name in with_width]
    if REST in cloth["fabric_width"]:
        judged.insert(0, _options(common, cloth, laid[0], select, laid))
    return Wishes(common, cloth, materials, judged[0])


def design_for(typed: Typed, name: str, laid: Sequence[str]) -> dict[str, str]:
    """Return what is typed of the design, by field, that holds for one of the materials `laid`.

    Raises OptionError.
    """
    cloth = _cloth({field: typed.get(field, "") for field in DESIGN})
    own = _own(cloth, name)
    for field in _of_other_cloth(cloth, name, own, laid):
        del own[field]
    return own


def border_for(typed: str, name: str, laid: Sequence[str]) -> str:
    """Return what is typed of the border that holds for one of the materials `laid`, "" for none.

    Linings and interfacings beside other cloth have none unless named. Raises OptionError.
    """
    cloth = _cloth({"border": typed})
    own = _own(cloth, name)
    return "" if "border" in _of_other_cloth(cloth, name, own, laid) else own.get("border", "")


def materials_with_design(typed: Typed) -> tuple[str, ...]:
    """Return the materials, or `REST`, for which something is typed of the design."""
    cloth = _cloth({field: typed.get(field, "") for field in DESIGN})
    return tuple(dict.fromkeys(name for values in cloth.values() for name in values))


def materials_typed(text: str) -> tuple[str, ...]:
    """Return the materials of a list, each once; none for `all`, or where nothing is typed."""
    words = [material(word) for word in re.split("[,;]", text) if word.strip()]
    return () if ALL in words else tuple(dict.fromkeys(words))


def changed_for(
    stored: LayOutOptions, typed: Typed, select: Sequence[str] = (), others: Sequence[str] = ()
) -> LayOutOptions:
    """Return stored options of one layout with what was typed for its material in their place.

    `others` are the materials that are laid again with it. Raises OptionError for what is typed
    for any other one.
    """
    cloth = _cloth(typed)
    name = stored.material
    again = (name, *others)
    for field, values in cloth.items():
        stray = [one for one in values if one != REST and one not in again]
        if stray:
            raise OptionError(
                f"“{stray[0]}” is not laid out again, so nothing can be typed for it "
                f"(“{typed[field].strip()}”): leave it out."
            )
    common = {key: text for key, text in typed.items() if key not in BY_MATERIAL}
    materials = materials_typed(common.pop("material", ""))
    if len(materials) > 1 or (materials and others):
        raise OptionError(
            "A layout that is laid out again has one material: type one, or leave it as it is."
        )
    own = {"material": materials[0]} if materials else {}
    return changed_options(stored, {**common, **_own(cloth, name), **own}, select)


def _options(
    common: Typed,
    cloth: Mapping[str, Typed],
    name: str,
    select: Sequence[str],
    laid: Sequence[str],
) -> LayOutOptions:
    """Return the options of the layout of one material of those laid. Raises OptionError."""
    nap = {"nap": "no" if is_inside(name) else "yes"}
    own = _own(cloth, name)
    for field in _of_other_cloth(cloth, name, own, laid):
        del own[field]
    return options_from_text({**common, **nap, **own, "material": name}, select)


def _of_other_cloth(
    cloth: Mapping[str, Typed], name: str, own: Typed, laid: Sequence[str]
) -> list[str]:
    """Return the fields of the design that are typed for all and do not mean this material."""
    for_all = [field for field in DESIGN if field in own and name not in cloth[field]]
    if is_inside(name) and not all(map(is_inside, laid)):
        border = ["border"] if "border" in own and name not in cloth["border"] else []
        return [*for_all, *border]
    said = cloth.get("repeat", {})
    if value_for(name, said) in (None, NONE) and set(said.values()) - {NONE}:
        # Another material has a repeat: how its lines lie is said of that.
        return [field for field in for_all if field != "repeat"]
    return []


def _own(cloth: Mapping[str, Typed], name: str) -> dict[str, str]:
    """Return what is typed for one material, field by field."""
    found = {field: value_for(name, values) for field, values in cloth.items()}
    return {field: value for field, value in found.items() if value is not None}


def _cloth(typed: Typed) -> dict[str, dict[str, str]]:
    """Return what is typed by material, by field; a field in which nothing is typed is missing."""
    given = {name: typed.get(name, "").strip() for name in BY_MATERIAL}
    return {name: _one_field(name, text) for name, text in given.items() if text}


def _one_field(name: str, text: str) -> dict[str, str]:
    """Return what is typed in one field, by material. Raises OptionError."""
    if name == "spread":
        return spread_by_material(text)
    if name == "repeat":
        return repeat_by_material(text)
    if name == "flaws":
        return flaws_by_material(text)
    if name == "border":
        return border_by_material(text)
    if name == "nap":
        return _naps(text, BY_MATERIAL[name])
    return one_by_material(text, BY_MATERIAL[name])


def _naps(text: str, example: str) -> dict[str, str]:
    """Return yes or no by material; of a list of materials those have a nap, and no others."""
    words = [word.strip() for word in re.split("[,;]", text)]
    if any("=" in word for word in words) or text.casefold() in YES_OR_NO:
        return one_by_material(text, example)
    if not all(words):
        raise OptionError(f"A value is missing in “{text}”: {example}.")
    return {**dict.fromkeys(map(material, words), "yes"), REST: "no"}


def _no_width(missing: Mapping[str, int], present: Mapping[str, int]) -> str:
    """Return the sentence for materials that have no width."""
    entries = ", ".join(f"{name}=…" for name in present)
    return (
        f"No fabric width is given for {materials_text(missing)}: type “{entries}”, or name the "
        "materials that are to be laid out."
    )


def on_remnant(
    options: Sequence[LayOutOptions], cloths: Sequence[DrawnCloth]
) -> tuple[LayOutOptions, ...]:
    """Return the options of all on each piece of cloth that is drawn: it has a size of its own.

    Raises OptionError for several materials, and for what cannot be asked of a remnant.
    """
    if len(options) > 1:
        several = listed([one.material for one in options], MOST)
        raise OptionError(
            f"A remnant is cloth of one material, but {several} are to be laid out: name the one "
            "that it is."
        )
    (own,) = options
    if own.advice:
        raise OptionError(
            "What would save cloth is not looked for on a remnant, which is there: leave that out."
        )
    if own.fabric_length is not None:
        raise OptionError("A remnant has its own length: leave the length of the cloth empty.")
    if own.border:
        raise OptionError(
            "A border of a remnant is drawn on it, as a strip that is marked as its border "
            "(lay:role=“border”): leave the border empty."
        )
    if own.flaws and len(cloths) > 1:
        raise OptionError(
            "On several remnants nobody knows where a typed flaw lies: draw it on its remnant."
        )
    if own.one_lot == "garment" and len(own.sizes) > 1 and len(cloths) > 1:
        raise OptionError(
            "Several sizes are to be laid out at once, and which pieces without a size belong to a "
            "garment of which is not known: lay one size at a time, or keep the copies of a piece "
            "together instead of a garment."
        )
    return tuple(_on(own, cloth) for cloth in cloths)


def _on(own: LayOutOptions, cloth: DrawnCloth) -> LayOutOptions:
    remnant = Remnant(cloth.id, cloth.name, cloth.outline, cloth.holes)
    return replace(
        own,
        fabric_width=remnant.width,
        width_is="usable",
        selvedge=None,
        fabric_length=remnant.length,
        flaws=(*own.flaws, *cloth.flaws),
        border=_border_of(remnant, cloth.border),
        remnant=remnant,
    )


def _border_of(remnant: Remnant, drawn: tuple[float, float] | None) -> str:
    """Return a border that is drawn on a remnant as one that is typed, "" for none."""
    if drawn is None:
        return ""
    side = LOWER if drawn[0] < drawn[1] else UPPER
    off = (y if side == LOWER else remnant.width - y for y in drawn)
    begins, stops = (f"{math.floor(y * 1e6) / 1e6:.6f}mm" for y in off)  # never beyond the edge
    return border_text(f"{side} {begins}, {stops}")


def with_select(options: LayOutOptions, sources: Sequence[str]) -> LayOutOptions:
    """Return options under which some originals are chosen as well as what was."""
    if not options.select:
        return options
    return replace(options, select=tuple(dict.fromkeys((*options.select, *sources))))
