# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole labels: seven languages, and traps that must not be read as counts, folds or names."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.labels import cloth_words, doubts, nouns, vocabulary
from extension.labels.reading import LabelReading, read_label
from extension.labels.tokens import tokens_of
from extension.language.vocabulary import MATERIALS
from extension.language.words import folded
from tests.extension.labels.cases import LANGUAGES
from tests.extension.labels.traps import TRAPS


def told(reading: LabelReading) -> str:
    """Return a reading as short text: only what is said, questions as `asks`."""
    demands = [
        f"{one.cut} {one.material}" + (" same" if one.hand == "same" else "")
        for one in reading.demands
    ]
    allowance = reading.allowance
    nap = {True: "nap", False: "no nap", None: ""}[reading.nap]
    said = [
        ", ".join(demands),
        "fold" if reading.fold else "",
        reading.grain or "",
        f"name {reading.name}" if reading.name else "",
        f"size {reading.size}" if reading.size else "",
        nap,
        "stretch" if reading.stretch else "",
        f"allowance {allowance:g}" if isinstance(allowance, float) else "",
        f"allowance {allowance}" if isinstance(allowance, str) else "",
        f"number {reading.number}" if reading.number else "",
        f"unread {' / '.join(reading.unread)}" if reading.unread else "",
        "asks" if reading.questions else "",
    ]
    return "; ".join(one for one in said if one)


ROWS = [
    pytest.param(text.replace("|", "\n"), expected, id=f"{language}-{text}")
    for language, rows in {**LANGUAGES, "trap": TRAPS}.items()
    for text, expected in rows
]


@pytest.mark.parametrize(("text", "expected"), ROWS)
def test_labels(text: str, expected: str) -> None:
    assert told(read_label(text)) == expected


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Manica\ntagliare 2 stof a", True),
        ("taglia 1 stof a sulla piega", True),
        ("Hood\ncut 2 fabric a", True),
        ("Hood\nCut 2 Fabric A", False),
        ("Manica\nTAGLIARE 2 TESSUTO A", False),
        ("Delantero\ncortar 2 tela a doblez", False),
    ],
)
def test_a_small_letter_behind_a_cloth_may_be_the_rest_of_a_word(text: str, asks: bool) -> None:
    """*Stoffa* without the sign for its two f, as matplotlib's PDF files come out of the editor."""
    questions = read_label(text).questions
    assert any("one word that lost some of its letters" in each for each in questions) == asks


def test_there_are_enough_labels_and_traps() -> None:
    labels = sum(map(len, LANGUAGES.values())) + len(TRAPS)
    assert labels >= 150
    assert len(TRAPS) >= labels / 3
    assert len({text for rows in (*LANGUAGES.values(), TRAPS) for text, _ in rows}) > labels - 5


def test_prose_is_no_label() -> None:
    prose = "Cut 2 of everything. " * 120
    assert read_label(prose) == LabelReading(unread=(prose.strip(),))
    assert read_label(" " * 5000) == LabelReading()


# --- laws ---

WORDS = sorted(
    {
        phrase.strip().removesuffix("*")
        for module in (vocabulary, cloth_words, nouns, doubts)
        for table in module.TABLES
        for rows in table.values()
        for row in rows.values()
        for phrase in row.split(",")
    }
    | {word for words in MATERIALS.values() for word in words}
)
PIECES_OF_TEXT = st.one_of(
    st.sampled_from(WORDS),
    st.sampled_from(["1", "2", "4", "12", "38", "1,5 cm", "5/8", "2x", "x2", "XL", "2T", "zzyzx"]),
    st.sampled_from([",", "+", "&", "/", "(", ")", ":", "-", "–", ".", ";", "\n", "·", '"']),
)
LABELS = st.lists(PIECES_OF_TEXT, max_size=12).map(" ".join)


