# SPDX-License-Identifier: GPL-2.0-or-later
"""Path data is read as independent readers read it, or refused at the place of the fault."""

from __future__ import annotations

import inkex
import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.svg.pathdata import Subpath, parse_path, points_of

numbers = st.floats(-500, 500).map(lambda value: round(value, 4))
flags = st.sampled_from("01")


def command(letters: str, count: int) -> st.SearchStrategy[str]:
    values = st.lists(numbers, min_size=count, max_size=count)
    return st.builds(
        lambda letter, args: f"{letter} {' '.join(map(repr, args))}",
        st.sampled_from(letters),
        values,
    )


arcs = st.builds(
    "{} {} {} {} {},{} {} {}".format,
    st.sampled_from("Aa"),
    numbers,
    numbers,
    numbers,
    flags,
    flags,
    numbers,
    numbers,
)
# Smooth curves only behind their own kind: behind others inkex 1.4.1 reads a control point that
# neither the standard nor the editor itself has (see the table below for those).
commands = st.one_of(
    command("MmLl", 2),
    command("HhVv", 1),
    st.builds("{} {} {}".format, command("Cc", 6), command("Ss", 4), command("Ss", 4)),
    st.builds("{} {} {}".format, command("Qq", 4), command("Tt", 2), command("Tt", 2)),
    arcs,
    st.sampled_from("Zz"),
)
paths = st.builds(
    lambda start, rest: " ".join([start, *rest]),
    command("Mm", 2),
    st.lists(commands, max_size=8),
)


def as_the_editor_reads(data: str) -> list[Subpath]:
    """Return what inkex, the editor's own library, makes of path data."""
    subpaths: list[Subpath] = []
    start: tuple[float, float] = (0.0, 0.0)
    segments: list[tuple[float, ...]] = []

    def lift(closed: bool) -> None:
        if segments:
            subpaths.append(Subpath(start, tuple(segments), closed))
            segments.clear()

    for proxy in inkex.Path(data).proxy_iterator():
        plain = proxy.to_non_shorthand()
        if plain.letter == "M":
            lift(closed=False)
            start = (plain.args[0], plain.args[1])
        elif plain.letter == "Z":
            lift(closed=True)
        else:
            segments.append(tuple(float(number) for number in plain.args))
    lift(closed=False)
    return subpaths


@given(paths)
def test_paths_are_read_as_the_editor_reads_them(data: str) -> None:
    expected = as_the_editor_reads(data)
    found = parse_path(data)
    assert [subpath.closed for subpath in found] == [subpath.closed for subpath in expected]
    for one, other in zip(found, expected, strict=True):
        assert one.start == pytest.approx(other.start, abs=1e-9)
        assert len(one.segments) == len(other.segments)
        for ours, theirs in zip(one.segments, other.segments, strict=True):
            assert ours == pytest.approx(theirs, abs=1e-9)


def only(data: str) -> Subpath:
    (subpath,) = parse_path(data)
    return subpath


@pytest.mark.parametrize(
    ("short", "long"),
    [
        ("M0,0L10-5.5.5,0", "M 0 0 L 10 -5.5 L 0.5 0"),
        ("m1 2 3 4 5 6", "M 1 2 L 4 6 L 9 12"),
        ("M1 2 3 4", "M 1 2 L 3 4"),
        ("M0 0h1v2H3V4", "M 0 0 L 1 0 L 1 2 L 3 2 L 3 4"),
        ("M0 0C1 1 2 1 3 0S5-1 6 0", "M 0 0 C 1 1 2 1 3 0 C 4 -1 5 -1 6 0"),
        ("M0 0Q1 1 2 0T4 0 6 0", "M 0 0 Q 1 1 2 0 Q 3 -1 4 0 Q 5 1 6 0"),
        ("M0 0L1 1S5-1 6 0", "M 0 0 L 1 1 C 1 1 5 -1 6 0"),
        ("M0 0Q1 1 2 0S5-1 6 0", "M 0 0 Q 1 1 2 0 C 2 0 5 -1 6 0"),
        ("M0 0C1 1 2 1 3 0T6 0", "M 0 0 C 1 1 2 1 3 0 Q 3 0 6 0"),
        ("M0 0Q1 1 2 0zT4 0", "M 0 0 Q 1 1 2 0 Z Q 0 0 4 0"),
        ("M0 0Q1 1 2 0M5 5T4 0", "M 0 0 Q 1 1 2 0 M 5 5 Q 5 5 4 0"),
        ("M0 0a5 5 0 0110 0", "M 0 0 A 5 5 0 0 1 10 0"),
        ("M0 0a5 5 0 1,010 0 5,5,0,00-1-1", "M 0 0 A 5 5 0 1 0 10 0 A 5 5 0 0 0 9 -1"),
        ("M1e1 2E-1L+3 .4", "M 10 0.2 L 3 0.4"),
        ("\n M 0 0\tL\r1 , 1 ", "M 0 0 L 1 1"),
    ],
)
def test_the_short_form_is_the_long_one(short: str, long: str) -> None:
    # Worked by hand from SVG 1.1, section 8.3; the editor (1.2.2) shows the smooth ones so.
    assert parse_path(short) == parse_path(long)


