# SPDX-License-Identifier: GPL-2.0-or-later
"""Messages speak of what she sees: an id stands in brackets behind that, never alone."""

from __future__ import annotations

import ast
import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from lxml import etree

from extension.job.reading import ReadRequest, read_pieces
from extension.language.names import lay
from extension.operations.join_lines import JoinOptions, join_lines
from extension.operations.read_markings import read_markings
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from nesting.errors import ThriftlayError
from tests.helpers.places import EXTENSION, SAMPLES
from tests.helpers.scribble import scribble
from tests.helpers.svg_builder import INKSCAPE, XLINK, SvgBuilder

NO_MESSAGES = ("installer", "host")
"""Rooms that know no drawing."""
ALONE = re.compile(r"(?<![\w(])(?<!=“)(?<!\(q7x\d, )(?<!\(q7x\d\d, )(?<!\(q7x\d\d\d, )q7x\d+(?!\d)")
"""An id of these drawings in no brackets, nor behind another one there, and not typed by her."""
FILES = sorted(path.name for path in SAMPLES.glob("*.svg"))


def nameless(root: etree._Element) -> Document:
    """Return a drawing whose objects have ids that nobody would say, and no names."""
    names: dict[str, str] = {}
    for number, node in enumerate(root.iter("{*}*")):
        if node.get("id"):
            names[node.get("id", "")] = f"q7x{number}"
            node.set("id", f"q7x{number}")
        for name in (f"{{{INKSCAPE}}}label", lay("name")):
            node.attrib.pop(name, "")
    for node in root.iter("{*}*"):
        for name in ("href", f"{{{XLINK}}}href", lay("grain"), lay("fold")):
            value = node.get(name, "")
            if value.lstrip("#") in names:
                node.set(name, value.replace(value.lstrip("#"), names[value.lstrip("#")]))
    drawing = SvgBuilder()
    drawing.root = root
    return drawing.document()


def told(document: Document) -> Iterator[str]:
    """Yield what is said of a drawing when its pieces, markings and broken lines are read."""
    try:
        reading = read_pieces(read_leaves(document), ReadRequest(no_grain="lay"))
        yield from (*reading.notes, *(note for piece in reading.pieces for note in piece.notes))
        yield from (left.label or left.seen for left in reading.left_out)
    except ThriftlayError as fault:
        yield str(fault)
    for run in (read_markings, lambda one: join_lines(one, JoinOptions())):
        try:
            yield from run(document).summary
        except ThriftlayError as fault:
            yield str(fault)


def alone(document: Document) -> list[str]:
    """Return the sentences in which an id stands alone."""
    return [sentence for sentence in told(document) if ALONE.search(sentence)]


@pytest.mark.parametrize("seed", range(40))
def test_no_sentence_on_a_strange_drawing_names_an_id_alone(seed: int) -> None:
    assert alone(nameless(scribble(random.Random(seed)).root)) == []


@pytest.mark.parametrize("name", FILES)
def test_no_sentence_on_a_sample_without_names_names_an_id_alone(name: str) -> None:
    assert alone(nameless(etree.parse(SAMPLES / name).getroot())) == []


def test_an_id_alone_is_seen() -> None:
    for sentence in ("q7x12 is open.", "“q7x3” is open.", "Lines q7x1 and q7x22 meet."):
        assert ALONE.search(sentence)
    for sentence in ("The line of 3 cm (q7x12) is open.", "It is there twice (q7x1, q7x22)."):
        assert not ALONE.search(sentence)


def sentences_with_ids(source: str) -> Iterator[tuple[int, str]]:
    """Yield the places where an id is put into words of a sentence without brackets round it."""
    for node in ast.walk(ast.parse(source)):
        parts = node.values if isinstance(node, ast.JoinedStr) else []
        words = [p.value if isinstance(p, ast.Constant) else "" for p in parts]
        if not any(" " in str(word) for word in words):
            continue
        for index, part in enumerate(parts):
            if isinstance(part, ast.FormattedValue) and _is_id(part.value):
                before = str(words[index - 1]) if index else ""
                behind = str(words[index + 1]) if index + 1 < len(words) else ""
                typed = before.endswith("is called “")
                if not typed and not (before.endswith("(") and behind.startswith(")")):
                    yield node.lineno, ast.unparse(node)


def _is_id(value: ast.expr) -> bool:
    name = value.attr if isinstance(value, ast.Attribute) else ""
    name = value.id if isinstance(value, ast.Name) else name
    return name in ("id", "id_", "object_id", "piece_id", "ident")


@pytest.mark.parametrize(
    "file",
    [
        path
        for path in sorted(EXTENSION.rglob("*.py"))
        if path.relative_to(EXTENSION).parts[0] not in NO_MESSAGES
    ],
    ids=lambda path: str(path.relative_to(EXTENSION)),
)
def test_no_sentence_of_the_program_is_made_of_an_id_alone(file: Path) -> None:
    assert list(sentences_with_ids(file.read_text(encoding="utf-8"))) == []


def test_a_sentence_made_of_an_id_is_seen() -> None:
    assert list(sentences_with_ids('f"{leaf.id} is open"'))
    assert list(sentences_with_ids('f"The line {id_} is open"'))
    assert not list(sentences_with_ids('f"{name} ({leaf.id}) is open"'))
    assert not list(sentences_with_ids('f"{leaf.id}-piece"'))
