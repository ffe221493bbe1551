# SPDX-License-Identifier: GPL-2.0-or-later
"""Fields that several dialogs have, and what is typed in them. The options judge the rest."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from extension.job.design import NONE
from extension.job.options import USUAL_WIDTH_IS
from extension.job.spread import USUAL_SIDES
from extension.language.by_material import one_by_material, value_for
from extension.language.errors import OptionError

_EXAMPLE = "type it like “8 cm” or “main = 8 cm, contrast = 1 cm”"


def yes_or_no(text: str) -> bool:
    """Return what the editor writes for a tick."""
    return text.strip().lower() in ("true", "1")


def add_cloth_fields(pars: ArgumentParser) -> None:
    """Add what is asked of the cloth and the pieces wherever they are laid."""
    pars.add_argument("--width_is", default=USUAL_WIDTH_IS)
    pars.add_argument("--selvedge", default="")
    pars.add_argument("--gap", default="3 mm")
    pars.add_argument("--end_allowance", default="")
    pars.add_argument("--shrinkage", default="0 %")
    pars.add_argument("--shrinkage_across", default="0 %")
    pars.add_argument("--round_up", default="auto")
    pars.add_argument("--allowance_is", default="included")
    pars.add_argument("--allowance", default="1.5 cm")
    pars.add_argument("--lay_without_grain", type=yes_or_no, default=False)
    pars.add_argument("--seed", type=int, default=0)


def add_fold_fields(pars: ArgumentParser) -> None:
    """Add what is asked of folded cloth beside how it lies."""
    pars.add_argument("--depths", default="")
    pars.add_argument("--sides", default=USUAL_SIDES)
    pars.add_argument("--spread_by", default="")


def add_design_fields(pars: ArgumentParser) -> None:
    """Add what is asked of the design of the cloth."""
    pars.add_argument("--repeat_along", default="")
    pars.add_argument("--repeat_across", default="")
    pars.add_argument("--uneven", type=yes_or_no, default=False)
    pars.add_argument("--half_drop", type=yes_or_no, default=False)
    pars.add_argument("--first_line", default="")


def design_options(values: Namespace) -> dict[str, str]:
    """Return the design of the cloth as the options have it; they judge it. Raises OptionError."""
    ways = ("along", values.repeat_along), ("across", values.repeat_across)
    typed = {way: one_by_material(text, _EXAMPLE) for way, text in ways}
    repeats = []
    for name in dict.fromkeys(name for lengths in typed.values() for name in lengths):
        sizes = {way: value_for(name, lengths) for way, lengths in typed.items()}
        said = ", ".join(f"{way} {size}" for way, size in sizes.items() if size not in (None, NONE))
        repeats.append(f"{name} = {said or NONE}" if name else said or NONE)
    return {
        "repeat": "; ".join(repeats),
        "uneven": "yes" if values.uneven else "",
        "half_drop": "yes" if values.half_drop else "",
        "first_line": values.first_line,
    }


def fold_options(values: Namespace) -> dict[str, str]:
    """Return how the cloth lies as the options have it; they judge it."""
    spread = f"{values.spread} {values.depths.strip()}".strip()
    return {
        "spread": "; ".join(filter(None, (spread, values.spread_by.strip()))),
        "sides": values.sides,
    }


def cloth_options(values: Namespace) -> dict[str, str]:
    """Return those fields as the options have them. Raises OptionError."""
    return {
        "width_is": values.width_is,
        "selvedge": values.selvedge,
        "gap": values.gap,
        "end_allowance": values.end_allowance,
        "shrinkage": values.shrinkage,
        "shrinkage_across": values.shrinkage_across,
        "round_up": "" if values.round_up == "auto" else values.round_up,
        "allowance": _added_allowance(values),
        "no_grain": "lay" if values.lay_without_grain else "leave-out",
        "seconds": str(values.seconds),
        "seed": str(values.seed),
    }


def _added_allowance(values: Namespace) -> str:
    """Return the seam allowance to add as typed, or `included`. Raises OptionError."""
    if values.allowance_is == "add" and not values.allowance.strip():
        # Left blank it would read as "included", which is the opposite of what was ticked.
        raise OptionError(
            "Seam allowance is to be added, but not how much: type its width, such as “1.5 cm”."
        )
    return str(values.allowance) if values.allowance_is == "add" else "included"


def chosen_path(text: str, what: str) -> Path | None:
    """Return the file or folder chosen in the dialog, None where the field is empty.

    Raises OptionError for a path that starts nowhere: the program's own folder is not meant.
    """
    if not text.strip():
        return None
    path = Path(text.strip()).expanduser()
    if not path.is_absolute():
        raise OptionError(
            f"{what} “{text.strip()}” does not say in which folder it is: choose it with the "
            "button beside the field."
        )
    return path
