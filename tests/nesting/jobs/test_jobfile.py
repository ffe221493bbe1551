# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs and results go through JSON unchanged; what is not exactly one is refused by name."""

from __future__ import annotations

import json
import re
from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.errors import JobError
from nesting.jobs.jobfile import job_from_json, job_to_json, layout_from_json, layout_to_json
from nesting.model import (
    OPEN,
    Fabric,
    Job,
    Layout,
    LeftOver,
    Outline,
    Piece,
    Placement,
    Section,
)
from tests.helpers import strategies

SQUARE: Outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 500.0), (0.0, 500.0))

EXAMPLE = """{"format": "thriftlay-job", "version": 1, "unit": "mm",
 "fabric": {"width": 1400, "length": null, "edge_margin": 0, "gap": 0, "nap": true},
 "pieces": [{"id": "front", "name": "Front",
             "outline": [[0, 0], [300, 0], [300, 500], [0, 500]],
             "cut": 2, "garments": 1, "hand": "mirrored", "either_side": false,
             "handed": false, "turns": [0, 180],
             "turns_on_nap": false, "off_grain": 0, "grain": 0, "fold": null,
             "hidden": false, "band": "", "priority": null}]}"""

LEAST = """{"format": "thriftlay-job", "version": 1, "fabric": {"width": 1400},
 "pieces": [{"id": "front", "outline": [[0, 0], [300, 0], [300, 500], [0, 500]]}]}"""

LAYOUT = Layout(
    width=1400.0,
    length=500.25,
    utilisation=0.75,
    lower_bound=400.125,
    seconds=1.5,
    seed=3,
    rounds=17,
    workers=2,
    engine="thriftlay 1.0",
    placements=(Placement("front", (1,), 1, 180.0, True, 0.1, -0.2),),
    left_over=(LeftOver("Ärmel ✂", (1, 2)),),
    outlines={"front": SQUARE},
)


def refusal(read: Any, document: Any) -> str:
    text = document if isinstance(document, str | bytes) else json.dumps(document)
    with pytest.raises(JobError) as caught:
        read(text)
    sentence = str(caught.value)
    assert "\n" not in sentence
    return sentence


def changed(path: tuple[Any, ...], value: Any, text: str = EXAMPLE) -> Any:
    """The example with one value changed, added, or (given `del`) removed."""
    document = json.loads(text)
    place = document
    for step in path[:-1]:
        place = place[step]
    if value is del_:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return document


del_ = object()


def test_the_example_of_the_format_is_read() -> None:
    piece = Piece("front", SQUARE, name="Front", cut=2)
    assert job_from_json(EXAMPLE) == Job(Fabric(width=1400.0), (piece,))


def test_only_what_is_required_must_be_there() -> None:
    expected = Job(Fabric(width=1400.0), (Piece("front", SQUARE),))
    assert job_from_json(LEAST) == expected
    assert expected.fabric.nap
    assert expected.pieces[0].hand == "mirrored"
    assert expected.pieces[0].turns == (0.0, 180.0)


@given(strategies.jobs())
def test_a_job_goes_through_its_file_unchanged(job: Job) -> None:
    assert job_from_json(job_to_json(job)) == job


def test_a_job_with_fold_length_and_held_parts_goes_through_its_file() -> None:
    piece = Piece("a", SQUARE, cut=2, hand="same", fold=((0.0, 0.0), (0.0, 500.0)))
    held = Placement("a", (2,), 1, 180.0, False, 600.0, 800.0)
    job = Job(Fabric(1400.0, length=2000.0, nap=False), (piece,), (held,))
    assert job_from_json(job_to_json(job)) == job
    assert job_from_json(job_to_json(job).encode()) == job


def test_every_field_of_the_model_has_its_key() -> None:
    document = json.loads(job_to_json(job_from_json(EXAMPLE)))
    special = {"sections", "sides", "repeat", "flaws", "bands", "outline", "holes"}
    plain = {field.name for field in fields(Fabric)} - special
    assert set(document["fabric"]) == plain
    assert set(document["pieces"][0]) == {field.name for field in fields(Piece)} - {
        "match",
        "copies",
    }
    assert [list(document["pieces"][0])[:3], list(document["pieces"][0])[-1]] == [
        ["id", "name", "outline"],
        "priority",
    ]


