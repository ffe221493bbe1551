# SPDX-License-Identifier: GPL-2.0-or-later
"""Linear programs, compared with one solved by hand and with scipy's interior-point method."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from nesting.press.programs import Rows, least_cost

WHOLE = st.integers(-5, 5)


def dense(columns: np.ndarray, values: np.ndarray, count: int) -> np.ndarray:
    matrix = np.zeros((len(columns), count))
    for line, (places, factors) in enumerate(zip(columns, values, strict=True)):
        np.add.at(matrix[line], places, factors)
    return matrix


def test_a_program_solved_by_hand() -> None:
    # The most of 3x + 2y with x + y <= 4, x + 3y <= 6, 0 <= x <= 3: the corner (3, 1).
    rows = Rows(
        np.array([[0, 1], [0, 1]]), np.array([[1.0, 1.0], [1.0, 3.0]]), np.array([4.0, 6.0])
    )
    answer = least_cost(np.array([-3.0, -2.0]), np.array([[0.0, 3.0], [0.0, np.inf]]), [rows])
    assert answer is not None
    assert np.allclose(answer, [3.0, 1.0])


def test_what_no_variables_keep_to_has_no_answer() -> None:
    rows = Rows(np.array([[0]]), np.array([[-1.0]]), np.array([-2.0]))  # x >= 2, and x <= 1
    assert least_cost(np.array([1.0]), np.array([[0.0, 1.0]]), [rows]) is None


def test_a_program_that_takes_too_many_steps_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = Rows(np.array([[0, 1]]), np.array([[-1.0, -1.0]]), np.array([-2.0]))  # x + y >= 2
    cost, limits = np.array([1.0, 2.0]), np.array([[0.0, 9.0]] * 2)
    assert least_cost(cost, limits, [rows]) is not None
    monkeypatch.setattr("nesting.press.programs.MOST_STEPS", 0)
    assert least_cost(cost, limits, [rows]) is None


@pytest.mark.parametrize("wrong", [np.nan, np.inf, -np.inf])
def test_figures_that_are_not_finite_are_refused(wrong: float) -> None:
    limits, most = np.array([[0.0, 9.0]]), np.array([2.0])
    good, bad = np.array([1.0]), np.array([wrong])
    with pytest.raises(ValueError, match="not finite"):
        least_cost(good, limits, [Rows(np.array([[0]]), bad[None], most)])
    with pytest.raises(ValueError, match="not finite"):
        least_cost(bad, limits, [Rows(np.array([[0]]), good[None], most)])


def test_what_the_solver_cannot_read_is_refused() -> None:
    cost, limits = np.array([1.0]), np.array([[0.0, 9.0]])
    for columns, most in (([[1]], 2.0), ([[0, 0]], 2.0), ([[0]], np.nan)):
        rows = Rows(np.array(columns), np.ones((1, len(columns[0]))), np.array([most]))
        with pytest.raises(ValueError, match="refuses"):
            least_cost(cost, limits, [rows])


@given(st.data())
def test_costs_are_those_of_scipy(data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 6))
    cost = np.array(data.draw(st.lists(WHOLE, min_size=count, max_size=count)), dtype=float)
    limits = np.array(data.draw(st.lists(st.tuples(WHOLE, st.integers(5, 9)), min_size=count,
                                         max_size=count)), dtype=float)  # fmt: skip
    rows, matrices, most = [], [], []
    for width in (1, 2):
        number = data.draw(st.integers(0, 5))
        orders = st.permutations(range(count))
        places = [data.draw(orders)[:width] for _ in range(number)]
        columns = np.array(places, dtype=np.int64).reshape(number, width)
        values = np.array(
            data.draw(st.lists(WHOLE, min_size=number * width, max_size=number * width)),
            dtype=float,
        ).reshape(number, width)
        least = np.array(data.draw(st.lists(WHOLE, min_size=number, max_size=number)), dtype=float)
        rows.append(Rows(columns, values, least))
        matrices.append(dense(columns, values, count))
        most.append(least)
    matrix, bound = np.concatenate(matrices), np.concatenate(most)
    wanted = linprog(cost, A_ub=matrix, b_ub=bound, bounds=limits, method="highs-ipm")
    answer = least_cost(cost, limits, rows)
    if wanted.status == 2:
        assert answer is None
        return
    assert answer is not None
    assert abs(cost @ answer - wanted.fun) < 1e-6
    assert (matrix @ answer <= bound + 1e-6).all()
    assert (answer >= limits[:, 0] - 1e-6).all()
    assert (answer <= limits[:, 1] + 1e-6).all()


def test_the_same_program_has_the_same_answer_to_the_bit() -> None:
    generator = np.random.default_rng(4)
    columns = np.array([generator.permutation(20)[:4] for _ in range(60)])
    rows = [Rows(columns, generator.normal(size=(60, 4)), generator.uniform(0.5, 2.0, 60))]
    cost, limits = generator.normal(size=20), np.tile([-3.0, 3.0], (20, 1))
    first = least_cost(cost, limits, rows)
    least_cost(-cost, limits, rows)
    again = least_cost(cost, limits, rows)
    assert first is not None
    assert again is not None
    assert np.array_equal(first, again)


def test_the_solver_says_nothing() -> None:
    # stdout belongs to the command's result; solvers like to announce themselves on it.
    script = (
        "import numpy as np\n"
        "from nesting.press.programs import Rows, least_cost\n"
        "rows = Rows(np.array([[0]]), np.array([[1.0]]), np.array([2.0]))\n"
        "assert least_cost(np.array([-1.0]), np.array([[0.0, 9.0]]), [rows])[0] == 2.0\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    assert (done.stdout, done.stderr) == (b"", b"")