def folded_reading(reading: LabelReading) -> tuple[object, ...]:
    """Return a reading with its words compared without case, accents and spaces."""
    return (
        reading.demands,
        reading.fold,
        reading.grain,
        folded(reading.name or ""),
        folded(reading.size or ""),
        reading.nap,
        reading.stretch,
        reading.allowance,
        folded(reading.number or ""),
        tuple(map(folded, reading.unread)),
        len(reading.questions),
    )


def same_reading(one: str, other: str) -> bool:
    return folded_reading(read_label(one)) == folded_reading(read_label(other))


@given(st.text())
def test_any_text_is_read_without_a_fault(text: str) -> None:
    read_label(text)


@given(LABELS)
def test_words_of_labels_in_any_order_are_read_without_a_fault(text: str) -> None:
    reading = read_label(text)
    assert all(1 <= demand.cut <= 999 for demand in reading.demands)
    materials = [demand.material for demand in reading.demands]
    assert len(set(materials)) == len(materials)


@given(LABELS)
def test_case_makes_no_difference(text: str) -> None:
    assert same_reading(text, text.upper())
    assert same_reading(text, text.lower())


@given(LABELS)
def test_accents_make_no_difference(text: str) -> None:
    bare = "".join(
        sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign)
    )
    assert same_reading(text, bare)
    assert same_reading(text, unicodedata.normalize("NFD", text))


@given(LABELS, st.sampled_from(["  ", "\u00a0", "\t", "\u2009", " \u00a0 "]))
def test_spaces_make_no_difference(text: str, space: str) -> None:
    assert same_reading(text, f" {text.replace(' ', space)} ")


@given(LABELS)
def test_a_word_that_no_table_knows_is_shown(text: str) -> None:
    shown = " ".join(read_label(f"{text}\nzzyzx").unread)
    assert shown.endswith("zzyzx")
    assert shown.count("zzyzx") == text.count("zzyzx") + 1


@given(LABELS)
def test_an_unknown_word_on_a_line_of_its_own_changes_nothing_else(text: str) -> None:
    alone, more = read_label(text), read_label(f"{text}\nzzyzx")
    # Only a pair or fold that stood alone in its label may need its line for itself.
    assert more.unread[:-1] == alone.unread
    assert folded_reading(more)[:9] == folded_reading(alone)[:9]


@given(LABELS)
def test_every_word_is_read_or_shown(text: str) -> None:
    reading = read_label(text)
    if reading == LabelReading(unread=reading.unread, questions=reading.questions):
        said = [token.key for token in tokens_of(text) if token.says_something]
        shown = [
            token.key
            for piece in reading.unread
            for token in tokens_of(piece)
            if token.says_something
        ]
        assert shown == said or reading.questions


@given(LABELS)
def test_what_is_shown_stands_in_the_label_in_its_order(text: str) -> None:
    plain = " ".join(text.split())
    place = 0
    for piece in read_label(text).unread:
        place = plain.index(piece, place) + len(piece)


@given(st.permutations(range(5)), st.sampled_from(sorted(LANGUAGES)))
def test_lines_may_stand_in_any_order(order: list[int], language: str) -> None:
    lines = {
        "English": ["SLEEVE", "CUT 2", "GRAINLINE", "SIZE 38", "SA INCLUDED"],
        "German": ["Ärmel", "2x zuschneiden", "Fadenlauf", "Gr. 38", "NZG enthalten"],
        "French": ["Manche", "couper 2 fois", "droit-fil", "T. 38", "marges de couture comprises"],
        "Spanish": ["Manga", "cortar 2", "al hilo", "talla 38", "margen de costura incluido"],
        "Italian": ["Manica", "tagliare 2", "drittofilo", "Tg. 38", "margine di cucitura incluso"],
        "Portuguese": ["Manga", "cortar 2x", "fio reto", "tam. 38", "margem de costura incluída"],
        "Dutch": ["Mouw", "2x knippen", "rechte draad", "maat 38", "naadwaarde inbegrepen"],
    }[language]
    reading = read_label("\n".join(lines[index] for index in order))
    assert told(reading) == f"2 main; straight; name {lines[0]}; size 38; allowance included"
