# SPDX-License-Identifier: GPL-2.0-or-later
"""The design of the cloth, as it is typed: what it means, and a sentence for all that is none."""

from __future__ import annotations

import json
from argparse import ArgumentParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.commands import lay_out
from extension.dialogs.fields import add_design_fields, design_options
from extension.job.design import repeat_by_material, repeat_text
from extension.job.options import LayOutOptions, changed_options, options_from_text
from extension.job.plan import fabric_of
from extension.job.settings import options_of, settings_of, settings_text
from extension.job.wishes import wishes_from_text
from extension.language.errors import OptionError
from nesting.jobs.fabric import fabric_faults
from nesting.model import Repeat

INCH = 25.4
WIDE = {"fabric_width": "140cm"}


def told(**typed: str) -> Repeat | None:
    """Return the design of cloth as it is typed."""
    return options_from_text({**WIDE, **typed}).design


@pytest.mark.parametrize(
    ("text", "along", "across"),
    [
        ("along=8cm,across=6cm", 80.0, 60.0),
        ("across = 6 cm; ALONG: 8cm", 80.0, 60.0),
        ("along 8,5cm", 85.0, 0.0),
        ("across 2 1/2 in", 0.0, 2.5 * INCH),
        ("along 8 cm across 6 cm", 80.0, 60.0),
    ],
)
def test_a_repeat_is_typed_with_its_ways(text: str, along: float, across: float) -> None:
    assert told(repeat=text) == Repeat(along, across)
    assert repeat_text(repeat_text(text)) == repeat_text(text)


def test_how_the_lines_lie_is_told_to_the_engine() -> None:
    options = options_from_text(
        {**WIDE, "repeat": "along=8cm,across=6cm", "half_drop": "yes", "first_line": "2cm"}
    )
    assert fabric_of(options).repeat == Repeat(80.0, 60.0, first=20.0, half_drop=True)
    assert not list(fabric_faults(fabric_of(options)))


@pytest.mark.parametrize("text", ["", "none", " NONE "])
def test_cloth_without_a_design_has_no_repeat_and_its_settings_are_as_they_were(text: str) -> None:
    options = options_from_text({**WIDE, "repeat": text})
    assert options.design is None
    fields = {"repeat", "uneven", "half_drop", "first_line_mm"}
    assert not fields & set(settings_of(options))


@pytest.mark.parametrize("way", ["along", "across"])
def test_an_uneven_design_means_nap(way: str) -> None:
    """Source: *Successful Sewing*, Goodheart-Willcox 2013, p. 108."""
    typed = {**WIDE, "repeat": f"{way}=8cm", "nap": "no"}
    assert options_from_text({**typed, "uneven": "yes"}).nap
    stored = options_from_text(typed)
    assert not stored.nap
    assert changed_options(stored, {"uneven": "yes"}).nap
    with pytest.raises(OptionError, match="one way up"):
        LayOutOptions(1400.0, repeat=f"{way} 8cm", uneven=True, nap=False)
    # A layout of an earlier version stays readable.
    text = settings_text(stored, {})
    values = json.loads(text)
    values["options"]["uneven"] = True
    assert options_of(json.dumps(values)).nap


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"repeat": "8cm"}, "write it like “along=8cm,across=6cm”"),
        ({"repeat": "along"}, "write it like"),
        ({"repeat": "along=8"}, "The repeat along the cloth"),
        ({"repeat": "along=0cm"}, "between 1 mm and 5 m"),
        ({"repeat": "across=-3cm"}, "The repeat across the cloth"),
        ({"repeat": "along=6m"}, "between 1 mm and 5 m"),
        ({"repeat": "along=8cm,along=9cm"}, "stands twice"),
        ({"repeat": "across=150cm"}, "wider than the cloth"),
        ({"repeat": "along=8cm", "half_drop": "yes"}, "both along the cloth and across"),
        ({"repeat": "along=8cm", "first_line": "2cm"}, "no repeat across"),
        ({"repeat": "across=8cm", "first_line": "2"}, "The first line of the design"),
        ({"repeat": "across=8cm", "uneven": "perhaps"}, "Whether the design is uneven"),
        ({"uneven": "yes"}, "without a repeat"),
        ({"half_drop": "yes"}, "without a repeat"),
        ({"first_line": "1cm"}, "without a repeat"),
        ({"repeat": "none", "uneven": "yes"}, "without a repeat"),
    ],
)
def test_what_is_no_design_is_answered_with_the_remedy(typed: dict[str, str], words: str) -> None:
    for judge in (told, lambda **given: wishes_from_text({**WIDE, **given})):
        with pytest.raises(OptionError, match=words) as caught:
            judge(**typed)
        assert str(caught.value).count(". ") == 0


