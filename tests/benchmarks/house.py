# SPDX-License-Identifier: GPL-2.0-or-later
"""How the house stands: rooms, floors, arrows between them; how long files and functions are."""

from __future__ import annotations

import ast
from functools import cache
from statistics import median, quantiles

from tests.test_house import arrows, modules, room_of, taken_by


def main() -> None:
    """Print the measures of `nesting` and `extension`, counted from their source."""
    known = modules()
    pairs = sorted(arrows())
    rooms = {room_of(name) for name in known} - {"nesting", "extension"}

    @cache
    def below(room: str) -> int:
        """Return how many floors there are from a room down; circles are the tests' business."""
        return 1 + max((below(taken) for taker, taken in pairs if taker == room), default=0)

    lines = [file.read_text(encoding="utf-8").count("\n") for file in known.values()]
    functions = [
        (node.end_lineno or node.lineno) - node.lineno + 1
        for file in known.values()
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef)
    ]
    taken = sum(len(taken_by(file) & set(known)) for file in known.values())
    print(f"rooms                                {len(rooms)}")
    print(f"floors, the longest way down         {max(map(below, rooms))}")
    print(f"arrows between rooms                 {len(pairs)}")
    print(f"imports between modules              {taken}")
    print(f"modules; lines, median and most      {len(lines)}; {median(lines):.0f}, {max(lines)}")
    ninety = quantiles(functions, n=10)[-1]
    middle = median(functions)
    print(f"functions; lines, median and 90 %    {len(functions)}; {middle:.0f}, {ninety:.0f}")


if __name__ == "__main__":
    main()
