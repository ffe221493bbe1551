# SPDX-License-Identifier: GPL-2.0-or-later
"""Every phrase of the tables, in every language, does on a label what its idea says.

A native speaker who adds a word to a table adds a check with it. Phrases seen in print are marked
with an asterisk in the tables; the others are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from extension.labels import cloth_words, doubts, nouns, vocabulary
from extension.labels.phrases import Text
from extension.labels.reading import LabelReading, read_label
from extension.labels.vocabulary import Table
from extension.language.vocabulary import MATERIALS, material

LANGUAGES = ("en", "de", "fr", "es", "it", "pt", "nl")


def phrases(table: Table, idea: str) -> Iterator[tuple[str, str]]:
    """Yield (language, phrase) of one idea."""
    for language, row in table[idea].items():
        for phrase in row.split(","):
            yield language, phrase.strip().removesuffix("*")


def failures(texts: Iterator[str], is_right: Callable[[LabelReading], bool]) -> list[str]:
    return [text for text in texts if not is_right(read_label(text))]


def cuts(reading: LabelReading) -> list[tuple[int, str, str]]:
    return [(one.cut, one.material, one.hand) for one in reading.demands]


SIZE_BY_ITSELF = {"taglia"}
"""Words for cutting that are the word for size where nothing else says which."""
EVERY = (*vocabulary.TABLES, *cloth_words.TABLES, *nouns.TABLES, *doubts.TABLES)


@pytest.mark.parametrize("table", EVERY)
def test_rows_are_well_formed(table: Table) -> None:
    for idea, rows in table.items():
        assert set(rows) <= set(LANGUAGES), idea
        for row in rows.values():
            assert all(phrase.strip().strip("*") for phrase in row.split(",")), (idea, row)
            assert row == row.strip()


@pytest.mark.parametrize(
    "table",
    [*vocabulary.TABLES, *cloth_words.TABLES, nouns.NUMBERING, nouns.NOT_CLOTH, doubts.DOUBTS],
)
def test_every_idea_has_words_in_every_language(table: Table) -> None:
    for idea, rows in table.items():
        assert set(rows) == set(LANGUAGES), idea


@pytest.mark.parametrize(
    ("table", "idea"),
    [(table, idea) for table in EVERY for idea in table],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_every_phrase_is_found_as_a_whole(table: Table, idea: str) -> None:
    for _, phrase in phrases(table, idea):
        text = Text(phrase)
        assert len(text.phrases) == 1, phrase
        assert text.phrases[0].means(idea), phrase


def test_words_for_cutting_count_with_digits_and_words_of_their_language() -> None:
    for language, phrase in phrases(vocabulary.ACTIONS, "cut"):
        if phrase in SIZE_BY_ITSELF:
            continue
        for text in (f"{phrase} 2", f"2 {phrase}"):
            assert cuts(read_label(text)) == [(2, "main", "mirrored")], text
        for value, forms in enumerate(nouns.NUMBERS[language], start=1):
            for form in forms.split("|"):
                reading = read_label(f"{phrase} {form}")
                assert cuts(reading) == [(value, "main", "mirrored")], f"{phrase} {form}"
                assert not reading.unread


@pytest.mark.parametrize("idea", ["times", "copies", "quantity", "pair"])
def test_words_beside_a_number_make_it_a_count(idea: str) -> None:
    expected = 4 if idea == "pair" else 2
    for _, phrase in phrases(vocabulary.COUNTING, idea):
        text = f"{phrase} 2" if idea == "quantity" else f"2 {phrase}"
        assert cuts(read_label(text)) == [(expected, "main", "mirrored")], text


@pytest.mark.parametrize(("idea", "hand"), [("same", "same"), ("mirrored", "mirrored")])
def test_hands(idea: str, hand: str) -> None:
    for _, phrase in phrases(vocabulary.COUNTING, idea):
        reading = read_label(f"2x {phrase}")
        assert cuts(reading) == [(2, "main", hand)], phrase
        assert not reading.unread, phrase


def test_materials_before_and_behind_a_count() -> None:
    names_of_pieces = {"Besatz", "empiècement"}
    for words in MATERIALS.values():
        for word in words:
            if word in names_of_pieces:
                assert read_label(f"2x {word}").name == word
                continue
            for text in (f"2x {word}", f"{word}: 2x", f"CUT 2 {word}"):
                reading = read_label(text)
                assert cuts(reading) == [(2, material(word), "mirrored")], text
                assert not reading.unread, text


def test_places_on_the_fold() -> None:
    def is_right(reading: LabelReading) -> bool:
        return reading.fold and cuts(reading) == [(1, "main", "mirrored")] and not reading.unread

    strong = [phrase for _, phrase in phrases(vocabulary.FOLDS, "on fold")]
    bare = [phrase for _, phrase in phrases(vocabulary.FOLDS, "fold")]
    assert failures(iter([*strong, *bare, *(f"1x {phrase}" for phrase in strong)]), is_right) == []


def test_the_fold_of_a_hem_is_none() -> None:
    for language, word in phrases(vocabulary.FOLDS, "another fold"):
        for other, fold in phrases(vocabulary.FOLDS, "fold"):
            if other == language:
                for text in (f"{word} {fold}", f"{fold} {word}"):
                    reading = read_label(text)
                    assert not reading.fold, text
                    assert not reading.demands, text


def test_no_fold_where_it_is_denied() -> None:
    for language, word in phrases(vocabulary.ACTIONS, "not"):
        for other, fold in phrases(vocabulary.FOLDS, "on fold"):
            if other == language:
                assert not read_label(f"{word} {fold}").fold, f"{word} {fold}"


@pytest.mark.parametrize("idea", ["straight", "cross", "bias"])
def test_grains(idea: str) -> None:
    texts = (phrase for _, phrase in phrases(cloth_words.GRAINS, idea))
    assert failures(texts, lambda reading: reading.grain == idea and not reading.unread) == []


@pytest.mark.parametrize(("idea", "nap"), [("nap", True), ("no nap", False)])
def test_nap(idea: str, nap: bool) -> None:
    texts = (phrase for _, phrase in phrases(cloth_words.CLOTH, idea))
    assert failures(texts, lambda reading: reading.nap is nap and not reading.unread) == []


def test_stretch_is_no_nap() -> None:
    texts = (phrase for _, phrase in phrases(cloth_words.CLOTH, "stretch"))
    assert failures(texts, lambda one: one.stretch and one.nap is None and not one.unread) == []


@pytest.mark.parametrize(("idea", "expected"), [("included", "included"), ("excluded", "none")])
def test_allowances(idea: str, expected: str) -> None:
    for language, word in phrases(cloth_words.ALLOWANCES, idea):
        for other, noun in phrases(cloth_words.ALLOWANCES, "allowance"):
            if other == language:
                readings = [read_label(f"{noun} {word}"), read_label(f"{word} {noun}")]
                assert any(one.allowance == expected and not one.unread for one in readings), word


def test_allowances_to_add() -> None:
    for language, word in phrases(cloth_words.ALLOWANCES, "add"):
        for other, noun in phrases(cloth_words.ALLOWANCES, "allowance"):
            if other == language:
                reading = read_label(f"{word} 1,5 cm {noun}")
                assert reading.allowance == pytest.approx(15.0), f"{word} 1,5 cm {noun}"
                assert not reading.unread


def test_sizes_and_numbers_of_pieces_are_no_counts() -> None:
    for _, word in phrases(nouns.NUMBERING, "size"):
        assert read_label(f"{word} 38") == LabelReading(size="38"), word
    for _, word in phrases(nouns.NUMBERING, "piece"):
        assert read_label(f"{word} 3") == LabelReading(number="3"), word
    for _, word in phrases(nouns.NUMBERING, "of"):
        assert read_label(f"2 {word} 9") == LabelReading(number="2"), word


def test_other_numbers_stay_unread() -> None:
    for _, word in phrases(nouns.NUMBERING, "another number"):
        text = f"{word} 2"
        assert read_label(text) == LabelReading(unread=(text,)), word


def test_notions_are_no_cloth() -> None:
    for _, word in phrases(nouns.NOT_CLOTH, "notion"):
        for text in (f"{word} x2", f"2 x {word}", f"CUT 2 {word}"):
            reading = read_label(text)
            assert not reading.demands, text
            assert reading.unread == (text,), text


def test_names_of_pieces() -> None:
    for _, word in phrases(nouns.NAMES, "part"):
        for text in (f"{word}\nCUT 2", f"2x {word}"):
            reading = read_label(text)
            assert reading.name == word, text
            assert cuts(reading) == [(2, "main", "mirrored")], text
            assert not reading.unread, text
