# SPDX-License-Identifier: GPL-2.0-or-later
"""Turns a drawing into leaves: everything that is drawn, with groups, clones and styles resolved.

What is hidden: an object (or a group or layer round it) with `display: none`, and one whose
visibility is `hidden`. An object without any paint, or of opacity 0, is not hidden: outlines are
often left unpainted while a pattern is being made, and the editor still selects them.

A hidden object is read as far as it can be; every other one is read or refused by name.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import RESULT_LAYERS, lay
from extension.language.units import Viewport
from extension.language.words import begun
from extension.svg.basic_shapes import SHAPES, Measures
from extension.svg.document import MAX_DEPTH, Document
from extension.svg.extents import Extents, Surroundings
from extension.svg.flatten import TOLERANCE
from extension.svg.identities import (
    Identities,
    described,
    is_layer,
    is_locked,
    kind_of,
    label_of,
    lay_attributes,
    plain_attributes,
    put_together,
)
from extension.svg.model import Clip, Group, Leaf, Matrix
from extension.svg.seen import Sight, noun_of, quoted
from extension.svg.styles import Styles, font_size, inherit
from extension.svg.texts import TEXTS
from extension.svg.transforms import (
    IDENTITY,
    multiply,
    parse_transform,
    translation,
)
from extension.svg.viewports import fit_view_box, parse_view_box
from nesting.errors import first_and_count

MAX_SHOWN = 40_000
"""How many objects we read, those shown by clones counted each time."""

_GROUPS = frozenset({"g", "a", "svg", "switch"})
_DRAWN = _GROUPS | SHAPES | TEXTS | {"use", "image"}
_CSS_TRANSFORMS = ("transform", "translate", "rotate", "scale")
_LAYOUTS = tuple(map(lay, RESULT_LAYERS))
_CLIP = re.compile(r"""url\(\s*["']?#([^"')]+)["']?\s*\)""")


def read_leaves(
    document: Document,
    tolerance_mm: float = TOLERANCE,
    include_layouts: bool = False,
    within: etree._Element | None = None,
) -> tuple[Leaf, ...]:
    """Return everything drawn in a document, in document order; what clones show at the clone.

    `tolerance_mm` is how far a ring may leave what is drawn, on the page. Layers that hold a
    layout, a review of one or a table are passed over unless they are asked for, and so are pages
    that a sheet was put together from; decoration that cannot be read is passed over then as well.
    A shape that draws nothing, and a clone of nothing, is a leaf without rings.
    Raises DrawingError naming the first object that cannot be read, and the number of others.
    `within` is a child of the root, such as a layer, of which alone everything is returned.
    """
    reader = _Reader(document, tolerance_mm, include_layouts)
    return reader.read(list(document.root.iterchildren("*")) if within is None else [within])


@dataclass(frozen=True, eq=False, slots=True)
class _Clone:
    """The clone, or chain of clones, that directly shows what is read next."""

    id: str
    label: str
    attributes: Mapping[str, str]
    element: etree._Element
    """The last clone of the chain, which says how large a symbol is."""


class _Refused(ValueError):
    """What is read is plain, but no one can say what it shows: the rest of a sentence."""


@dataclass(frozen=True, eq=False, slots=True)
class _Context(Surroundings):
    """All that surrounds an element."""

    groups: tuple[Group, ...] = ()
    hidden: bool = False
    locked: bool = False
    clone: _Clone | None = None
    cloned: bool = False
    within: tuple[etree._Element, ...] = ()
    """Every element this one is read inside of, and the clones it is shown by."""
    clips: tuple[Clip, ...] = ()


class _Reader:
    """Walks a drawing once."""

    def __init__(self, document: Document, tolerance_mm: float, include_layouts: bool) -> None:
        self._document = document
        self._include_layouts = include_layouts
        self._identities = Identities(document.root)
        self._put = frozenset() if include_layouts else put_together(document.root)
        self._styles = Styles(document.root)
        self._leaves: list[Leaf] = []
        self._sight = Sight(self._leaves)
        self._faults: list[tuple[str, str]] = []
        self._extents = Extents(self._identities, self._styles, tolerance_mm)
        self._shown = 0

    def read(self, children: Sequence[etree._Element]) -> tuple[Leaf, ...]:
        """Return the leaves of some children of the root, or raise for all faults at once."""
        root = self._document.root
        context = _Context(self._document.page, {}, self._document.viewport)
        try:
            context = self._inside(root, context, transformed=False)
        except ValueError as error:
            self._blame(root, context, error)
        for child in children:
            self._visit(child, context)
        if self._faults:
            sentences = [sentence for sentence, _ in self._faults]
            raise DrawingError(first_and_count(sentences), self._faults[0][1])
        return tuple(self._leaves)

    def _visit(self, element: etree._Element, context: _Context) -> None:
        """Read one element and all it holds, unless it is none that is drawn."""
        kind = kind_of(element)
        is_symbol = kind == "symbol" and context.clone is not None
        if kind not in _DRAWN and not is_symbol:
            return
        if not self._include_layouts and any(element.get(name) for name in _LAYOUTS):
            return
        if not context.cloned and self._identities.id_of(element) in self._put:
            return
        self._count(element, context)
        inner = context
        try:
            inner = self._inside(element, context)
            if kind == "use":
                self._visit_clone(element, inner)
            elif kind in _GROUPS or is_symbol:
                self._visit_group(element, kind, inner)
            else:
                self._leaves.append(self._leaf(element, kind, inner))
        except ValueError as error:
            if not inner.hidden and not _is_decoration(element, inner):
                self._blame(element, context, error)

    def _count(self, element: etree._Element, context: _Context) -> None:
        """Stop at drawings that clones of clones make endless."""
        self._shown += 1
        if self._shown > MAX_SHOWN:
            raise DrawingError(
                f"The drawing shows more than {MAX_SHOWN:,} objects, counting what clones show: "
                "keep only the pieces of one pattern in it.",
                self._name(element, context)[0],
            )
        if len(context.within) > MAX_DEPTH:
            raise DrawingError(
                f"{self._called(element, context)} lies more than {MAX_DEPTH} groups "
                "and clones deep: ungroup some of them.",
                self._name(element, context)[0],
            )

    def _name(self, element: etree._Element, context: _Context) -> tuple[str, str]:
        """Return the id and the label of an element, or of the clone that directly shows it."""
        label = label_of(element)
        if context.clone is None:
            return self._identities.id_of(element), label
        return context.clone.id, context.clone.label or label

    def _called(self, element: etree._Element, context: _Context) -> str:
        """Return how messages call an element of which nothing could be read yet but its kind."""
        within = [
            name
            for group in reversed(context.groups)
            if (name := " ".join((group.attributes.get("name") or group.label).split()))
        ]
        kind = kind_of(element)
        words = " ".join(map(str, element.itertext())) if kind in TEXTS else ""
        what = f"{noun_of(kind)} {quoted(words)}" if words.strip() else noun_of(kind)
        where = f" in “{within[0]}”" if within else ""
        return described(*self._name(element, context), f"the {what}{where}")

    def _blame(self, element: etree._Element, context: _Context, error: ValueError) -> None:
        """Note a fault for the one message at the end."""
        object_id, _ = self._name(element, context)
        fault = f"has a part that cannot be read (“{error}”): correct it, or delete it."
        if isinstance(error, _Refused):
            fault = str(error)
        self._faults.append((begun(f"{self._called(element, context)} {fault}"), object_id))

    def _inside(
        self, element: etree._Element, context: _Context, transformed: bool = True
    ) -> _Context:
        """Return what surrounds the inside of an element: its transform and style applied."""
        own = self._styles.own(element)
        if any(own.get(name, "none") != "none" for name in _CSS_TRANSFORMS):
            # Browsers apply it, the editor does not: there is no one place where it lies.
            raise _Refused(
                "has a transform in its style, which the editor does not show: "
                "put it into the transform attribute, or remove it."
            )
        matrix = context.matrix
        if transformed:
            matrix = multiply(matrix, parse_transform(element.get("transform")))
        locked = context.locked or (is_locked(element) and not context.cloned)
        return replace(
            context,
            matrix=matrix,
            style=inherit(own, context.style),
            hidden=context.hidden or own.get("display") == "none",
            locked=locked,
            within=(*context.within, element),
            clips=(*context.clips, *self._clips(own.get("clip-path", "none"), matrix)),
        )

    def _clips(self, said: str, matrix: Matrix) -> tuple[Clip, ...]:
        """Return what `clip-path` says on an element: nothing, or a clip path of this drawing."""
        found = _CLIP.fullmatch(said.strip())
        return () if found is None else (Clip(self._identities.find(found[1]), matrix),)

    def _visit_group(self, element: etree._Element, kind: str, inner: _Context) -> None:
        """Read what a group, layer, link, switch, symbol or drawing in the drawing holds."""
        matrix, viewport = inner.matrix, inner.viewport
        if kind in ("svg", "symbol"):
            matrix, viewport = self._viewport_inside(element, kind, inner)
        object_id, label = self._name(element, inner)
        own = lay_attributes(element)
        clone = inner.clone
        attributes = own if clone is None else {**own, **clone.attributes}
        layer = clone is None and is_layer(element)
        group = Group(object_id, label, layer, attributes, clone is not None, self._sight)
        context = replace(
            inner, matrix=matrix, viewport=viewport, groups=(*inner.groups, group), clone=None
        )
        for child in _shown_children(element, kind):
            self._visit(child, context)

    def _viewport_inside(
        self, element: etree._Element, kind: str, inner: _Context
    ) -> tuple[Matrix, Viewport]:
        """Return the matrix and the viewport inside a symbol or a drawing in the drawing."""
        measures = Measures(inner.viewport, font_size(inner.style))
        own = plain_attributes(element)
        given = own
        matrix = inner.matrix
        if kind == "svg":
            if inner.clone is not None or parse_transform(own.get("transform")) != IDENTITY:
                # Here, too, the editor and browsers show different things.
                raise _Refused(
                    "is a drawing inside the drawing, and cloned or moved as a whole, which the "
                    "editor does not show: ungroup it."
                )
            x, y = measures.of(own, "x", "x"), measures.of(own, "y", "y")
            matrix = multiply(matrix, translation(x, y))
        elif inner.clone is not None:
            given = {**own, **plain_attributes(inner.clone.element)}
        width, height = (
            inner.viewport[axis] if side is None else side
            for axis, side in enumerate(
                (measures.given(given, "width", "x"), measures.given(given, "height", "y"))
            )
        )
        view_box = parse_view_box(own.get("viewBox"))
        if view_box is None:
            return matrix, (width, height)
        fitted = fit_view_box(view_box, width, height, own.get("preserveAspectRatio"))
        return multiply(matrix, fitted), (view_box[2], view_box[3])

    def _visit_clone(self, element: etree._Element, inner: _Context) -> None:
        """Read what a clone shows; one that shows nothing is a leaf without rings."""
        try:
            shown = self._identities.shown_by(element)
        except ValueError as error:
            raise _Refused(
                f"is a clone of something in another file (“{error}”): "
                "copy that into this drawing and clone it there."
            ) from None
        if shown is None or not _can_be_cloned(shown):
            self._leaves.append(self._leaf(element, "use", inner))
            return
        if shown in inner.within:
            raise _Refused("is a clone that shows itself, or what it lies in: delete it.")
        measures = Measures(inner.viewport, font_size(inner.style))
        own = plain_attributes(element)
        moved = translation(measures.of(own, "x", "x"), measures.of(own, "y", "y"))
        object_id, label = self._name(element, inner)
        attributes = lay_attributes(element)
        outer = inner.clone
        if outer is not None:
            attributes.update(outer.attributes)
        clone = _Clone(object_id, label, attributes, element)
        context = replace(inner, matrix=multiply(inner.matrix, moved), clone=clone, cloned=True)
        self._visit(shown, context)

    def _leaf(self, element: etree._Element, kind: str, inner: _Context) -> Leaf:
        """Return one thing that is drawn."""
        object_id, label = self._name(element, inner)
        attributes = lay_attributes(element)
        if inner.clone is not None:
            attributes.update(inner.clone.attributes)
        called = (object_id, self._called(element, inner))
        extent = self._extents.of(element, kind, inner, called)
        return Leaf(
            id=object_id,
            label=label,
            element=element,
            matrix=inner.matrix,
            style=inner.style,
            attributes=attributes,
            groups=inner.groups,
            rings=extent.rings,
            box=extent.box,
            hidden=inner.hidden or inner.style.get("visibility") in ("hidden", "collapse"),
            locked=inner.locked,
            text=extent.text,
            far=extent.far,
            clips=inner.clips,
            sight=self._sight,
            measures=Measures(inner.viewport, font_size(inner.style)),
        )


def _is_decoration(element: etree._Element, context: _Context) -> bool:
    """Return whether an element is what we drew round parts, which nobody needs to read."""
    lines = (element, *context.within)
    if any(one.get(lay(name)) is not None for one in lines for name in ("review", "table")):
        return True
    on_layout = any(one.get(lay("layout")) is not None for one in lines)
    return on_layout and element.get(lay("decoration")) is not None


def _can_be_cloned(element: etree._Element) -> bool:
    """Return whether a clone of this shows anything."""
    return kind_of(element) in _DRAWN or kind_of(element) == "symbol"


def _shown_children(element: etree._Element, kind: str) -> list[etree._Element]:
    """Return the children that are shown: of a switch the first whose conditions hold."""
    children = list(element.iterchildren("*"))
    if kind != "switch":
        return children
    fitting = (child for child in children if kind_of(child) and _conditions_hold(child))
    return list(itertools.islice(fitting, 1))


def _conditions_hold(element: etree._Element) -> bool:
    """Return whether a child of a switch may be shown: no extensions known, English read."""
    if (element.get("requiredExtensions") or "").strip():
        return False
    languages = element.get("systemLanguage")
    if languages is None:
        return True
    return any(word.strip().lower().split("-")[0] == "en" for word in languages.split(","))
