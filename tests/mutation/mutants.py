# SPDX-License-Identifier: GPL-2.0-or-later
"""Mutants of a module: its text with one thing changed, each with a name that outlives other edits.

Changed are constants (a figure by a quarter up and down, a count by one, a truth, a keyword),
comparisons (their side and their edge), boolean operators and their operands, arithmetic, least and
greatest, conditions taken as settled, members of what is returned or listed, returned values, and
whole statements. Words of sentences and docstrings stay.
"""

from __future__ import annotations

import ast
import copy
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.Gt),
    ast.LtE: (ast.Lt, ast.GtE),
    ast.Gt: (ast.GtE, ast.Lt),
    ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
TWINS = {
    "min": "max",
    "max": "min",
    "minimum": "maximum",
    "maximum": "minimum",
    "any": "all",
    "all": "any",
    "argmin": "argmax",
    "argmax": "argmin",
    "floor": "ceil",
    "ceil": "floor",
    "union": "intersection",
    "intersection": "union",
}
"""Functions and the one that is most easily taken for them."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: a name to know it by, the line it is on, and the changed module."""

    name: str
    line: int
    tree: ast.Module


def mutants_of(text: str) -> Iterator[Mutant]:
    """Yield every mutant of a module's text, in the order of its lines."""
    module = ast.parse(text)
    seen: Counter[str] = Counter()
    sites = [node for node in ast.walk(module) if hasattr(node, "lineno")]
    places = _places(module)
    for node in sorted(sites, key=lambda one: (one.lineno, one.col_offset)):
        if node not in places:
            continue
        for changed in _changes(node):
            name = f"{places[node]}: {_told(node, changed)}"
            seen[name] += 1
            if seen[name] > 1:
                name += f" ({seen[name]})"
            yield Mutant(name, node.lineno, _with(module, node, changed))


def _places(module: ast.Module) -> dict[ast.AST, str]:
    """Return the function or class each node stands in; nodes that only speak are left out."""
    places: dict[ast.AST, str] = {}

    def visit(node: ast.AST, place: str) -> None:
        named = isinstance(node, ast.FunctionDef | ast.ClassDef)
        inner = f"{place}.{node.name}".lstrip(".") if named else place  # type: ignore[attr-defined]
        places[node] = inner or "module"
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST) and not _speaks(child):
                    visit(child, inner)

    visit(module, "")
    return places


def _speaks(node: ast.AST) -> bool:
    """Return whether a node is a docstring, a sentence, an import or the words of a type."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr):
        return True
    if isinstance(node, ast.Subscript) and ast.unparse(node.value) == "Literal":
        return True
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return True
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value


def _told(node: ast.AST, changed: ast.AST) -> str:
    """Return a change in words: what stood there and what stands there now."""
    if isinstance(node, ast.Tuple | ast.List) and isinstance(changed, ast.Tuple | ast.List):
        gone = [one for one in node.elts if one not in changed.elts]
        return f"without {_words(gone[0])}"
    if isinstance(node, ast.comprehension) and isinstance(changed, ast.comprehension):
        return f"without if {_words(node.ifs[0])}"
    return f"{_words(node)} -> {_words(changed)}"


def _words(node: ast.AST) -> str:
    """Return a node's code in one line, without what is indented under it."""
    if isinstance(node, ast.If | ast.While):
        return f"if {ast.unparse(node.test)}: …"
    if isinstance(node, ast.For):
        return f"for {ast.unparse(node.target)} in {ast.unparse(node.iter)}: …"
    return ast.unparse(node).replace("\n", " ")


def _changes(node: ast.AST) -> Iterator[ast.AST]:
    """Yield what could stand in a node's place."""
    if isinstance(node, ast.stmt):
        yield from _of_statement(node)
    elif isinstance(node, ast.Constant):
        yield from (ast.Constant(value) for value in _of_constant(node.value))
    elif isinstance(node, ast.Compare):
        yield from _of_comparison(node)
    elif isinstance(node, ast.BoolOp):
        yield _like(node, op=ast.And() if isinstance(node.op, ast.Or) else ast.Or())
        yield from node.values
    elif isinstance(node, ast.UnaryOp) and not isinstance(node.operand, ast.Constant):
        yield node.operand
    elif isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC:
        yield _like(node, op=ARITHMETIC[type(node.op)]())
    elif isinstance(node, ast.IfExp):
        yield from (node.body, node.orelse)
    elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in TWINS:
        yield _like(node, id=TWINS[node.id])
    elif isinstance(node, ast.Attribute) and node.attr in TWINS:
        yield _like(node, attr=TWINS[node.attr])
    elif isinstance(node, ast.Tuple | ast.List) and isinstance(node.ctx, ast.Load):
        starred = [one for one in node.elts if isinstance(one, ast.Starred)]
        yield from (
            _like(node, elts=[one for one in node.elts if one is not out]) for out in starred
        )
    elif isinstance(node, ast.comprehension) and node.ifs:
        yield _like(node, ifs=[])


def _of_statement(node: ast.stmt) -> Iterator[ast.AST]:
    """Yield a statement left out, its condition settled, its value withheld."""
    if isinstance(node, ast.If | ast.While):
        yield _like(node, test=ast.Constant(False))
        if isinstance(node, ast.If):
            yield _like(node, test=ast.Constant(True))
    elif isinstance(node, ast.Return) and node.value is not None:
        if not (isinstance(node.value, ast.Constant) and node.value.value is None):
            yield ast.Return(ast.Constant(None))
    elif isinstance(node, ast.Continue | ast.Break):
        yield ast.Continue() if isinstance(node, ast.Break) else ast.Break()
        yield ast.Pass()
    elif isinstance(node, ast.Expr | ast.AugAssign | ast.For | ast.Assign | ast.Raise | ast.Assert):
        yield ast.Pass()
    if isinstance(node, ast.AugAssign) and type(node.op) in ARITHMETIC:
        yield _like(node, op=ARITHMETIC[type(node.op)]())


def _of_constant(value: object) -> Iterator[object]:
    """Yield the neighbours of a constant."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        yield from (value + 1, value - 1)
    elif isinstance(value, float):
        yield from (value * 1.25, value * 0.8) if value else (1.0,)
    elif isinstance(value, str) and value:
        yield value + "-"


def _of_comparison(node: ast.Compare) -> Iterator[ast.AST]:
    """Yield a comparison with each of its operators changed."""
    for k, op in enumerate(node.ops):
        for other in COMPARISONS[type(op)]:
            yield _like(node, ops=[*node.ops[:k], other(), *node.ops[k + 1 :]])


def _like(node: ast.AST, **changes: object) -> ast.AST:
    """Return a shallow copy of a node with some fields changed."""
    made = copy.copy(node)
    for name, value in changes.items():
        setattr(made, name, value)
    return made


def _with(module: ast.Module, node: ast.AST, changed: ast.AST) -> ast.Module:
    """Return the module with one node in another's place."""

    def rebuilt(here: ast.AST) -> ast.AST:
        if here is node:
            return ast.copy_location(changed, node)
        made, touched = copy.copy(here), False
        for name, value in ast.iter_fields(here):
            if isinstance(value, ast.AST):
                new: object = rebuilt(value)
            elif isinstance(value, list):
                new = [rebuilt(one) if isinstance(one, ast.AST) else one for one in value]
                if all(a is b for a, b in zip(new, value, strict=True)):
                    new = value
            else:
                continue
            if new is not value:
                setattr(made, name, new)
                touched = True
        return made if touched else here

    tree = rebuilt(module)
    assert isinstance(tree, ast.Module)
    return ast.fix_missing_locations(copy.deepcopy(tree))
