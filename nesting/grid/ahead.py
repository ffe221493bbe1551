# SPDX-License-Identifier: GPL-2.0-or-later
"""Asking for memory ahead: the loops over maps wait for it more than for anything else.

It changes no result, and a place outside an array does no harm: it is never read. Where loops are
not compiled nothing is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from nesting.compiled import IS_COMPILED, compiled
from nesting.grid.lattice import Cells

LINE = 32
"""Values of a map or pool that come from memory together."""


def _fetcher() -> Callable[[Cells, int], None]:
    """Return a function that asks for the memory where array[index] lies."""
    if not IS_COMPILED:
        return lambda array, index: None
    from llvmlite import ir
    from numba.core import types
    from numba.extending import intrinsic

    def typed(_: Any, array: Any, index: Any) -> Any:
        def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            laid = context.make_array(signature.args[0])(context, builder, arguments[0])
            place, number = ir.IntType(8).as_pointer(), ir.IntType(32)
            form = ir.FunctionType(ir.VoidType(), [place, number, number, number])
            ask = builder.module.declare_intrinsic("llvm.prefetch", (place,), form)
            at = builder.bitcast(builder.gep(laid.data, [arguments[1]]), place)
            # To be read, more than once, as data.
            builder.call(ask, [at, number(0), number(3), number(1)])
            return context.get_dummy_value()

        return types.void(array, index), generate

    return cast(Callable[[Cells, int], None], intrinsic(typed))


fetch = _fetcher()


@compiled
def fetch_rows(array: Cells, start: int, row: int, rows: int) -> None:
    """Ask for the first values of some rows that lie `row` apart."""
    for k in range(rows):
        fetch(array, start + k * row)