def test_after_a_z_the_next_subpath_starts_where_it_closed() -> None:
    first, second = parse_path("M 10 10 h 5 v 5 z l 1 2")
    assert first.closed
    assert second == Subpath((10.0, 10.0), ((11.0, 12.0),), closed=False)


def test_a_relative_move_after_a_z_starts_from_there() -> None:
    assert parse_path("m 1 1 h 5 v 5 z m 2 3 h 1")[1].start == (3.0, 4.0)


@pytest.mark.parametrize("data", ["", "  ", "M 1 1", "M 1 1 Z", "M 1 1 M 2 2 z m 3 3"])
def test_what_draws_nothing_has_no_subpath(data: str) -> None:
    assert parse_path(data) == ()


@pytest.mark.parametrize(
    ("data", "part"),
    [
        ("L 1 1", "L"),
        ("Z", "z"),
        ("10 10", "10 10"),
        ("M 0", "M 0"),
        ("M 0 0 L 1 1 x 5 5", "1 1 x 5 5"),
        ("M 0 0 L 1", "L 1"),
        ("M 0 0 L", "L"),
        ("M 0 0 C 1 2 3 4 5", "C 1 2 3 4 5"),
        ("M 0 0 Z 5", "Z 5"),
        ("M 0 0 L 1,,2", "1,,2"),
        ("M 0 0 L 1 1e", "1 1e"),
        ("M 0 0 L 1 nan", "1 n"),
        ("M 0 0 L 1 1e999", "1e999"),
        ("M 0 0 A 5 5 0 2 0 1 1", "2 0 1 1"),
        ("M 0 0 A 5 5 0 0 0 1", "A 5 5 0 0 0 1"),
        ("M 0 0 A 5 5 0 0 0 1 ?", "?"),
        ("M 0 0 L ... 5", "..."),
        ("?", "?"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place(data: str, part: str) -> None:
    with pytest.raises(ValueError, match=r".*") as error:
        parse_path(data)
    assert part.lower() in str(error.value).lower()


def test_hostile_data_is_refused_at_once() -> None:
    # Each of these makes a naive pattern try exponentially many splits.
    for tail in ("x", ",,", "e", "--"):
        with pytest.raises(ValueError, match=r".*"):
            parse_path("M 0 0 L " + "1" * 50_000 + tail)
        with pytest.raises(ValueError, match=r".*"):
            parse_path("M 0 0 A " + "1" * 50_000 + tail)


def test_all_digits_are_kept() -> None:
    assert only("M 12345.678901234 0 L 0.1 -1e-12").start == (12345.678901234, 0.0)
    assert only("M 12345.678901234 0 L 0.1 -1e-12").segments == ((0.1, -1e-12),)


def test_points_of_a_polygon() -> None:
    assert points_of(" 1,2 3-4\n5 6 ") == [(1, 2), (3, -4), (5, 6)]
    assert points_of("") == []
    for bad in ("1 2 3", "a", "1,,2"):
        with pytest.raises(ValueError, match=r".*"):
            points_of(bad)
