# SPDX-License-Identifier: GPL-2.0-or-later
"""The comparison with golden files can fail, and passes over what does not matter."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from tests.helpers.golden import assert_golden, differences


def test_a_moved_point_is_seen_and_rounding_is_not(tmp_path: Path) -> None:
    golden = tmp_path / "one.svg"
    one = etree.fromstring('<g b="2" a="1"><path d="M 0,0 L 10.12349,5"/></g>')
    with pytest.raises(AssertionError, match="stored anew"):
        assert_golden(one, golden, store=True)
    assert_golden(one, golden, store=False)
    same = etree.fromstring('<g a="1" b="2"><path d="M 0,0 L 10.1234900001,5"></path></g>')
    assert differences(same, golden) == ""
    moved = etree.fromstring('<g a="1" b="2"><path d="M 0,0 L 10.125,5"/></g>')
    assert '+<path d="M 0,0 L 10.125,5">' in differences(moved, golden)
    with pytest.raises(AssertionError, match=r"10\.125"):
        assert_golden(moved, golden, store=False)


def test_a_missing_golden_file_fails(tmp_path: Path) -> None:
    with pytest.raises(AssertionError):
        assert_golden(etree.fromstring("<g/>"), tmp_path / "none.svg", store=False)


def test_what_agrees_is_not_stored_again(tmp_path: Path) -> None:
    golden = tmp_path / "one.svg"
    golden.write_text("<g>\n</g>\n", encoding="utf-8")
    before = golden.stat().st_mtime_ns
    assert_golden(etree.fromstring("<g/>"), golden, store=True)
    assert golden.stat().st_mtime_ns == before
