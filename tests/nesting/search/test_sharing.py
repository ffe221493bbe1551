# SPDX-License-Identifier: GPL-2.0-or-later
"""Sharing parts out among pieces of cloth: as few as hold all, the smallest first."""

from __future__ import annotations

from itertools import combinations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.search.sharing import Kind, Load, Share, Sharing, Unit

LENGTHS = st.integers(1, 9)


def fullest(pieces: list[int], room: int, some: Load) -> Load:
    """Return those of some strips that fill a length best: every choice is looked at."""
    every = product(*(range(count + 1) for count in some))
    fitting = [one for one in every if length(pieces, one) <= room]
    return max(fitting, key=lambda one: length(pieces, one))


def length(pieces: list[int], some: Load) -> int:
    return sum(n * piece for n, piece in zip(some, pieces, strict=True))


def sharing_of(
    pieces: list[int],
    cloths: list[int],
    levels: list[list[Unit]] | None = None,
    *,
    is_over: bool = False,
) -> Sharing:
    """Return strips of several lengths, one of each, that are to be shared out among lengths."""
    numbers = range(len(pieces))
    single = [Unit(tuple(int(k == n) for k in numbers), 1) for n in numbers]
    return Sharing(
        [Kind(float(piece)) for piece in pieces],
        levels or [single],
        [float(cloth) for cloth in cloths],
        [cloths.index(cloth) for cloth in cloths],
        lambda cloth, some: fullest(pieces, cloths[cloth], some),
        lambda: is_over,
    )


def shared(pieces: list[int], cloths: list[int]) -> dict[int, Load]:
    return sharing_of(pieces, cloths).shared().counts


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
    st.lists(LENGTHS, min_size=1, max_size=6), st.lists(st.integers(3, 20), min_size=1, max_size=3)
)
@settings(max_examples=60)
def test_up_to_three_remnants_are_chosen_as_enumeration_chooses_them(
    pieces: list[int], cloths: list[int]
) -> None:
    found, best = shared(pieces, cloths), fewest(pieces, cloths)
    laid = [sum(some) for some in zip(*found.values(), strict=True)]
    assert all(count <= 1 for count in laid)
    for cloth, some in found.items():
        assert length(pieces, some) <= cloths[cloth]
    if best is None:
        assert sum(laid) < len(pieces)
    else:
        assert sum(laid) == len(pieces)
        assert (len(found), sum(cloths[k] for k in found)) == best


def test_twelve_strips_on_three_of_four_remnants() -> None:
    """Of 12 strips, 48 long together, 16, 14 and 18 hold all; no two and no smaller three do."""
    pieces = [7, 6, 6, 5, 5, 4, 4, 3, 3, 2, 2, 1]
    cloths = [18, 14, 17, 16]
    found = shared(pieces, cloths)
    assert sum(map(sum, found.values())) == 12
    assert sum(cloths[k] for k in found) == min(
        sum(cloths[k] for k in some)
        for some in combinations(range(4), 3)
        if sum(cloths[k] for k in some) >= 48
    )


def test_what_is_kept_together_is_parted_only_to_save_cloth() -> None:
    """Three units of 5 and 4: on two lengths of 14 they must be parted, on three of 9 not."""
    whole, parts = [Unit((1, 1), 3)], [Unit((1, 0), 3), Unit((0, 1), 3)]
    sharing = sharing_of([5, 4], [14, 14], [whole, parts])
    share = sharing.shared()
    assert not any(sharing.missing(share))
    assert share.level == 1
    assert sharing_of([5, 4], [9, 9, 9], [whole, parts]).shared() == Share(
        0, {0: (1,), 1: (1,), 2: (1,)}
    )


def test_when_it_is_over_what_was_found_counts() -> None:
    found = sharing_of([5, 5, 5], [6, 6], is_over=True).shared().counts
    assert sum(map(sum, found.values())) == 2


def test_nothing_fits_anywhere() -> None:
    assert shared([9, 9], [3, 4]) == {}
