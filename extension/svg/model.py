# SPDX-License-Identifier: GPL-2.0-or-later
"""What is drawn, every group and clone resolved: plain frozen data.

All of it is in *page* coordinates: millimetres as the drawing shows them, y down.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

from lxml import etree

from extension.svg.basic_shapes import Measures
from nesting.model import Outline

Matrix = tuple[tuple[float, float, float], tuple[float, float, float]]
"""An affine map ((a, c, e), (b, d, f)): x' = a x + c y + e, y' = b x + d y + f."""

REACH = 1e6
"""mm from the corner of the page, across or down, beyond which nothing is read: 1 km. A stray
object there would cost everything its precision."""


WHOLE_PAGE = Measures((100.0, 100.0))
"""For what stands in no drawing that says how large it is."""


class Seen(Protocol):
    """What is seen of a whole drawing, asked when a thing without a name is to be told of."""

    def of(self, thing: Leaf | Group, noun: str = "") -> str:
        """Return how messages call a leaf or a group that has no name."""


@dataclass(frozen=True, slots=True)
class Ring:
    """One subpath of a drawn object, flattened, in page mm (y down), without a repeated last point.

    `closed` says whether the drawing closes it (or its ends meet).
    """

    points: Outline
    closed: bool


@dataclass(frozen=True, eq=False, slots=True)
class Group:
    """A group, layer, or clone of a group that encloses a leaf.

    For a clone `id` is the clone's, and `attributes` are those of what it shows with the clone's
    own on top. `attributes` are the `lay:` attributes by name without prefix; `label` is the name
    the editor shows for it. `is_clone`: whether it stands for a clone of a group.
    """

    id: str
    label: str
    is_layer: bool
    attributes: Mapping[str, str]
    is_clone: bool = False
    sight: Seen | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Clip:
    """A clip path round what is drawn: its `element`, and the map to page mm from where it is used.

    `element` is None when the drawing has no such clip path: nothing is clipped then.
    """

    element: etree._Element | None
    matrix: Matrix


@dataclass(frozen=True, eq=False, slots=True)
class Leaf:
    """One thing that is drawn: a shape, text or image, with every group and clone resolved.

    `id` is the id of the object, or of the clone that shows it directly. `element` belongs to the
    parsed working copy and is never changed; `matrix` maps the element's own coordinates (inside
    its own `transform`) to page mm; `style` is the resolved style with inheritance; `attributes`
    are the `lay:` attributes that stand on it (a clone's own over those of what it shows).
    `groups` enclose it, outermost first. `rings` is empty for text and images, whose `text` and
    rough `box` (x_low, y_low, x_high, y_high, page mm) stand in. Leaves come in document order.
    """

    id: str
    label: str
    element: etree._Element
    matrix: Matrix
    style: Mapping[str, str]
    attributes: Mapping[str, str]
    groups: tuple[Group, ...]
    rings: tuple[Ring, ...]
    box: tuple[float, float, float, float]
    hidden: bool = False
    locked: bool = False
    text: str = ""
    far: bool = False
    """Whether it reaches farther from the page than numbers can follow (`REACH`). It has no rings
    and no text then, and its box is the corner of the page."""
    clips: tuple[Clip, ...] = ()
    """The clip paths that it is seen through, outermost first. Rings and box are without them."""
    sight: Seen | None = None
    """The drawing that it is seen in."""
    measures: Measures = WHOLE_PAGE
    """What its lengths in percentages and letters are measured against, where it stands."""


Reason = Literal[
    "hidden",
    "locked",
    "unmarked",
    "frame",
    "test square",
    "marked to leave out",
    "other size",
    "other material",
    "no grainline",
    "mark of no piece",
    "too far away",
    "flaw on no cloth",
    "gone",
]
"""Why an object is not laid, in the short phrases of the report."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An object that is not laid, and why."""

    object_id: str
    reason: Reason
    label: str = ""
    seen: str = ""
    """How messages call it where it has no label; the id follows in brackets."""
    materials: tuple[str, ...] = ()
    """From what it would be cut, where that is known."""
