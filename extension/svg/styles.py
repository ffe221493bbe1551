# SPDX-License-Identifier: GPL-2.0-or-later
"""How things are drawn: style sheets, presentation attributes, style attributes, inheritance."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

import tinycss2
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.units import MEDIUM, user_units
from extension.svg.identities import SVG
from extension.svg.selectors import Memory, key_of, keys_of, matches, parse_selectors

Style = Mapping[str, str]

MAX_LOOKS = 500_000
"""How many pairs of a rule and an element we compare for one drawing."""

# SVG 1.1, appendix N.2; and what SVG 2 adds.
_PRESENTATION_WORDS = """
    alignment-baseline baseline-shift clip clip-path clip-rule color color-interpolation
    color-interpolation-filters color-profile color-rendering cursor direction display
    dominant-baseline enable-background fill fill-opacity fill-rule filter flood-color
    flood-opacity font font-family font-size font-size-adjust font-stretch font-style font-variant
    font-weight glyph-orientation-horizontal glyph-orientation-vertical image-rendering kerning
    letter-spacing lighting-color marker marker-end marker-mid marker-start mask opacity overflow
    paint-order pointer-events shape-rendering stop-color stop-opacity stroke stroke-dasharray
    stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit stroke-opacity stroke-width
    text-anchor text-decoration text-rendering unicode-bidi vector-effect visibility white-space
    word-spacing writing-mode
"""
_NOT_INHERITED_WORDS = """
    alignment-baseline baseline-shift clip clip-path display dominant-baseline enable-background
    filter flood-color flood-opacity isolation lighting-color mask mix-blend-mode opacity overflow
    stop-color stop-opacity text-decoration transform transform-box transform-origin unicode-bidi
    vector-effect