def test_folded_cloth_goes_through_a_job_file_and_back() -> None:
    folded = json.loads(EXAMPLE)
    folded["fabric"] |= {
        "sections": [{"lower": 700}, {"crosswise": True, "turned": True}, {"lower": None}, {}],
        "sides": "apart",
    }
    place = {"piece": "front", "copies": [1, 2], "garment": 1, "turn": 0, "flip": False}
    place |= {"x": 900, "y": 1000, "section": 1, "layers": 2, "on_fold": False}
    job = job_from_json(json.dumps(folded))
    sections = (Section(700.0), Section(0.0, 0.0, True, True), Section(None), OPEN)
    assert (job.fabric.sections, job.fabric.sides) == (sections, "apart")
    again = json.loads(job_to_json(replace(job, held=(Placement(**place),))))
    assert again["fabric"]["sections"][0] == {
        "lower": 700.0,
        "upper": 0.0,
        "crosswise": False,
        "turned": False,
    }
    assert again["held"] == [place]


@pytest.mark.parametrize(
    ("fabric", "words"),
    [
        ({"sections": []}, "must be a list of 1 to 4"),
        ({"sections": [{}] * 5}, "must be a list of 1 to 4"),
        ({"sections": [{"depth": 3}]}, "Section number 1 has the unknown key “depth”"),
        ({"sections": [{"lower": "half"}]}, "A depth of Section 1 of the cloth must be a number"),
        ({"sections": [{"lower": 500, "upper": 201}]}, "at most half of the width of 1400 mm"),
        ({"sections": [{"lower": 1, "crosswise": True}]}, "crosswise and lengthwise at once"),
        ({"sections": [{"turned": True}]}, "not folded crosswise"),
        ({"sides": "up"}, "“together” or “apart”, not “up”"),
    ],
)
def test_cloth_that_cannot_lie_so_is_refused_in_one_sentence(
    fabric: dict[str, Any], words: str
) -> None:
    document = json.loads(EXAMPLE)
    document["fabric"] |= fabric
    with pytest.raises(JobError, match=re.escape(words)):
        job_from_json(json.dumps(document))


def test_a_job_file_without_held_parts_does_not_mention_them() -> None:
    document = json.loads(job_to_json(job_from_json(EXAMPLE)))
    assert document == json.loads(EXAMPLE)


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("format",), del_, "must say “format”: “thriftlay-job”"),
        (("format",), "thriftlay-layout", "must say “format”"),
        (("version",), del_, "must be of “version”: 1"),
        (("version",), 2, "must be of “version”: 1"),
        (("version",), True, "must be of “version”: 1"),
        (("unit",), "in", "millimetres"),
        (("fabric",), del_, "lacks the key “fabric”"),
        (("pieces",), del_, "lacks the key “pieces”"),
        (("cloth",), {}, "unknown key “cloth”"),
        (("fabric", "width"), del_, "The fabric lacks the key “width”"),
        (("fabric", "widht"), 1, "The fabric has the unknown key “widht”"),
        (("fabric",), [1], "The fabric must be an object"),
        (("fabric", "width"), "140cm", "must be a number, not “140cm”"),
        (("fabric", "width"), True, "must be a number, not true"),
        (("fabric", "nap"), 1, "must be true or false, not 1"),
        (("pieces",), {}, "must be a list"),
        (("pieces",), [], "no pieces"),
        (("pieces", 0), "front", "Piece number 1 must be an object"),
        (("pieces", 0, "id"), del_, "Piece number 1 lacks the key “id”"),
        (("pieces", 0, "outline"), del_, "Piece “front” lacks the key “outline”"),
        (("pieces", 0, "colour"), 1, "Piece “front” has the unknown key “colour”"),
        (("pieces", 0, "outline"), 7, "must be a list of points, not 7"),
        (("pieces", 0, "cut"), 1.5, "cut count of piece “Front” (front)"),
        (("pieces", 0, "cut"), 10_000, "from 1 to 999, not 10000"),
        (("pieces", 0, "hand"), "left", "“mirrored” or “same”, not “left”"),
        (("pieces", 0, "fold"), [[0, 0], [0, 500], 3], "not two numbers"),
        (("held",), {}, "held placements must be a list"),
        (("held",), [{}], "Held placement number 1 lacks the key “piece”"),
        (("held",), [{"piece": "front", "colour": 1}], "unknown key “colour”"),
    ],
)
def test_what_is_not_exactly_a_job_is_refused_by_name(
    path: tuple[Any, ...], value: Any, words: str
) -> None:
    assert words in refusal(job_from_json, changed(path, value))


