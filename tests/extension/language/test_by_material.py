# SPDX-License-Identifier: GPL-2.0-or-later
"""Lists by material, as they are typed in a terminal and in a dialog."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.by_material import REST, by_material, one_by_material, value_for
from extension.language.errors import OptionError
from extension.language.vocabulary import MATERIALS

EXAMPLE = "write it like “main=140cm”"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("140cm", {REST: ("140cm",)}),
        ("main=140cm,lining=150cm", {"main": ("140cm",), "lining": ("150cm",)}),
        ("main = 140 cm; lining = 55 in", {"main": ("140 cm",), "lining": ("55 in",)}),
        ("140cm, lining=150cm", {REST: ("140cm",), "lining": ("150cm",)}),
        ("110cm,140cm; lining=90cm", {REST: ("110cm", "140cm"), "lining": ("90cm",)}),
        ("main=110cm,140cm,lining=90cm", {"main": ("110cm", "140cm"), "lining": ("90cm",)}),
        ("lining=90cm; 140cm", {"lining": ("90cm",), REST: ("140cm",)}),
        ("main=1,4m,lining=1,55m", {"main": ("1,4m",), "lining": ("1,55m",)}),
        ("110,140cm", {REST: ("110", "140cm")}),
        ("Oberstoff=140cm, Futter=150cm, contrast 2=1m", {
            "main": ("140cm",), "lining": ("150cm",), "contrast 2": ("1m",),
        }),
        (" ; ", {}),
    ],
)  # fmt: skip
def test_a_list_is_taken_apart(text: str, found: dict[str, tuple[str, ...]]) -> None:
    assert by_material(text, EXAMPLE) == found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("=140cm", "A material has no name in “=140cm”"),
        ("main=", "A value is missing in “main=”"),
        ("main=140cm,", "A value is missing"),
        ("main=140cm,self=150cm", "What is typed for “self” stands twice"),
        ("main=140cm; main=150cm", "What is typed for “main” stands twice"),
        ("140cm; 150cm", "What is typed for all materials stands twice"),
        ("lining=140cm,150cm", "“140cm, 150cm” are several values for lining"),
        ("140cm,150cm", "“140cm, 150cm” are several values for all materials"),
    ],
)
def test_a_list_that_cannot_be_used_is_one_sentence(text: str, words: str) -> None:
    with pytest.raises(OptionError) as caught:
        one_by_material(text, EXAMPLE)
    assert words in str(caught.value)
    assert str(caught.value).endswith(".")


values = st.from_regex(r"[0-9]{1,2}([.,][0-9])? ?(cm|in)", fullmatch=True)


@given(
    typed=st.dictionaries(st.sampled_from(sorted(MATERIALS)), values, min_size=1),
    mark=st.sampled_from((",", ", ", ";", " ; ")),
    rest=values | st.none(),
)
def test_what_was_put_together_comes_apart_again(
    typed: dict[str, str], mark: str, rest: str | None
) -> None:
    entries = [rest] * (rest is not None) + [f"{name}={text}" for name, text in typed.items()]
    found = one_by_material(mark.join(filter(None, entries)), EXAMPLE)
    assert found == typed | ({REST: rest} if rest is not None else {})


def test_what_is_named_goes_before_what_holds_for_all_others() -> None:
    typed = {REST: 1, "lining": 2}
    assert [value_for(name, typed) for name in ("main", "lining")] == [1, 2]
    assert value_for("main", {"lining": 2}) is None
