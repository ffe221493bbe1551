# SPDX-License-Identifier: GPL-2.0-or-later
"""The editor's dialogs: valid by the editor's schema, and the same as what the program reads."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from lxml import etree

from extension.dialogs.fields import yes_or_no
from extension.dialogs.hosted import command_names, command_of
from extension.installer.inx import NAMESPACE, Parameter, default_arguments, parameters
from nesting import VERSION
from tests.helpers.menu import host
from tests.helpers.places import EXTENSION

DIALOGS = sorted((EXTENSION / "dialogs").glob("*.inx"))
FROM_THE_LAUNCHER = {"help", "id", "selected-nodes", "output"}
"""Arguments that are no field of a dialog."""

MENU = (
    "Put Pages Together",
    "Join Broken Lines",
    "Read Pattern Markings",
    "Set Cutting Details",
    "Lay Out on Fabric",
    "Check Layout",
    "Tighten Layout",
    "Cutting Diagram",
    "Fabric Requirements",
    "Hold or Release Parts",
)
"""The submenu in working order. Inkscape 1.2 adds the dots of a command with a dialog (seen)."""

every_dialog = pytest.mark.parametrize("dialog", DIALOGS, ids=lambda file: file.stem)


@pytest.fixture(scope="session")
def schema() -> etree.RelaxNG:
    """Return the editor's own schema of dialogs, as inkex brings it along."""
    file = resources.files("inkex") / "tester/inkscape.extension.rng"
    return etree.RelaxNG(etree.fromstring(file.read_bytes()))


def text_of(dialog: Path, tag: str) -> str:
    return etree.parse(str(dialog)).getroot().findtext(NAMESPACE + tag) or ""


def converter(kind: str) -> Callable[[str], object]:
    return {"float": float, "int": int, "bool": yes_or_no}.get(kind, str)


def parser_of(dialog: Path) -> argparse.ArgumentParser:
    """Return the parser of the menu command of a dialog."""
    command = command_of(dialog.stem.replace("_", "-"))(host())
    assert isinstance(command.arg_parser, argparse.ArgumentParser)
    return command.arg_parser


def actions(parser: argparse.ArgumentParser) -> dict[str, argparse.Action]:
    return {
        action.option_strings[-1][2:]: action for action in parser._actions if action.option_strings
    }


def test_every_dialog_is_a_command_of_the_menu_and_the_other_way_round() -> None:
    assert {dialog.stem.replace("_", "-") for dialog in DIALOGS} == set(command_names())
    assert len(DIALOGS) == len(MENU)


@every_dialog
def test_the_editors_schema_accepts_the_dialog(dialog: Path, schema: etree.RelaxNG) -> None:
    schema.assertValid(etree.parse(str(dialog)))


def test_the_schema_refuses_what_is_no_dialog(schema: etree.RelaxNG) -> None:
    text = (
        (EXTENSION / "dialogs/lay_out.inx")
        .read_text(encoding="utf-8")
        .replace('type="string"', 'type="perhaps"')
    )
    assert not schema.validate(etree.fromstring(text.encode("utf-8")))


@every_dialog
def test_every_field_is_an_argument_of_the_same_type_and_default(dialog: Path) -> None:
    parser = parser_of(dialog)
    known = actions(parser)
    for field in parameters(dialog):
        action = known[field.name]
        convert = converter(field.kind)
        default = parser.get_default(action.dest)
        assert default == convert(field.default), field.name
        assert type(default) is type(convert(field.default)), field.name
        assert (action.type or str) is convert, field.name


@every_dialog
def test_every_argument_is_a_field(dialog: Path) -> None:
    fields = {field.name for field in parameters(dialog)}
    # Every parser knows of pages, a dialog may be without.
    optional = {"tab"} - fields
    assert set(actions(parser_of(dialog))) - FROM_THE_LAUNCHER - optional == fields


@every_dialog
def test_the_default_arguments_are_the_parsers_defaults(dialog: Path) -> None:
    parser = parser_of(dialog)
    required = ["--output=out.svg"]
    typed = vars(parser.parse_args([*default_arguments(dialog), *required]))
    assert typed == vars(parser.parse_args(required))


@every_dialog
def test_help_ends_with_the_version_of_the_program(dialog: Path) -> None:
    pages = etree.parse(str(dialog)).getroot().findall(f".//{NAMESPACE}page[@name='help']")
    # Two commands ask nothing, so they have no dialog and no help.
    assert len(pages) == (dialog.stem not in ("check", "hold"))
    for page in pages:
        assert page[-1].text == f"Thriftlay {VERSION}"


@every_dialog
def test_the_id_is_ours_and_follows_the_file(dialog: Path) -> None:
    # The id is the key of the dialog's values in the editor's preferences: it must not change.
    assert text_of(dialog, "id") == f"org.thriftlay.{dialog.stem}"


@every_dialog
def test_the_command_is_hidden_and_follows_the_file(dialog: Path) -> None:
    (param,) = etree.parse(str(dialog)).getroot().findall(f"{NAMESPACE}param[@name='command']")
    assert param.get("gui-hidden") == "true"
    assert param.text == dialog.stem.replace("_", "-")


@every_dialog
def test_the_dialog_runs_our_launcher_without_a_live_preview(dialog: Path) -> None:
    root = etree.parse(str(dialog)).getroot()
    command = root.find(f"{NAMESPACE}script/{NAMESPACE}command")
    effect = root.find(f"{NAMESPACE}effect")
    assert command is not None
    assert effect is not None
    assert (command.text, command.get("location")) == ("launcher.py", "inx")
    assert text_of(dialog, "dependency") == "launcher.py"
    # Live preview would run the search anew at every change of a field.
    assert effect.get("needs-live-preview") == "false"
    # With its own GUI declared, Inkscape 1.2 skips the dialog and runs at once.
    assert effect.get("implements-custom-gui") is None


@every_dialog
def test_menu_texts_are_numbered_in_working_order(dialog: Path) -> None:
    # Inkscape 1.2 sorts a submenu by the bytes of its texts (seen with six texts under Xvfb).
    *number, text = text_of(dialog, "name").split(". ")
    assert number == ([] if text == MENU[-1] else [str(MENU.index(text) + 1)])


def test_numbered_texts_sort_into_working_order_by_bytes() -> None:
    numbered = [f"{number}. {text}" for number, text in enumerate(MENU[:-1], start=1)]
    numbered.append(MENU[-1])  # "10." would come before "2."
    assert sorted(numbered, key=lambda text: text.encode("utf-8")) == numbered
    assert sorted(MENU, key=lambda text: text.encode("utf-8")) != list(MENU)


def test_choices_and_pages_are_read_with_the_first_as_default() -> None:
    fields = {field.name: field for field in parameters(EXTENSION / "dialogs/lay_out.inx")}
    assert fields["tab"].default == "fabric"
    assert fields["width_is"] == Parameter(
        "width_is", "optiongroup", "booked", ("booked", "usable")
    )
    assert fields["sizes"].default == ""
