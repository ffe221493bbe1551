# SPDX-License-Identifier: GPL-2.0-or-later
"""What a run has to say when it is over, in a window of our own.

The editor's window for messages says above every one of them that something may be wrong, which
frightens people off a plain hint. Ours is a process of its own, so that the editor need not wait
for it: the launcher hands the drawing over and ends, and the window stays until it is closed.
Run as a program this file reads {"messages": [...], "done": text} on stdin, and prints `SHOWN` once
its window is there. Standard library alone, Python 3.7 and later; Gtk, else Tk.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

TITLE = "Thriftlay"
CLOSE = "Close"
SHOWN = "shown"
CLOSES_ITSELF = "This window closes by itself."
PATIENCE = 6.0
"""Seconds in which a window has to open; else the editor says what there is to say."""
SECONDS = 15.0
"""After which a window closes by itself that only says that all is done."""
LETTERS = 64
WIDTH = 480
"""Pixels of a line."""
LONG = 900
"""Letters above which what is said is to be scrolled."""
HIGH = 320
"""Pixels of what is scrolled."""


def tell(messages: Sequence[str], done: str) -> bool:
    """Open a window with messages and what is done; return whether it is there."""
    told = json.dumps({"messages": list(messages), "done": done}).encode("ascii")
    nowhere = subprocess.DEVNULL
    try:
        window = subprocess.Popen(
            [sys.executable, str(Path(__file__).resolve())],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=nowhere,
            # It outlives us, and what ends us must not end it.
            start_new_session=os.name == "posix",
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError:
        return False
    into, out = window.stdin, window.stdout
    assert into is not None
    assert out is not None
    answer: list[bytes] = []
    listening = threading.Thread(target=lambda: answer.append(out.readline()), daemon=True)
    listening.start()
    with contextlib.suppress(OSError):  # it has ended: no toolkit is there
        into.write(told)
        into.flush()
    with contextlib.suppress(OSError):
        into.close()
    listening.join(PATIENCE)
    is_there = bool(answer) and answer[0].strip() == SHOWN.encode("ascii")
    if is_there:
        window.returncode = 0  # nobody waits for its end
    else:
        window.kill()
        window.wait()
        listening.join()
    out.close()
    return is_there


def show(messages: Sequence[str], done: str, is_there: Callable[[], None]) -> None:
    """Show the window until it is closed; `is_there` is called once it is open.

    Raises ImportError when no toolkit can open a window.
    """
    for toolkit in (_show_gtk, _show_tk):
        try:
            toolkit("\n\n".join(messages), done, is_there)
            return
        except (ImportError, ValueError):  # ValueError: gi without Gtk's description
            continue
    raise ImportError("neither Gtk nor Tk can open a window")


def _show_gtk(text: str, done: str, is_there: Callable[[], None]) -> None:
    import gi

    gi.require_version("Gtk", "3.0")
    gi.require_version("Gdk", "3.0")
    from gi.repository import Gdk, GLib, Gtk

    if not Gtk.init_check()[0]:
        raise ImportError("no screen for Gtk")
    window = Gtk.Window(title=TITLE, resizable=False, window_position=Gtk.WindowPosition.CENTER)
    window.set_keep_above(True)
    # Who is only told that all is done goes on with what she did.
    window.set_focus_on_map(bool(text))
    box = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=12, border_width=18)

    def label(words: str) -> Gtk.Label:
        made = Gtk.Label(label=words, xalign=0.0, wrap=True, selectable=True, can_focus=False)
        made.set_max_width_chars(LETTERS)
        return made

    scrolled = Gtk.ScrolledWindow(hscrollbar_policy=Gtk.PolicyType.NEVER, overlay_scrolling=False)
    if len(text) > LONG:
        scrolled.set_size_request(WIDTH, HIGH)
        scrolled.add(label(text))
        box.add(scrolled)
    elif text:
        box.add(label(text))
    if done:
        last = label(done)
        last.set_markup(f"<b>{GLib.markup_escape_text(done)}</b>")
        box.add(last)
    if not text:
        hint = label(CLOSES_ITSELF)
        hint.get_style_context().add_class("dim-label")
        box.add(hint)
        GLib.timeout_add(int(1000 * SECONDS), Gtk.main_quit)
    close = Gtk.Button(label=CLOSE, halign=Gtk.Align.END)
    close.connect("clicked", Gtk.main_quit)
    box.add(close)
    window.add(box)

    pages = {Gdk.KEY_Page_Down: 0.9, Gdk.KEY_Page_Up: -0.9, Gdk.KEY_Down: 0.1, Gdk.KEY_Up: -0.1}

    def key(_: object, event: Gdk.EventKey) -> bool:
        if event.keyval in (Gdk.KEY_Escape, Gdk.KEY_Return, Gdk.KEY_KP_Enter):
            Gtk.main_quit()
            return True
        if event.keyval in pages:
            along = scrolled.get_vadjustment()
            along.set_value(along.get_value() + pages[event.keyval] * along.get_page_size())
        return event.keyval in pages

    window.connect("destroy", Gtk.main_quit)
    window.connect("key-press-event", key)
    window.show_all()
    close.grab_focus()
    GLib.idle_add(is_there)
    Gtk.main()


def _show_tk(text: str, done: str, is_there: Callable[[], None]) -> None:
    import tkinter
    from tkinter import font, ttk

    try:
        window = tkinter.Tk()
    except tkinter.TclError as error:
        raise ImportError("no screen for Tk") from error
    window.title(TITLE)
    window.resizable(False, False)
    window.attributes("-topmost", True)
    box = ttk.Frame(window, padding=18)
    box.pack()
    if len(text) > LONG:
        frame = ttk.Frame(box)
        read = tkinter.Text(frame, wrap="word", width=LETTERS, height=18, font="TkDefaultFont")
        read.insert("1.0", text)
        read.configure(state="disabled", relief="flat", background=window.cget("background"))
        along = ttk.Scrollbar(frame, command=read.yview)
        read.configure(yscrollcommand=along.set)
        read.pack(side="left")
        along.pack(side="right", fill="y")
        frame.pack(pady=6)
        for sign, lines in (("Next", 15), ("Prior", -15), ("Down", 1), ("Up", -1)):
            window.bind(f"<{sign}>", lambda _, by=lines: read.yview_scroll(by, "units"))  # type: ignore[misc]
    elif text:
        ttk.Label(box, text=text, wraplength=WIDTH).pack(anchor="w", pady=6)
    if done:
        bold = font.nametofont("TkDefaultFont").copy()
        bold.configure(weight="bold")
        ttk.Label(box, text=done, wraplength=WIDTH, font=bold).pack(anchor="w", pady=6)
    if not text:
        ttk.Label(box, text=CLOSES_ITSELF).pack(anchor="w", pady=6)
        window.after(int(1000 * SECONDS), window.destroy)
    close = ttk.Button(box, text=CLOSE, command=window.destroy)
    close.pack(anchor="e", pady=6)
    for sign in ("<Return>", "<KP_Enter>", "<Escape>"):
        window.bind(sign, lambda _: window.destroy())
    close.focus_set()
    window.eval("tk::PlaceWindow . center")
    window.after_idle(is_there)
    window.mainloop()


def main() -> None:
    """Show what is told on stdin."""
    told = json.loads(sys.stdin.buffer.read().decode("ascii"))

    def is_there() -> None:
        sys.stdout.write(SHOWN + "\n")
        sys.stdout.flush()

    show(told["messages"], told["done"], is_there)


if __name__ == "__main__":
    main()
