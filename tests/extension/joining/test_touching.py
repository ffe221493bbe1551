# SPDX-License-Identifier: GPL-2.0-or-later
"""Where exactly two ends meet there is nothing to decide; elsewhere nothing is decided here."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.segments import length_of
from extension.joining.touching import chains_of, put_end_to_end
from tests.helpers.broken import BLACK, RED, bodice, segments
from tests.helpers.chopping import cut_at


def test_pieces_of_an_outline_close() -> None:
    parts = cut_at(bodice(), np.linspace(0.0, 0.99, 100).tolist())
    found = put_end_to_end(segments(parts), range(100))
    (line,) = found.closed
    assert not found.open
    assert sorted(line.members) == list(range(100))
    assert line.dashes == pytest.approx((length_of(np.vstack([bodice(), bodice()[:1]])),))


def test_three_ends_at_one_place_are_left_to_be_decided() -> None:
    star = [np.array([[0.0, 0.0], [10.0 * c, 10.0 * s]]) for c, s in ((1, 0), (0, 1), (-1, 0))]
    found = put_end_to_end(segments(star), range(3))
    assert (len(found.open), len(found.closed)) == (3, 0)


def test_ends_of_two_looks_do_not_touch() -> None:
    one, two = np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([[10.0, 0.0], [20.0, 0.0]])
    both = segments([one], BLACK) + segments([two], RED)
    assert len(put_end_to_end(both, range(2)).open) == 2


def test_near_a_free_end_nothing_is_taken_for_granted() -> None:
    one, two = np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([[10.0, 0.0], [20.0, 0.0]])
    drawn = segments([one, two])
    assert len(put_end_to_end(drawn, range(2)).open) == 1
    assert len(put_end_to_end(drawn, range(2), np.array([[10.0, 3.0]]), 4.0).open) == 2
    assert len(put_end_to_end(drawn, range(2), np.array([[10.0, 5.0]]), 4.0).open) == 1


def test_chains_name_the_ends_at_which_lines_are_entered() -> None:
    # Line 0 ends where line 2 ends; line 1 stands alone; line 3 closes on itself.
    partner = [-1, 5, -1, -1, -1, 1, 7, 6]
    assert chains_of(partner) == [([0, 5], False), ([2], False), ([6], True)]
