# SPDX-License-Identifier: GPL-2.0-or-later
"""A small window of our own while the program runs: how far it is, and a button that stops it.

The editor's own "working" window stays blank and cannot stop anything. This one runs in the
editor's Python (3.7 and later) with whatever toolkit is there: Gtk, else Tk. Without either,
`show` raises ImportError and the run goes on to its time limit without a window.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    Step = Callable[[], "dict[str, object] | None"]
    """Tells the last progress, or None after the end.

    It is {"text": ..., "done": 0 to 1 or None, "cancels": whether a stop leaves nothing}.
    """

TITLE = "Thriftlay"
HEADING = "Thriftlay is at work"
HINT = "The editor waits until this is done."
STOP = "Stop and keep the best so far"
STOPPING = "Finishing with the best so far…"
CANCEL = "Cancel"
CANCELLING = "Ending…"
"""Where a stop leaves nothing."""
UNKNOWN = "Stop"
"""Before the program has told what a stop leaves."""
FIRST = "Reading the drawing…"
MILLISECONDS = 100
"""Time between two looks at the run."""


def words(progress: dict[str, object], stopping: bool) -> tuple[str, float | None]:
    """Return the line to show, and the share that is done (None: not known)."""
    done = progress.get("done")
    share = min(1.0, max(0.0, float(done))) if isinstance(done, (int, float)) else None
    if stopping:
        return CANCELLING if not progress or progress.get("cancels") else STOPPING, share
    return str(progress.get("text") or FIRST), share


def button_words(progress: dict[str, object]) -> str:
    """Return what the button says."""
    if not progress:
        return UNKNOWN
    return CANCEL if progress.get("cancels") else STOP


def show(step: Step, stop: Callable[[], None]) -> None:
    """Show the window until the run has ended; closing it asks the run to stop, like the button.

    Raises ImportError when no toolkit can open a window.
    """
    for toolkit in (_show_gtk, _show_tk):
        try:
            toolkit(step, stop)
            return
        except (ImportError, ValueError):  # ValueError: gi without Gtk's description
            continue
    raise ImportError("neither Gtk nor Tk can open a window")


def _show_gtk(step: Step, stop: Callable[[], None]) -> None:
    import gi

    gi.require_version("Gtk", "3.0")
    from gi.repository import GLib, Gtk

    if not Gtk.init_check()[0]:
        raise ImportError("no screen for Gtk")
    asked: list[bool] = []

    def ask(*_: object) -> bool:
        if not asked:
            asked.append(True)
            button.set_sensitive(False)
            stop()
        return True  # stay open until the run has ended

    window = Gtk.Window(title=TITLE, resizable=False, window_position=Gtk.WindowPosition.CENTER)
    window.set_keep_above(True)
    window.connect("delete-event", ask)
    box = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=12, border_width=18)
    heading = Gtk.Label(xalign=0.0)
    heading.set_markup(f"<b>{HEADING}</b>")
    # A fixed width: the window must not jump with every new line.
    line = Gtk.Label(xalign=0.0, wrap=True, width_chars=46, max_width_chars=46)
    bar = Gtk.ProgressBar()
    hint = Gtk.Label(label=HINT, xalign=0.0, wrap=True, max_width_chars=46)
    hint.get_style_context().add_class("dim-label")
    button = Gtk.Button(label=STOP, halign=Gtk.Align.END)
    button.connect("clicked", ask)
    for child in (heading, line, bar, hint, button):
        box.add(child)
    window.add(box)

    def look() -> bool:
        progress = step()
        if progress is None:
            Gtk.main_quit()
            return False
        text, share = words(progress, bool(asked))
        line.set_text(text)
        button.set_label(button_words(progress))
        if share is None:
            bar.pulse()
        else:
            bar.set_fraction(share)
        return True

    if look():
        window.show_all()
        GLib.timeout_add(MILLISECONDS, look)
        Gtk.main()
    window.destroy()


def _show_tk(step: Step, stop: Callable[[], None]) -> None:
    import tkinter
    from tkinter import ttk

    try:
        window = tkinter.Tk()
    except tkinter.TclError as error:
        raise ImportError("no screen for Tk") from error
    asked: list[bool] = []

    def ask() -> None:
        if not asked:
            asked.append(True)
            button.state(["disabled"])
            stop()

    window.title(TITLE)
    window.resizable(False, False)
    window.attributes("-topmost", True)
    window.protocol("WM_DELETE_WINDOW", ask)
    box = ttk.Frame(window, padding=18)
    box.pack()
    line = tkinter.StringVar(value=FIRST)
    bar = ttk.Progressbar(box, length=400, maximum=1.0)
    button = ttk.Button(box, text=STOP, command=ask)
    ttk.Label(box, text=HEADING, font="TkHeadingFont").pack(anchor="w", pady=6)
    ttk.Label(box, textvariable=line, wraplength=400, width=56).pack(anchor="w", pady=6)
    bar.pack(fill="x", pady=6)
    ttk.Label(box, text=HINT, wraplength=400).pack(anchor="w", pady=6)
    button.pack(anchor="e", pady=6)
    button.focus_set()  # as in Gtk: the space bar presses it

    def look() -> None:
        progress = step()
        if progress is None:
            window.destroy()
            return
        text, share = words(progress, bool(asked))
        line.set(text)
        button.configure(text=button_words(progress))
        bar.configure(mode="indeterminate" if share is None else "determinate")
        if share is None:
            bar.step(0.05)
        else:
            bar.configure(value=share)
        window.after(MILLISECONDS, look)

    window.eval("tk::PlaceWindow . center")
    window.after(0, look)
    window.mainloop()