def test_several_faults_of_a_file_are_counted() -> None:
    document = changed(("pieces", 0, "id"), del_)
    document["fabric"]["gab"] = 3
    assert refusal(job_from_json, document).endswith("(and 1 more)")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is not JSON"),
        ("[1, 2", "is not JSON"),
        ("[1, 2]", "must be a JSON object"),
        ("null", "must be a JSON object"),
        (b"\xff\xfe{}", "not text in UTF-8"),
        ("[" * 100_000, "nested too deep"),
        ('{"format": "a", "format": "b"}', "given twice"),
        (EXAMPLE.replace("1400", "9" * 5000), "number that is too long"),
        (EXAMPLE.replace("1400", "1e999"), "width of the fabric must be from"),
        (EXAMPLE.replace("1400", "NaN"), "width of the fabric must be from"),
        (EXAMPLE.replace("300, 0", "300, Infinity"), "coordinate of the outline"),
        (EXAMPLE.replace("1400", "9" * 400), "width of the fabric must be from"),
    ],
)
def test_damaged_text_is_refused_in_one_sentence(text: str | bytes, words: str) -> None:
    assert words in refusal(job_from_json, text)


def test_a_byte_order_mark_does_no_harm() -> None:
    assert job_from_json(b"\xef\xbb\xbf" + EXAMPLE.encode()) == job_from_json(EXAMPLE)


@given(st.text(alphabet='{}[]",:0123456789eE-.truefalsn ', max_size=60))
def test_no_text_brings_anything_but_a_job_or_a_sentence(text: str) -> None:
    with pytest.raises(JobError):
        job_from_json(text)


def test_a_layout_goes_through_its_file_unchanged() -> None:
    assert layout_from_json(layout_to_json(LAYOUT)) == LAYOUT
    bare = replace(LAYOUT, placements=(), left_over=(), outlines={})
    assert layout_from_json(layout_to_json(bare)) == bare


def test_a_result_has_the_keys_of_the_format_in_their_order() -> None:
    document = json.loads(layout_to_json(LAYOUT))
    assert list(document) == [
        "format",
        "version",
        "unit",
        "width",
        "length",
        "utilisation",
        "lower_bound",
        "seconds",
        "seed",
        "rounds",
        "workers",
        "engine",
        "placements",
        "left_over",
        "outlines",
    ]
    assert list(document["placements"][0]) == [
        "piece",
        "copies",
        "garment",
        "turn",
        "flip",
        "x",
        "y",
    ]
    assert document["left_over"] == [{"piece": "Ärmel ✂", "copies": [1, 2]}]
    assert document["outlines"]["front"][2] == [300.0, 500.0]


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("format",), "thriftlay-job", "must say “format”: “thriftlay-layout”"),
        (("length",), del_, "lacks the key “length”"),
        (("depth",), 1, "unknown key “depth”"),
        (("length",), "long", "“length” of the result file must be a number"),
        (("seed",), 1.5, "“seed” of the result file must be a whole number"),
        (("engine",), 1, "“engine” of the result file must be text"),
        (("placements",), {}, "must be a list"),
        (("placements", 0, "flip"), 1, "“flip” of entry number 1"),
        (("placements", 0, "copies"), [True], "“copies” of entry number 1"),
        (("placements", 0, "x"), None, "“x” of entry number 1"),
        (("left_over", 0, "piece"), 1, "“piece” of entry number 2"),
        (("left_over", 0, "garment"), 1, "unknown key “garment”"),
        (("outlines",), [], "“outlines” of the result file"),
        (("outlines",), {"front": [[1]]}, "“outlines” of the result file"),
    ],
)
def test_what_is_not_exactly_a_result_is_refused_by_name(
    path: tuple[Any, ...], value: Any, words: str
) -> None:
    assert words in refusal(layout_from_json, changed(path, value, layout_to_json(LAYOUT)))
