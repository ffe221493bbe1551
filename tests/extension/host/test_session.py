# SPDX-License-Identifier: GPL-2.0-or-later
"""What the progress window says, and what its keys and buttons do."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from extension.host import session
from extension.host.session import Session, plain, seconds_text

if TYPE_CHECKING:
    from extension.host.session import Progress

BEST: Progress = {"text": "Best so far: 1.84 m", "left": 12.0, "limit": 20.0, "at": 0.0}
NOTHING_TO_KEEP: Progress = {"text": "At work", "cancels": True}


class Window:
    """A session with a clock and a program that the test moves."""

    def __init__(self, progress: Progress) -> None:
        self.progress: Progress | None = progress
        self.now = 0.0
        self.asked: list[str] = []
        self.session = Session(
            lambda: self.progress,
            lambda: self.asked.append("stop"),
            lambda: self.asked.append("cancel"),
            lambda: self.now,
        )
        self.session.look()
        self.now = 5.0

    @property
    def text(self) -> str:
        view = self.session.look()
        assert view is not None
        return view.text


def test_the_time_left_is_counted_down_between_two_lines() -> None:
    window = Window(BEST)
    view = window.session.look()
    assert view is not None
    assert view.text == "Best so far: 1.84 m\nTime left: 7 s"
    assert view.share == pytest.approx(13.0 / 20.0)
    window.now = 12.5
    assert window.text == f"Best so far: 1.84 m\n{session.FINISHING}"


def test_the_window_answers_a_stop_at_once() -> None:
    window = Window(BEST)
    window.session.stop()
    view = window.session.look()
    assert view is not None
    assert view.text.splitlines()[-1] == session.FINISHING
    assert (view.can_stop, view.can_cancel, window.asked) == (False, True, ["stop"])
    window.session.stop()
    window.session.cancel()  # who has waited long enough may still cancel
    assert (window.asked, window.text) == (["stop", "cancel"], session.ENDING)
    window.session.cancel()
    assert window.asked == ["stop", "cancel"]


@pytest.mark.parametrize("progress", [{}, NOTHING_TO_KEEP, BEST])
def test_enter_never_cancels(progress: Progress) -> None:
    window = Window(progress)
    for _ in range(3):
        window.session.enter()
    assert window.asked == (["stop"] if progress is BEST else [])


def test_an_enter_that_was_meant_for_the_dialog_before_does_nothing() -> None:
    window = Window(BEST)
    window.now = 0.5 * session.CALM
    window.session.enter()
    assert window.asked == []


@pytest.mark.parametrize("progress", [{}, NOTHING_TO_KEEP, BEST])
def test_escape_asks_once_more_before_it_cancels(progress: Progress) -> None:
    window = Window(progress)
    window.session.escape()
    view = window.session.look()
    assert view is not None
    assert (view.hint, window.asked) == (session.ONCE_MORE, [])
    window.session.escape()
    assert (window.asked, window.text) == (["cancel"], session.ENDING)
    window.session.escape()
    assert window.asked == ["cancel"]


@pytest.mark.parametrize(
    ("progress", "asked"), [({}, "cancel"), (NOTHING_TO_KEEP, "cancel"), (BEST, "stop")]
)
def test_closing_the_window_keeps_what_can_be_kept(progress: Progress, asked: str) -> None:
    window = Window(progress)
    window.session.close()
    window.session.close()
    assert window.asked == [asked]


@pytest.mark.parametrize(
    ("progress", "stop", "hint"),
    [
        ({}, (True, False), session.KEYS),
        (BEST, (True, True), session.KEYS),
        (NOTHING_TO_KEEP, (False, False), session.KEYS_CANCEL),
    ],
)
def test_what_a_stop_leaves_decides_what_is_offered(
    progress: Progress, stop: tuple[bool, bool], hint: str
) -> None:
    view = Window(progress).session.look()
    assert view is not None
    assert ((view.shows_stop, view.can_stop), view.hint) == (stop, hint)
    assert ("stop and keep" in view.hint) == view.shows_stop


def test_the_end_of_the_run_is_the_end_of_the_window() -> None:
    window = Window(BEST)
    window.progress = None
    assert window.session.look() is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.2, "1 s"), (7.0, "7 s"), (119.0, "119 s"), (121.0, "3 min"), (7300.0, "2 h 2 min")],
)
def test_time_in_words_is_never_too_short(seconds: float, words: str) -> None:
    assert seconds_text(seconds) == words


@pytest.mark.parametrize(
    "garbage",
    [
        {"text": None},
        {"text": 7, "left": "soon", "limit": [], "done": {}, "at": None},
        {"text": "a", "left": float("nan"), "limit": float("inf"), "done": float("-inf")},
        {"text": "a", "left": 10**400, "limit": 0, "done": 10**400, "at": -(10**400)},
        {"text": "a", "left": -5.0, "limit": -1.0, "done": True},
        {"text": "\ud800\x00a\tb" * 1000, "picture": object(), "cancels": "yes"},
    ],
)
def test_garbage_from_the_program_is_no_fault_of_the_window(garbage: Progress) -> None:
    view = Window(garbage).session.look()
    assert view is not None
    view.text.encode("utf-8")
    assert view.share is None or 0.0 <= view.share <= 1.0


def test_text_for_a_toolkit_is_whole() -> None:
    assert plain("ä – 1\n2\x00\x1b\ud800") == "ä – 1\n2?"