@given(st.text(alphabet="along=cros 0123456789,.;m/in-", max_size=24))
def test_any_text_is_a_repeat_that_the_engine_takes_or_one_sentence(text: str) -> None:
    try:
        options = options_from_text({**WIDE, "repeat": text})
    except OptionError:
        return
    assert not list(fabric_faults(fabric_of(options)))
    assert options_of(settings_text(options, {})) == options


def test_the_settings_of_a_layout_keep_the_design() -> None:
    typed = {"repeat": "along=8cm,across=6cm", "uneven": "yes", "first_line": "2cm"}
    options = options_from_text({**WIDE, **typed})
    assert options_of(settings_text(options, {})) == options


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("along=8cm,across=6cm", {"": "along 8cm, across 6cm"}),
        (
            "main=along=8cm,across=6cm; lining=none",
            {"main": "along 8cm, across 6cm", "lining": "none"},
        ),
        ("contrast=across 1,5cm", {"contrast": "across 1,5cm"}),
    ],
)
def test_each_material_may_have_its_own_design(text: str, found: dict[str, str]) -> None:
    assert repeat_by_material(text) == found


def designs(present: tuple[str, ...], **typed: str) -> dict[str, Repeat | None]:
    """Return the design of each material that is laid."""
    wishes = wishes_from_text({**WIDE, **typed})
    options = wishes.options(dict.fromkeys(present, 1))
    return {one.material: one.design for one in options}


def test_a_design_typed_for_all_is_not_that_of_linings_beside_other_cloth() -> None:
    typed = {"repeat": "across=6cm", "first_line": "2cm"}
    striped = Repeat(0.0, 60.0, first=20.0)
    assert designs(("main", "lining"), **typed) == {"main": striped, "lining": None}
    assert designs(("lining",), **typed, material="lining") == {"lining": striped}
    named = "across=6cm; lining=across=2cm"
    assert designs(("main", "lining"), repeat=named)["lining"] == Repeat(0.0, 20.0)


def test_how_lines_lie_is_said_of_the_material_that_has_a_repeat() -> None:
    found = designs(("main", "contrast"), repeat="main=across=6cm", uneven="yes")
    assert found == {"main": Repeat(0.0, 60.0, even=False), "contrast": None}
    with pytest.raises(OptionError, match="without a repeat"):
        designs(("main", "contrast"), repeat="main=across=6cm", first_line="contrast=2cm")


@pytest.mark.parametrize(
    ("fields", "repeat"),
    [
        ([], ""),
        (["--repeat_along=8 cm"], "along 8 cm"),
        (["--repeat_along=8 cm", "--repeat_across=6 cm"], "along 8 cm, across 6 cm"),
        (
            ["--repeat_along=main = 8 cm", "--repeat_across=6 cm, lining = none"],
            "main = along 8 cm, across 6 cm; across 6 cm; lining = none",
        ),
    ],
)
def test_the_dialog_and_the_terminal_say_the_same(fields: list[str], repeat: str) -> None:
    parser = ArgumentParser()
    add_design_fields(parser)
    assert design_options(parser.parse_args(fields))["repeat"] == repeat
    terminal = ArgumentParser()
    lay_out.add_arguments(terminal)
    words = ["in.svg", "--output", "out.svg", "--uneven", "--half-drop", "--first-line", "2cm"]
    parsed = terminal.parse_args(words)
    ticked = parser.parse_args(["--uneven=true", "--half_drop=true", "--first_line=2cm"])
    assert {name: getattr(parsed, name) for name in ("uneven", "half_drop", "first_line")} == {
        name: text for name, text in design_options(ticked).items() if name != "repeat"
    }
