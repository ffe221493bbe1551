# SPDX-License-Identifier: GPL-2.0-or-later
"""A small window of our own while the program runs: the best layout so far, and how to end it.

The editor's own "working" window stays blank and cannot stop anything. This one runs in the
editor's Python (3.7 and later) with whatever toolkit is there: Gtk, else Tk. Without either,
`show` raises ImportError and the run goes on to its time limit without a window. What is shown, and
what buttons and keys do, is the `session`'s business.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from extension.host.pictures import Figure
    from extension.host.session import Session

    Fit = Callable[[object, int, int], "Figure | None"]
    """Fits a picture into a box of so many pixels."""
    Paint = Callable[[Figure], str]
    """Makes SVG of it."""

TITLE = "Thriftlay"
MILLISECONDS = 100
"""Time between two looks at the run."""
LETTERS = 58
"""Width of the window, in letters."""
WIDTH, HEIGHT = 440, 190
"""Pixels that a picture may take."""


def show(session: Session, words: tuple[str, str, str], fit: Fit, paint: Paint) -> None:
    """Show the window until the run has ended.

    `words` are the heading and what the two buttons say, that which keeps the best first.
    Raises ImportError when no toolkit can open a window.
    """
    for toolkit in (_show_gtk, _show_tk):
        try:
            toolkit(session, words, fit, paint)
            return
        except (ImportError, ValueError):  # ValueError: gi without Gtk's description
            continue
    raise ImportError("neither Gtk nor Tk can open a window")


def _show_gtk(session: Session, words: tuple[str, str, str], fit: Fit, paint: Paint) -> None:
    import gi

    gi.require_version("Gtk", "3.0")
    gi.require_version("Gdk", "3.0")
    from gi.repository import Gdk, GdkPixbuf, GLib, Gtk

    if not Gtk.init_check()[0]:
        raise ImportError("no screen for Gtk")
    first = session.look()
    if first is None:
        return
    window = Gtk.Window(title=TITLE, resizable=False, window_position=Gtk.WindowPosition.CENTER)
    window.set_keep_above(True)
    box = Gtk.Box(orientation=Gtk.Orientation.VERTICAL, spacing=10, border_width=16)
    heading = Gtk.Label(xalign=0.0)
    heading.set_markup(f"<b>{words[0]}</b>")
    # A fixed width: the window must not jump with every new line.
    line = Gtk.Label(xalign=0.0, wrap=True, width_chars=LETTERS, max_width_chars=LETTERS)
    bar = Gtk.ProgressBar()
    image = Gtk.Image(halign=Gtk.Align.START, no_show_all=True)
    hint = Gtk.Label(xalign=0.0, wrap=True, width_chars=LETTERS, max_width_chars=LETTERS)
    hint.get_style_context().add_class("dim-label")
    buttons = Gtk.Box(spacing=10, halign=Gtk.Align.END)
    cancel, stop = Gtk.Button(label=words[2]), Gtk.Button(label=words[1], no_show_all=True)
    for button in (cancel, stop):
        buttons.add(button)
    for child in (heading, image, line, bar, hint, buttons):
        box.add(child)
    window.add(box)
    shown: list[object] = [None]

    def picture(told: object) -> None:
        if told is shown[0]:
            return
        shown[0] = told
        figure = fit(told, WIDTH, HEIGHT)
        if figure is None:
            return
        try:
            # Drawn by the loader that Gtk draws its icons with: cairo may be missing.
            loader = GdkPixbuf.PixbufLoader.new_with_type("svg")
            loader.write(paint(figure).encode("utf-8"))
            loader.close()
        except GLib.Error:
            return
        image.set_from_pixbuf(loader.get_pixbuf())
        if not image.get_visible():
            image.show()
            x, y = window.get_position()
            window.move(x, max(0, y - figure.size[1] // 2))  # it grows about its middle

    def look(*_: object) -> bool:
        view = session.look()
        if view is None:
            Gtk.main_quit()
            return False
        line.set_text(view.text)
        hint.set_text(view.hint)
        had = stop.get_visible() and stop.get_sensitive()
        stop.set_visible(view.shows_stop)
        stop.set_sensitive(view.can_stop)
        cancel.set_sensitive(view.can_cancel)
        if view.can_stop and not had:
            stop.grab_focus()
        elif had and not view.can_stop:
            # Else the toolkit hands the keys to the other button, which cancels.
            window.set_focus(None)
        picture(view.picture)
        if view.share is None:
            bar.pulse()
        else:
            bar.set_fraction(view.share)
        return True

    def key(_: object, event: Gdk.EventKey) -> bool:
        if event.keyval in (Gdk.KEY_Return, Gdk.KEY_KP_Enter, Gdk.KEY_ISO_Enter):
            session.enter()
        elif event.keyval == Gdk.KEY_Escape:
            session.escape()
        else:
            return False
        look()
        return True

    def closed(*_: object) -> bool:
        session.close()
        return True  # stay open until the run has ended

    window.connect("delete-event", closed)
    window.connect("key-press-event", key)

    def then(act: Callable[[], None]) -> Callable[..., None]:
        def acted(*_: object) -> None:
            act()
            look()

        return acted

    stop.connect("clicked", then(session.stop))
    cancel.connect("clicked", then(session.cancel))
    window.show_all()
    window.set_focus(None)
    if look():
        GLib.timeout_add(MILLISECONDS, look)
        Gtk.main()
    window.destroy()


def _show_tk(session: Session, words: tuple[str, str, str], fit: Fit, paint: Paint) -> None:
    import tkinter
    from tkinter import ttk

    try:
        window = tkinter.Tk()
    except tkinter.TclError as error:
        raise ImportError("no screen for Tk") from error
    window.title(TITLE)
    window.resizable(False, False)
    window.attributes("-topmost", True)
    box = ttk.Frame(window, padding=16)
    box.pack()
    line, hint = tkinter.StringVar(), tkinter.StringVar()
    bar = ttk.Progressbar(box, length=WIDTH, maximum=1.0)
    canvas = tkinter.Canvas(box, width=WIDTH, height=1, highlightthickness=0)
    buttons = ttk.Frame(box)
    ttk.Label(box, text=words[0], font="TkHeadingFont").pack(anchor="w", pady=4)
    text = ttk.Label(box, textvariable=line, wraplength=WIDTH, width=LETTERS)
    text.pack(anchor="w", pady=4)
    bar.pack(fill="x", pady=4)
    ttk.Label(box, textvariable=hint, wraplength=WIDTH).pack(anchor="w", pady=4)
    buttons.pack(anchor="e", pady=4)

    def then(act: Callable[[], None]) -> Callable[..., None]:
        def acted(*_: object) -> None:
            act()
            show_view()

        return acted

    cancel = ttk.Button(buttons, text=words[2], command=then(session.cancel))
    stop = ttk.Button(buttons, text=words[1], command=then(session.stop))
    cancel.pack(side="left", padx=5)
    window.protocol("WM_DELETE_WINDOW", then(session.close))
    for sign in ("<Return>", "<KP_Enter>"):
        window.bind(sign, then(session.enter))
    window.bind("<Escape>", then(session.escape))
    window.focus_set()
    shown: list[object] = [None]

    def picture(told: object) -> None:
        if told is shown[0]:
            return
        shown[0] = told
        figure = fit(told, WIDTH, HEIGHT)
        if figure is None:
            return
        canvas.delete("all")
        canvas.configure(height=figure.size[1])
        if not canvas.winfo_ismapped():
            canvas.pack(before=text, anchor="w", pady=4)
            window.update_idletasks()
            window.eval("tk::PlaceWindow . center")
        for (fill, edge), points in figure.polygons:
            flat = [part for point in points for part in point]
            canvas.create_polygon(*flat, fill=fill, outline=edge)
        for at, word in figure.words:
            canvas.create_text(
                *at, text=word, anchor="sw", fill="#6b6b6b", font="TkSmallCaptionFont"
            )

    def show_view() -> bool:
        view = session.look()
        if view is None:
            window.destroy()
            return False
        line.set(view.text)
        hint.set(view.hint)
        if view.shows_stop:
            stop.pack(side="left")
        else:
            stop.pack_forget()
        had = not stop.instate(["disabled"])
        stop.state(["!disabled" if view.can_stop else "disabled"])
        cancel.state(["!disabled" if view.can_cancel else "disabled"])
        if view.can_stop and window.focus_get() in (None, window):
            stop.focus_set()  # as in Gtk: the space bar presses it
        elif had and not view.can_stop:
            window.focus_set()
        picture(view.picture)
        bar.configure(mode="indeterminate" if view.share is None else "determinate")
        if view.share is None:
            bar.step(0.05)
        else:
            bar.configure(value=view.share)
        return True

    def look() -> None:
        if show_view():
            window.after(MILLISECONDS, look)

    if not show_view():
        return
    window.eval("tk::PlaceWindow . center")
    window.after(MILLISECONDS, look)
    window.mainloop()
