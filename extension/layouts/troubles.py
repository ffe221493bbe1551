# SPDX-License-Identifier: GPL-2.0-or-later
"""Faults that only a drawing can have: outlines that are not their originals', originals gone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extension.language.rounding import figures, small_text
from extension.language.words import counted, listed
from extension.layouts.frame import Frame
from extension.layouts.recognise import LaidPart
from extension.layouts.situation import Finding, Names, Own, Situation
from nesting.judge.verdict import capital, part_key

WIDTH_SLACK = 0.5
"""mm by which the drawn cloth may differ from the width of the settings."""


def of_outlines(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts that are no parts any more, that were reshaped, or whose original is gone."""
    yield from _wrecks(situation)
    yield from _reshaped(situation, names)
    yield from _originals(situation, names)


def _reshaped(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts whose outline is not their original's, by which of the two was changed."""
    for id_, cut in situation.cuts.items():
        own = [part for part in situation.parts if part.cut and part.cut.piece.id == id_]
        edited = [part for part in own if part.trouble == "edited"]
        if edited:
            sentence = (
                f"{cut.title}: its original ({cut.drawn.id}) was edited after this layout: "
                "lay out again"
            )
            yield of_parts("edited", edited, names, max(p.amount for p in edited), sentence)
    for part in situation.parts:
        if part.trouble == "resized":
            how = "has been reshaped"
            share = f"{figures(100.0 + part.amount, 4)} %"
            if abs(part.amount) >= 0.05 and part.is_scaled:
                how = f"has been resized to {share}"
            elif abs(part.amount) >= 0.05:
                how = f"has been reshaped: its outline is {share} as long as before"
            yield of_parts("resized", [part], names, part.amount, f"{names.label(part)} {how}")


def _wrecks(situation: Situation) -> Iterator[Finding]:
    """Yield what is left of parts that are missing, and outlines that hold several parts."""
    for wreck, claim in zip(situation.wrecks, situation.claims, strict=True):
        if not claim and not wreck.needs_cloth:
            continue  # Its part was replaced: worth a note, but no fault.
        labels = [situation.cuts[id_].label_of((copy,)) for id_, copy in claim]
        labels = labels or [cut.title for cut in wreck.cuts]
        name = labels[0] if labels else "A part"
        if wreck.kind == "several":
            sentence = (
                f"{capital(listed(labels))} are in one outline ({wreck.id}), so they are not "
                "recognised: undo that, or break it apart (Path > Break Apart)"
            )
        elif wreck.kind == "lost":
            sentence = (
                f"{name} has lost its outline, so it is missing: undo that, or delete what is "
                f"left of it ({wreck.id}) and lay out again"
            )
        else:
            sentence = (
                f"{name} is not recognised: another outline stands in its place ({wreck.id}), "
                "united, cut or redrawn: undo that, or lay out again"
            )
        keys = tuple(part_key(id_, copy) for id_, copy in claim)
        amount = float(max(len(claim), 1))
        yield Finding("outline", keys, (wreck.id,), amount, sentence, wreck.areas)


def _originals(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield originals that are gone, with the parts that are left of them, if any."""
    known = {piece.of: piece for piece in situation.gone}
    left: dict[str, list[LaidPart]] = {of: [] for of in known}
    for part in situation.parts:
        if part.trouble == "original":
            left.setdefault(part.found.of, []).append(part)
    for source, parts in left.items():
        piece = known.get(source)
        title = piece.title if piece else names.label(parts[0])
        if parts:
            sentence = (
                f"{title}: its original “{source}” is no longer in the drawing, so grain, hand and "
                f"count of {counted(len(parts), 'part')} cannot be checked: bring it back, or lay "
                "out again without it"
            )
        elif piece is not None and piece.left_over == piece.copies:
            sentence = (
                f"{title} was left over when this was laid, and its original “{source}” is no "
                "piece of the drawing any more: bring it back, or lay out again without it"
            )
        else:
            sentence = (
                f"{title} was laid here, but neither its parts nor its original “{source}” are "
                "pieces of the drawing any more: bring them back, or lay out again without it"
            )
        amount = float(len(parts) or known[source].copies)
        yield of_parts("original", parts, names, amount, sentence)


def of_cloth(frame: Frame) -> Iterator[Finding]:
    """Yield cloth that is drawn with another width than the layout was made for."""
    off = frame.drawn_width - frame.width
    if abs(off) > WIDTH_SLACK:
        sentence = (
            f"The cloth is drawn {small_text(round(frame.drawn_width, 1), 'metric')} wide, but "
            f"this layout is for {small_text(frame.width, 'metric')}: lay out again for another "
            "width"
        )
        yield Finding("cloth", (), (), abs(off), sentence)


def of_parts(
    kind: Own, parts: Sequence[LaidPart], names: Names, amount: float, sentence: str
) -> Finding:
    """Return a fault of whole parts."""
    return Finding(
        kind,
        tuple(names.key(part) for part in parts),
        tuple(part.found.id for part in parts),
        amount,
        sentence,
        tuple(part.polygon for part in parts),
    )