"""
_PRESENTATION = frozenset(_PRESENTATION_WORDS.split())
_NOT_INHERITED = frozenset(_NOT_INHERITED_WORDS.split())
_KEYWORDS = {
    "xx-small": 6.0,
    "x-small": 8.0,
    "small": 10.0,
    "medium": MEDIUM,
    "large": 14.0,
    "x-large": 18.0,
    "xx-large": 24.0,
}
"""As the editor has them, in user units."""
# Quoted or bracketed text may hold a semicolon; what is not closed goes on to the end.
_DECLARATION = re.compile(r"(?:[^;\"'(]|\"[^\"]*(?:\"|$)|'[^']*(?:'|$)|\([^)]*(?:\)|$))+")
_FONT_SIZE = re.compile(r"(?:^|\s)([\d.]+(?:[a-z]+|%))(?:/|\s)")


class Styles:
    """The style sheets of a drawing, and the cascade over them."""

    def __init__(self, root: etree._Element) -> None:
        self._rules: dict[str, list[_Rule]] = {}
        self._memory: Memory = {}
        self._looks = 0
        self._parsed: dict[str, tuple[dict[str, str], dict[str, str]]] = {}
        count = 0
        for sheet in root.iter(f"{{{SVG}}}style"):
            if sheet.get("type", "text/css").strip() == "text/css":
                for rule in _read_rules("".join(map(str, sheet.itertext())), count):
                    self._rules.setdefault(key_of(rule.tree), []).append(rule)
                    count += 1

    def own(self, element: etree._Element) -> dict[str, str]:
        """Return what is said of an element itself: attributes, then rules, then its style."""
        declared = {
            str(name): str(value).strip()
            for name, value in element.attrib.items()
            if name in _PRESENTATION
        }
        rules = self._rules_for(element)
        normal, important = self._parse(element.get("style") or "")
        for rule in rules:
            declared.update(rule.normal)
        declared.update(normal)
        for rule in rules:
            declared.update(rule.important)
        declared.update(important)
        return _spelt_out(declared)

    def _rules_for(self, element: etree._Element) -> list[_Rule]:
        """Return the rules for an element, the weakest first."""
        if not self._rules:
            return []
        likely = [rule for key in keys_of(element) for rule in self._rules.get(key, ())]
        self._looks += len(likely)
        if self._looks > MAX_LOOKS:
            raise DrawingError(
                "The drawing has too many style rules for its many objects: "
                "open it in the editor and save it as plain SVG."
            )
        found = [rule for rule in likely if matches(rule.tree, element, self._memory)]
        return sorted(found, key=lambda rule: rule.weight)

    def _parse(self, text: str) -> tuple[dict[str, str], dict[str, str]]:
        """Return the declarations of a style attribute; many elements share the same words."""
        if text not in self._parsed:
            self._parsed[text] = parse_declarations(text)
        return self._parsed[text]


def parse_declarations(text: str) -> tuple[dict[str, str], dict[str, str]]:
    """Return the declarations of a style attribute: the normal and the important ones."""
    normal: dict[str, str] = {}
    important: dict[str, str] = {}
    for declaration in _DECLARATION.findall(_without_comments(text)):
        name, colon, value = declaration.partition(":")
        plain, bang, _ = value.partition("!important")
        if colon and plain.strip():
            (important if bang else normal)[name.strip().lower()] = plain.strip()
    return normal, important


def _without_comments(text: str) -> str:
    """Return declarations with a space for each comment that is closed."""
    kept, start = [], 0
    while (opened := text.find("/*", start)) >= 0:
        closed = text.find("*/", opened + 2)
        if closed < 0:
            break
        kept += [text[start:opened], " "]
        start = closed + 2
    return "".join([*kept, text[start:]])


def inherit(own: Mapping[str, str], parent: Style) -> dict[str, str]:
    """Return the resolved style of an element within one that has the style `parent`.

    `font-size` comes out as a number of user units; the colour words `currentColor` of fill and
    stroke as the colour they mean.
    """
    style = {name: value for name, value in parent.items() if name not in _NOT_INHERITED}
    for name, value in own.items():
        if value == "inherit":
            if name in parent:
                style[name] = parent[name]
        else:
            style[name] = value
    if "font-size" in own:
        style["font-size"] = repr(_font_size(own["font-size"], font_size(parent)))
    for paint in ("fill", "stroke"):
        if style.get(paint, "").lower() == "currentcolor":
            style[paint] = style.get("color", "black")
    return style


def font_size(style: Style) -> float:
    """Return the font size of a resolved style in user units."""
    return float(style.get("font-size", MEDIUM))


def _font_size(text: str, parent: float) -> float:
    """Return a font size in user units; what cannot be read is the parent's."""
    word = text.lower()
    if word in _KEYWORDS:
        return _KEYWORDS[word]
    if word in ("larger", "smaller"):
        return parent * (1.2 if word == "larger" else 1 / 1.2)
    try:
        size = user_units(word, (parent, parent), "x", parent)
    except ValueError:
        return parent
    return size if size >= 0.0 else parent


def _spelt_out(declared: dict[str, str]) -> dict[str, str]:
    """Return declarations with the shorthands `marker` and `font` (its size) spelt out."""
    if "marker" in declared:
        shorthand = declared.pop("marker")
        for place in ("marker-start", "marker-mid", "marker-end"):
            declared.setdefault(place, shorthand)
    size = _FONT_SIZE.search(declared.get("font", ""))
    if size is not None:
        declared.setdefault("font-size", size[1])
    return declared


class _Rule:
    """One selector of a style sheet with its declarations."""

    def __init__(
        self,
        tree: object,
        weight: tuple[tuple[int, int, int], int],
        normal: dict[str, str],
        important: dict[str, str],
    ) -> None:
        self.tree, self.weight = tree, weight
        self.normal, self.important = normal, important


def _read_rules(sheet: str, first: int) -> list[_Rule]:
    """Return the rules of a style sheet. Raises DrawingError when it is nested without end."""
    try:
        return list(_rules_of(sheet, first))
    except RecursionError:
        raise DrawingError(
            "A style sheet of the drawing nests brackets too deep to be read: "
            "open it in the editor and save it as plain SVG."
        ) from None


def _rules_of(sheet: str, first: int) -> Iterable[_Rule]:
    """Yield the rules of a style sheet, numbered from `first`; at-rules are passed over."""
    for rule in tinycss2.parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True):
        if rule.type != "qualified-rule":
            continue
        normal, important = parse_declarations(tinycss2.serialize(rule.content))
        for selector in parse_selectors(tinycss2.serialize(rule.prelude)):
            weight = (selector.specificity(), first)
            yield _Rule(selector.parsed_tree, weight, normal, important)
            first += 1
