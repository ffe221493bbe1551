# SPDX-License-Identifier: GPL-2.0-or-later
"""Linear programs: the least cost of variables between limits, below rows of at most so much.

HiGHS solves them. They are small: to simplify them beforehand costs more than it saves. Each begins
in a solver of its own, so what was solved before does not matter, and chains do not wait for each
other, because a running solver holds no lock. Sources of the method: Huangfu, Hall, "Parallelizing
the dual revised simplex method", Mathematical Programming Computation 10(1), 2018; Harris, "Pivot
selection methods of the Devex LP code", Mathematical Programming 5, 1973.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Columns = NDArray[np.integer[Any]]

BY_ROWS = int(highspy.MatrixFormat.kRowwise)
LEAST = int(highspy.ObjSense.kMinimize)
MOST_STEPS = 100_000
"""Steps after which a program is given up: many times what the largest need, so that none goes on
for ever."""
DEVEX = int(highspy.simplex_constants.SimplexEdgeWeightStrategy.kSimplexEdgeWeightStrategyDevex)


@dataclass(frozen=True, eq=False, slots=True)
class Rows:
    """Rows of one form: in row k, the sum of values[k, i] times variable columns[k, i] <= most[k].

    `columns` and `values` have the shape (rows, entries).
    """

    columns: Columns
    values: Floats
    most: Floats


def least_cost(cost: Floats, limits: Floats, rows: Sequence[Rows]) -> Floats | None:
    """Return the variables (n,) of least cost; None when no variables keep to limits and rows.

    None, too, when they are not found after MOST_STEPS.
    `cost` is that of one unit of each variable (n,), `limits` the least and greatest value of each
    (n, 2). Only limits and `most` may be infinite. Raises ValueError when another figure is not
    finite, and when a row names a variable twice or one that there is not.
    """
    count = len(cost)
    widths = np.concatenate([np.full(len(one.most), one.columns.shape[1]) for one in rows])
    starts = np.concatenate([[0], np.cumsum(widths)]).astype(np.int32)
    most = np.concatenate([one.most for one in rows])
    columns = np.concatenate([one.columns.ravel() for one in rows]).astype(np.int32)
    values = np.concatenate([one.values.ravel() for one in rows])
    # The solver takes what is not a number for nothing, here and there.
    if not (np.isfinite(values).all() and np.isfinite(cost).all()):
        raise ValueError("a linear program with figures that are not finite")
    solver = _solver()
    taken = solver.passModel(
        count, len(most), len(values), BY_ROWS, LEAST, 0.0,
        cost, np.ascontiguousarray(limits[:, 0]), np.ascontiguousarray(limits[:, 1]),
        np.full(len(most), -np.inf), most, starts, columns, values, np.zeros(count, dtype=np.int32),
    )  # fmt: skip
    if taken == highspy.HighsStatus.kError:
        raise ValueError("a linear program that the solver refuses")
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return np.array(solver.getSolution().col_value)


def _solver() -> Any:
    """Return a new solver that says nothing.

    The plain one of two in the package: the other announces itself on stdout in some versions.
    """
    options = highspy.HighsOptions()
    options.output_flag = False
    options.threads = 1
    options.presolve = "off"
    options.solver = "simplex"
    options.simplex_iteration_limit = MOST_STEPS
    options.simplex_dual_edge_weight_strategy = DEVEX
    solver = highspy._Highs()  # type: ignore[attr-defined]  # noqa: SLF001 - it is exported
    solver.passOptions(options)
    return solver
