# SPDX-License-Identifier: GPL-2.0-or-later
"""A missing editor is a visible skip, and a failure where it has to be there."""

from __future__ import annotations

import pytest

from tests.helpers.screen import REQUIRED, need

NOBODY = "thriftlay-has-no-such-program"


def test_what_is_there_is_no_matter() -> None:
    need("python3")


def test_what_is_missing_skips_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(REQUIRED, raising=False)
    with pytest.raises(pytest.skip.Exception, match=NOBODY):
        need("python3", NOBODY)


def test_what_is_missing_fails_where_it_must_be_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(REQUIRED, "1")
    with pytest.raises(pytest.fail.Exception, match=NOBODY):
        need(NOBODY)
