# SPDX-License-Identifier: GPL-2.0-or-later
"""What a dialog of ours (.inx) passes to the launcher, read with the standard library alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

NAMESPACE = "{http://www.inkscape.org/namespace/inkscape/extension}"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One parameter of a dialog: `kind` as the file has it (float, int, bool, string, ...)."""

    name: str
    kind: str
    default: str
    choices: tuple[str, ...] = ()


def parameters(file: Path) -> Iterator[Parameter]:
    """Yield the parameters that the editor passes on, in order, with their defaults."""
    for param in ElementTree.parse(file).iter(NAMESPACE + "param"):
        kind = param.get("type", "")
        options = [one.get("value", one.text or "") for one in param.findall(NAMESPACE + "option")]
        pages = [one.get("name", "") for one in param.findall(NAMESPACE + "page")]
        choices = tuple(options or pages)
        default = choices[0] if choices else (param.text or "").strip()
        yield Parameter(param.get("name", ""), kind, default, choices)


def default_arguments(file: Path) -> list[str]:
    """Return the arguments of a run in which nothing was changed in the dialog."""
    return [f"--{one.name}={one.default}" for one in parameters(file)]
