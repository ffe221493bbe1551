# SPDX-License-Identifier: GPL-2.0-or-later
"""Sharing pieces out among remnants: as few as hold all, the smallest first."""

from __future__ import annotations

from itertools import combinations, product

from hypothesis import given
from hypothesis import strategies as st

from extension.job.several_remnants import Sharing

LENGTHS = st.integers(1, 9)


def fullest(pieces: list[int], room: int, some: frozenset[int]) -> frozenset[int]:
    """Return those of some strips that fill a length best: every choice is looked at."""
    every = [
        frozenset(chosen)
        for count in range(len(some) + 1)
        for chosen in combinations(sorted(some), count)
    ]
    fitting = [one for one in every if sum(pieces[k] for k in one) <= room]
    return max(fitting, key=lambda one: sum(pieces[k] for k in one))


def shared(pieces: list[int], cloths: list[int]) -> dict[int, frozenset[int]]:
    sharing = Sharing(
        pieces, cloths, lambda cloth, some: fullest(pieces, cloths[cloth], some), lambda: False
    )
    return sharing.shared()


def fewest(pieces: list[int], cloths: list[int]) -> tuple[int, int] | None:
    """Return how many remnants hold all strips at best and how long these are; by enumeration."""
    best = None
    for where in product(range(len(cloths)), repeat=len(pieces)):
        loads = [
            sum(p for p, w in zip(pieces, where, strict=True) if w == k) for k in range(len(cloths))
        ]
        if all(load <= cloth for load, cloth in zip(loads, cloths, strict=True)):
            used = set(where)
            found = len(used), sum(cloths[k] for k in used)
            best = found if best is None or found < best else best
    return best


@given(
    st.lists(LENGTHS, min_size=1, max_size=6), st.lists(st.integers(3, 20), min_size=1, max_size=2)
)
def test_one_or_two_remnants_are_chosen_as_enumeration_chooses_them(
    pieces: list[int], cloths: list[int]
) -> None:
    found, best = shared(pieces, cloths), fewest(pieces, cloths)
    laid = [piece for some in found.values() for piece in some]
    assert len(laid) == len(set(laid))
    for cloth, some in found.items():
        assert sum(pieces[k] for k in some) <= cloths[cloth]
    if best is None:
        assert len(laid) < len(pieces)
    else:
        assert len(laid) == len(pieces)
        used = [cloth for cloth, some in found.items() if some]
        assert (len(used), sum(cloths[k] for k in used)) == best


def test_twelve_strips_on_three_of_four_remnants() -> None:
    """Of 12 strips, 48 long together, 16, 17 and 18 hold all; no two and no smaller three do."""
    pieces = [7, 6, 6, 5, 5, 4, 4, 3, 3, 2, 2, 1]
    cloths = [18, 14, 17, 16]
    found = shared(pieces, cloths)
    assert sum(len(some) for some in found.values()) == 12
    assert set(found) in ({0, 1, 3}, {1, 2, 0}, {1, 2, 3}, {0, 2, 3})
    area = sum(cloths[k] for k in found)
    assert area == min(
        sum(cloths[k] for k in some)
        for some in combinations(range(4), 3)
        if sum(cloths[k] for k in some) >= 48
    )


def test_when_it_is_over_what_was_found_counts() -> None:
    pieces, cloths = [5, 5, 5], [6, 6]
    sharing = Sharing(
        pieces, cloths, lambda cloth, some: fullest(pieces, cloths[cloth], some), lambda: True
    )
    found = sharing.shared()
    assert sum(len(some) for some in found.values()) == 2


def test_nothing_fits_anywhere() -> None:
    assert shared([9, 9], [3, 4]) == {}
