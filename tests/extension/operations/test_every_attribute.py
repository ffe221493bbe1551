# SPDX-License-Identifier: GPL-2.0-or-later
"""The law of attributes: each is used or refused with a word, and none is read and dropped."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import NAMESPACE, RESULT_ATTRIBUTES, lay
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.pieces.attributes import (
    _ENDS,
    _ROLES,
    _SIDES_UP,
    PART_NOTES,
    PIECE_ATTRIBUTES,
    TURNS,
)
from extension.pieces.cutlist import HANDS
from extension.pieces.fingerprint import fingerprint
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.errors import ThriftlayError
from nesting.model import Outline
from nesting.stop import AfterRounds
from tests.helpers.cloth import between_selvedges
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

Attributes = Mapping[str, str]
LINE = "fill:none;stroke:#000000;stroke-width:0.5"
NEVER = AfterRounds(1)


def drawing(piece: Attributes, line: Attributes, mark: Attributes, label: str = "") -> SvgBuilder:
    """Return a lopsided piece with a grainline to be, a mark across its top, and a plain square."""
    made = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    group = made.add_group(id="front-group")
    outline = "M 60 40 H 260 L 300 360 H 60 Z"
    made.add_path(outline, group, id="front", style=LINE, lay={"cut": "3", **piece})
    made.add_path("M 120 320 V 80", group, id="line12", style=LINE, lay=line)
    made.add_path("M 60 200 h 12", group, id="cross", style=LINE, lay=mark)
    made.add_path("M 60 45 V 355", group, id="side", style=LINE)
    if label:
        made.add_text(label, 90, 150, group, font_size=10)
    square = {"name": "Square", "cut": "1", "grain": "up", "size": "38"}
    made.add_rect(400, 40, 380, 300, id="square", style=LINE, lay=square)
    return made


def outcome(
    piece: Attributes | None = None,
    line: Attributes | None = None,
    mark: Attributes | None = None,
    label: str = "",
    *,
    nap: bool = False,
    length: float | None = None,
    sizes: tuple[tuple[str, int], ...] = (),
    repeat: str = "",
    flaws: tuple[Outline, ...] = (),
    border: str = "",
) -> str:
    """Return all that a run says and draws, without the attributes of ours; or what it refuses.

    The layout is the first one, and the settings and ids on it are left out.
    """
    consents = {"turns": "four-way"} if border else {}
    made = drawing({**consents, **(piece or {})}, line or {}, mark or {}, label)
    cloth = between_selvedges(1000.0, nap=nap, fabric_length=length, rounds=1, sizes=sizes)
    options = replace(cloth, repeat=repeat, flaws=flaws, border=border)
    try:
        done = lay_out(made.document(), options, Run(no_time, lambda rounds: True))
    except ThriftlayError as error:
        return f"refused: {error}"
    root = parse(done.drawing).root
    (layer,) = [one for one in root.iter("{*}g") if one.get(lay("layout"))]
    for node in layer.iter(etree.Element):
        for name in [key for key in node.attrib if str(key).startswith(f"{{{NAMESPACE}}}")]:
            del node.attrib[name]
    report = {key: value for key, value in done.report.items() if key != "seconds"}
    return json.dumps(report, sort_keys=True) + etree.tostring(layer).decode()


GRAIN = {"role": "grainline"}
CHECKS = "along 80mm, across 60mm"
SIZED = {"sizes": (("38", 1),)}
CASES: dict[str, tuple[tuple[str, ...], dict[str, object]]] = {
    "name": (("", "Left sleeve", "Cuff"), {}),
    "size": (("", "38", "40"), SIZED),
    "leave-out": (("yes", "no"), {}),
    "priority": (("", "1", "0.5"), {"length": 420.0}),
    "cut": (("1", "2", "3 main; 1 interfacing"), {}),
    "hand": (tuple(HANDS), {}),
    "side-up": (tuple(_SIDES_UP), {}),
    "grain": (("up", "down", "left", "right", "30deg", "side"), {"nap": True}),
    "fold": (("left", "down", "none"), {"line": GRAIN}),
    "top": (tuple(_ENDS), {"line": GRAIN, "nap": True}),
    "turns": (tuple(TURNS), {"line": GRAIN}),
    "turns-on-nap": (("no", "allow"), {"line": GRAIN, "nap": True}),
    "off-grain": (("0deg", "2deg", "5"), {"line": GRAIN}),
    "hidden": (("no", "yes"), {"flaws": (((0.0, 0.0), (5.0, 0.0), (0.0, 5.0)),)}),
    "border": (("", "hem", "top", "left", "right"), {"border": "lower 2cm, 50cm"}),
    "allowance": (("0", "15mm", "5/8in"), {}),
    "note": (("", "cut last", "mind the nap"), {}),
}
"""For each attribute of a piece values that all differ, and the circumstances in which they do."""


def test_no_attribute_is_forgotten_here() -> None:
    elsewhere = {"role", "one-side", "match", "drawn", "read"}
    assert set(CASES) | elsewhere == set(PIECE_ATTRIBUTES)


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        (name, one, other)
        for name, (values, _) in CASES.items()
        for one, other in combinations(values, 2)
    ],
)
def test_every_value_of_a_piece_makes_a_difference(name: str, one: str, other: str) -> None:
    base = {"grain": "up"} if name != "grain" and "line" not in CASES[name][1] else {}
    found = [
        outcome({**base, **({name: value} if value else {})}, **CASES[name][1])  # type: ignore[arg-type]
        for value in (one, other)
    ]
    assert found[0] != found[1]
    assert not all(text.startswith("refused") for text in found)


@pytest.mark.parametrize(("one", "other"), list(combinations(_ROLES, 2)))
def test_every_role_of_a_mark_makes_a_difference(one: str, other: str) -> None:
    """What is drawn of a mark differs little; what the layout knows of it must."""
    alike = {"notch", "mark", "label", "stitching", "bracket"}
    if {one, other} <= alike:
        roles = [marks_of(role) for role in (one, other)]
        assert roles[0] != roles[1]
        return
    grain = {"grain": "up"}
    assert outcome(grain, mark={"role": one}) != outcome(grain, mark={"role": other})


def marks_of(role: str) -> list[str]:
    from tests.helpers.drawn import read

    reading = read(drawing({"grain": "up"}, {}, {"role": role}), "front-group")
    return [mark.role for mark in reading.pieces[0].marks]


def test_a_mark_on_one_side_only_is_not_doubled() -> None:
    folded = {"fold": "left"}
    marks = [{"role": "notch", "one-side": word} for word in ("yes", "no")]
    both = [outcome(folded, GRAIN, mark) for mark in marks]
    assert both[0] != both[1]


def test_the_id_of_a_line_says_the_same_as_the_side_it_lies_on() -> None:
    assert outcome({"fold": "side"}, GRAIN) == outcome({"fold": "left"}, GRAIN)


def test_a_fingerprint_of_another_outline_is_refused() -> None:
    made = drawing({"grain": "up"}, {}, {})
    (leaf,) = [one for one in read_leaves(made.document()) if one.id == "front"]
    as_drawn = outcome({"grain": "up", "drawn": fingerprint(leaf)})
    assert as_drawn == outcome({"grain": "up"})
    assert outcome({"grain": "up", "drawn": "0 0"}).startswith("refused")


WRONG = {
    "name": (),
    "size": (),
    "match": ("", "on line", "along", "side on line between lines"),
    "note": ("x" * 161,),
    "leave-out": ("perhaps", ""),
    "priority": ("0", "-1", "first", "nan", "inf", ""),
    "cut": ("0", "many", "1.5", ""),
    "hand": ("left", ""),
    "side-up": ("back", ""),
    "grain": ("", "nowhere"),
    "fold": ("", "nowhere"),
    "top": ("middle", ""),
    "turns": ("all", ""),
    "turns-on-nap": ("forbid", ""),
    "off-grain": ("90deg", "-1deg", "much", ""),
    "allowance": ("15", "-1mm", "2m", "much", ""),
    "role": ("cut", "cloth", "border", ""),
    "hidden": ("partly", ""),
    "border": ("below", ""),
    "one-side": ("left", ""),
}


@pytest.mark.parametrize(
    ("name", "value"), [(name, value) for name, values in WRONG.items() for value in values]
)
def test_a_value_that_means_nothing_is_refused_by_name(name: str, value: str) -> None:
    on_mark = name in ("role", "one-side", "match")
    found = outcome(mark={"role": "notch", name: value}) if on_mark else outcome({name: value})
    assert found.startswith("refused: ")
    assert f"lay:{name}=“{value}”" in found


@pytest.mark.parametrize("where", ["piece", "line", "mark"])
@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("priorty", "priority"),
        ("Cut", "cut"),
        ("leaveout", "leave-out"),
        ("offgrain", "off-grain"),
    ],
)
def test_an_unknown_attribute_is_refused_with_the_nearest(
    where: str, wrong: str, right: str
) -> None:
    found = outcome(**{where: {wrong: "1"}})  # type: ignore[arg-type]
    assert found.startswith("refused: ")
    assert f"unknown attribute lay:{wrong}: use lay:{right}" in found


@pytest.mark.parametrize("name", sorted(PART_NOTES))
def test_what_is_noted_on_parts_says_nothing_on_a_piece_and_is_refused(name: str) -> None:
    found = outcome({name: RESULT_ATTRIBUTES[name]})
    assert found.startswith("refused: ")
    assert f"lay:{name}" in found


@pytest.mark.parametrize("name", sorted(set(CASES) - {"name", "size", "leave-out"}))
@pytest.mark.parametrize("role", ["notch", "mark", "grainline"])
def test_a_detail_of_a_piece_on_a_mark_is_refused(name: str, role: str) -> None:
    if (name, role) == ("top", "grainline"):
        return
    found = outcome({}, mark={"role": role, name: PIECE_ATTRIBUTES[name]})  # type: ignore[arg-type]
    assert found.startswith("refused: ")
    assert f"lay:{name} says nothing on it" in found


def test_a_match_point_makes_a_difference_on_cloth_with_a_design_and_is_told_on_any_other() -> None:
    mark = {"role": "mark", "match": "side"}
    assert "match points of front are not used: this cloth has no repeat" in outcome(
        {"grain": "up"}, mark=mark
    )
    words = ("side on line", "side between lines", "side along")
    found = [outcome({"grain": "up"}, mark={"match": said}, repeat=CHECKS) for said in words]
    assert len(set(found)) == len(words)
    assert not any(text.startswith("refused") for text in found)
    across = outcome({"grain": "up"}, mark={"match": "side across"}, repeat="along 80mm")
    assert " of front is not used: the cloth has no repeat in that direction" in across
    without = outcome({"grain": "up"}, mark={}, repeat=CHECKS)
    assert "No piece has a match point" in without


def test_match_on_a_piece_is_refused() -> None:
    assert "lay:match, which is said of a mark" in outcome({"match": "side"})


def test_one_side_on_a_piece_is_refused() -> None:
    assert "lay:one-side, which is said of a mark" in outcome({"one-side": "yes"})


def test_two_tops_and_two_folds_that_differ_are_told() -> None:
    line = {**GRAIN, "top": "start"}
    assert "give different ends as the top" in outcome({"top": "end"}, line)
    assert "give different ends" not in outcome({"top": "start"}, line)
    sides = {side: outcome({"fold": side}, mark={}, line=GRAIN) for side in ("left",)}
    assert "refused" not in sides["left"][:8]
    made = drawing({"fold": "down", "grain": "up"}, {}, {})
    for node in made.root.iter("{*}path"):
        if node.get("id") == "side":
            node.set(lay("role"), "fold")
    options = between_selvedges(1000.0, rounds=1)
    told = lay_out(made.document(), options, Run(no_time, lambda rounds: True)).summary
    assert any("the side typed in lay:fold is not used" in line for line in told)


def test_an_error_names_the_object() -> None:
    with pytest.raises(DrawingError, match="“Front”"):
        raise_for({"name": "Front", "copy": "2"})


def raise_for(attributes: Attributes) -> None:
    lay_out(drawing(attributes, {}, {}).document(), between_selvedges(1000.0), Run(no_time, NEVER))
