# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines as path data, in many spellings, with the area they enclose."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import shapely

Points = list[tuple[float, float]]

ODD_NUMBERS = (
    "0", "-0", "1e-9", "1e-300", "1e9", "1e16", "1e300", "1e308", "-1e308", "1e999", "nan", "NaN",
    "inf", "-inf", "1e", "..5", "1.2.3", "--3", "+5", "1,5", "0x10", "١٢", "12px", "3in", "50%",
    "", " ", "none", "auto", "2em", "99999999999999999999", "5e-324", "16777217", "-3",
)  # fmt: skip
"""Numbers that drawings should not have where a plain one is meant, and some that they may."""


def outline(random: Random, size: float = 120.0) -> Points:
    """Return a simple outline near the origin, 20 mm to `size` mm across, as garments have them."""
    width, height = random.uniform(20, size), random.uniform(20, size)
    kind = random.randrange(6)
    if kind == 0:
        return [(0, 0), (width, 0), (width, height), (0, height)]
    if kind == 1:
        return [(0, 0), (width, height * random.uniform(0, 0.6)), (width * 0.3, height)]
    if kind == 2:
        x, y = width * random.uniform(0.2, 0.8), height * random.uniform(0.2, 0.8)
        return [(0, 0), (width, 0), (width, y), (x, y), (x, height), (0, height)]
    if kind == 3:
        return [(0, 0), (width, 0), (width * 0.9, height * 0.7), (width * 0.6, height),
                (width * 0.4, height * 0.8), (0, height * 0.9)]  # fmt: skip
    spokes = random.randrange(5, 40)
    waves = [random.uniform(-0.15, 0.15) for _ in range(3)]
    ring: Points = []
    for k in range(spokes):
        turn = 2 * math.pi * k / spokes
        reach = 1 + sum(wave * math.cos((n + 2) * turn) for n, wave in enumerate(waves))
        ring.append((width / 2 * reach * math.cos(turn), height / 2 * reach * math.sin(turn)))
    return ring


def area(points: Sequence[tuple[float, float]]) -> float:
    """Return the area of an outline, mm2."""
    return float(shapely.Polygon(points).area)


def moved(points: Points, x: float, y: float) -> Points:
    """Return an outline with the low corner of its box at (x, y)."""
    low_x, low_y = min(p[0] for p in points), min(p[1] for p in points)
    return [(px - low_x + x, py - low_y + y) for px, py in points]


def box(points: Points) -> tuple[float, float, float, float]:
    """Return the least and greatest coordinates."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def plain(points: Points) -> str:
    """Return path data in full precision."""
    return "M " + " L ".join(f"{x!r} {y!r}" for x, y in points) + " Z"


def spelled(random: Random, points: Points) -> str:
    """Return path data of an outline in one of the spellings that programs write."""
    kind = random.randrange(7)
    start, rest = points[0], points[1:]
    if kind == 0:
        return "M" + " ".join(f"{x!r},{y!r}" for x, y in points) + "z"
    if kind == 1:
        text, here = f"m{start[0]!r} {start[1]!r}", start
        for x, y in rest:
            text += f"l{x - here[0]!r} {y - here[1]!r}"
            here = (x, y)
        return text + "Z"
    if kind == 2:
        text, here = f"M{start[0]!r} {start[1]!r}", start
        for x, y in rest:
            text += f"V{y!r}" if x == here[0] else f"H{x!r}" if y == here[1] else f"L{x!r} {y!r}"
            here = (x, y)
        return text + f"L{start[0]!r} {start[1]!r}z"
    if kind == 3:
        text, here = f"M {start[0]!r} {start[1]!r}", start
        for x, y in [*rest, start]:
            third = (x - here[0]) / 3, (y - here[1]) / 3
            first = f"{here[0] + third[0]!r},{here[1] + third[1]!r}"
            text += f" C {first} {x - third[0]!r},{y - third[1]!r} {x!r},{y!r}"
            here = (x, y)
        return text + " Z"
    if kind == 4:
        text, here = f"M {start[0]!r} {start[1]!r}", start
        for x, y in [*rest, start]:
            text += f" Q {(x + here[0]) / 2!r} {(y + here[1]) / 2!r} {x!r} {y!r}"
            here = (x, y)
        return text + "Z"
    if kind == 5:
        return "M" + "L".join(f"{x:.3e}-0{y:+.9f}".replace("-0", " ") for x, y in points) + "Z"
    doubled = [point for point in points for _ in range(random.choice((1, 1, 2)))]
    return plain(doubled)


def spoiled(random: Random, data: str) -> str:
    """Return path data with something in it that should not be there."""
    words = data.replace(",", " ").split()
    kind = random.randrange(7)
    place = random.randrange(1, len(words)) if len(words) > 1 else 0
    if kind == 0:
        words[place] = random.choice(ODD_NUMBERS)
    elif kind == 1:
        del words[place]
    elif kind == 2:
        words.insert(place, random.choice("MLHVCSQTAZmlhvcsqtaz"))
    elif kind == 3:
        words = words[:place]
    elif kind == 4:
        words += ["M", "0", "0", "L", "1e-9", "0", "Z"]
    elif kind == 5:
        words.insert(place, random.choice(("x", "#", "é", "&", "--", "\u2009", "e", "1e")))
    else:
        words += words
    return " ".join(words)
