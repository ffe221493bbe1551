# SPDX-License-Identifier: GPL-2.0-or-later
"""The house: which room may take from which. A room is a package, or a module at the top."""

from __future__ import annotations

import ast
from dataclasses import fields
from functools import cache
from pathlib import Path

from extension.pieces.attributes import FOR_ENGINE, PieceDetails
from nesting.model import Piece
from tests.helpers.places import PROJECT

FLOORS = (
    "nesting.compiled nesting.errors nesting.model nesting.stop nesting.streams",
    "nesting.interrupts nesting.geometry nesting.judge",
    "nesting.cloth",
    "nesting.jobs nesting.grid nesting.press",
    "nesting.construct",
    "nesting.search nesting.pressing",
    "nesting.folded nesting.several nesting.tighten",
    "nesting.solve",
    "nesting.prepare",
    "nesting.command",
    "nesting.__main__",
    "extension.watch extension.host extension.language",
    "extension.installer extension.picture extension.svg",
    "extension.install extension.pieces",
    "extension.joining extension.labels",
    "extension.markings extension.pages",
    "extension.job",
    "extension.drawn",
    "extension.layouts extension.requirements_table",
    "extension.diagram",
    "extension.operations",
    "extension.commands extension.demo extension.dialogs",
    "extension.__main__",
)
"""From the ground up: a room takes from floors below its own alone."""

MOST_LINES = 400
"""A module that is longer holds more than one idea."""

FLOOR_OF = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms.split()}


@cache
def modules() -> dict[str, Path]:
    """Return the file of each module, by its dotted name; packages are named by their folder."""
    files = [file for top in ("nesting", "extension") for file in (PROJECT / top).rglob("*.py")]
    found = {}
    for file in files:
        parts = file.relative_to(PROJECT).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = file
    return found


@cache
def taken_by(file: Path) -> set[str]:
    """Return every module that is imported anywhere in a file, in functions as well."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def room_of(module: str) -> str:
    """Return the room of a module: its package, or the module itself at the top."""
    return ".".join(module.split(".")[:2])


def arrows() -> dict[tuple[str, str], list[str]]:
    """Return which room takes from which other one, with the modules that do."""
    known, found = modules(), dict[tuple[str, str], list[str]]()
    for module, file in known.items():
        for taken in taken_by(file) & set(known):
            pair = room_of(module), room_of(taken)
            if pair[0] != pair[1] and "." in pair[1]:
                found.setdefault(pair, []).append(f"{module} from {taken}")
    return found


def test_every_room_has_its_floor_and_every_floor_its_rooms() -> None:
    rooms = {room_of(module) for module in modules()} - {"nesting", "extension"}
    assert rooms == set(FLOOR_OF)


def test_rooms_take_from_lower_floors_alone() -> None:
    wrong = {
        pair: told for pair, told in arrows().items() if FLOOR_OF[pair[0]] <= FLOOR_OF[pair[1]]
    }
    assert wrong == {}


def test_no_two_modules_take_from_each_other_in_a_circle() -> None:
    known = modules()
    graph = {name: taken_by(file) & set(known) - {name} for name, file in known.items()}
    left = dict(graph)
    while left:
        free = [name for name, taken in left.items() if not taken & set(left)]
        assert free, sorted(left)
        for name in free:
            del left[name]


def test_this_test_sees_an_import_inside_a_function() -> None:
    assert "nesting.command" in taken_by(modules()["nesting.__main__"])


def test_no_file_is_longer_than_a_reader_holds_in_mind() -> None:
    folders = (PROJECT / top for top in ("nesting", "extension", "tests"))
    lines = {
        str(file.relative_to(PROJECT)): file.read_text(encoding="utf-8").count("\n")
        for folder in folders
        for file in folder.rglob("*.py")
    }
    assert {file: count for file, count in lines.items() if count > MOST_LINES} == {}


@cache
def names_in(file: Path) -> set[str]:
    """Return the names that the code of a file says: of fields, of arguments, of variables."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.keyword | ast.arg) and node.arg:
            found.add(node.arg)
        elif isinstance(node, ast.Name):
            found.add(node.id)
    return found


def test_what_the_engine_is_told_is_a_field_on_both_sides() -> None:
    for model in (PieceDetails, Piece):
        assert set(FOR_ENGINE) <= {field.name for field in fields(model)}


def test_an_attribute_that_the_engine_knows_is_said_in_four_files_and_where_it_is_used() -> None:
    """Named and parsed, asked for in the dialog, a field of the engine, told to a person."""
    code = {name for name, file in modules().items() if "priority" in names_in(file)}
    assert code == {
        "extension.pieces.attributes",
        "nesting.model",
        "extension.job.short_cloth",
        "nesting.cloth.problem",
    }
    dialogs = (PROJECT / "extension" / "dialogs").glob("*.inx")
    assert [file.name for file in dialogs if 'name="priority"' in file.read_text("utf-8")] == [
        "details.inx"
    ]


def test_nobody_between_drawing_and_engine_names_what_only_passes_through() -> None:
    for module in ("nesting.jobs.jobfile", "nesting.jobs.validation"):
        assert not names_in(modules()[module]) & set(FOR_ENGINE)
    plan = ast.parse(modules()["extension.job.plan"].read_text(encoding="utf-8"))
    handed = {node.arg for node in ast.walk(plan) if isinstance(node, ast.keyword)}
    assert not handed & set(FOR_ENGINE)
