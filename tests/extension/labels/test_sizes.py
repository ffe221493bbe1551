# SPDX-License-Identifier: GPL-2.0-or-later
"""The sizes that a label names: one, a list that may go on below, a range; what is asked of them.

How sizes are written on labels: common practice, no source.
"""

from __future__ import annotations

import pytest

from extension.labels.phrases import Text
from extension.labels.reading import read_label
from extension.labels.sizes import read_size


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("SIZE 38", "38"),
        ("Size: M", "M"),
        ("sizes 8, 10, 12", "8, 10, 12"),
        ("size 8-16", "8-16"),
        ("sizes 36 to 46", "36-46"),
        ("tailles 36 à 42", "36-42"),
        ("tamanhos 36 a 42", "36-42"),
        ("sizes 38 and 40", "38, 40"),
        ("Gr. 38 + 40", "38, 40"),
        ("tallas 38 y 40", "38, 40"),
        ("taglie 38 e 40", "38, 40"),
        ("maat 38 en 40", "38, 40"),
        ("size S and M", "S, M"),
        ("Size 38 and 2 linings", "38"),
        ("Size 38 & 1 pocket", "38"),
        ("Size 10 + 12 mm seam", "10"),
        ("Size 38 and cut 2", "38"),
        ("size 8 2 lining", "8"),
        ("Size 10, 5/8 in SA", "10"),
        ("T. 38", "38"),
        ("sizes 98, 104, and 110", "98, 104, 110"),
        ("sizes 98, 104 & 110", "98, 104, 110"),
        ("sizes 98, 104\nand 110", "98, 104, 110"),
        ("sizes 98, 104,\n110", "98, 104, 110"),
        ("sizes 98, 104 and\n110", "98, 104, 110"),
        ("sizes 98 to\n110\ncut 2", "98-110"),
        ("sizes 98 104 110", "98, 104, 110"),
        ("sizes 98-104-110", "98, 104, 110"),
        ("sizes 98/104/110", "98/104/110"),
        ("sizes 36/38 and 40/42", "36/38, 40/42"),
        ("sizes 2T and 4T", "2T, 4T"),
        ("Size 0-3M", "0-3M"),
        ("Sizes 0-3M and 6M", "0-3M, 6M"),
        ("Size 38, 2 m elastic", "38"),
        ("sizes 86/92 to 98/104", "86/92-98/104"),
        ("sizes 8 or 10", "8, 10"),
        ("Größen 98 u. 104", "98, 104"),
        ("sizes 98 up to 110", "98-110"),
        ("sizes 98 thru 110", "98-110"),
        ("sizes from 98 to 110", "98-110"),
        ("tailles de 98 à 110", "98-110"),
        ("taglie dalla 98 alla 110", "98-110"),
        ("Größen von 98 bis 110", "98-110"),
        ("Size 38\n- 40 g fleece", "38"),
        ("Size 38,\n2 pieces", "38"),
        ("Size 38\nand 2 linings", "38"),
        ("Front\nSize 38\n4", "38"),
        ("Size 38 4", "38"),
        ("2T", "2T"),
        ("XXL", "XXL"),
        ("M", None),
        ("1L + 1R", None),
        ("size", None),
        ("all sizes", None),
    ],
)
def test_size(text: str, expected: str | None) -> None:
    assert read_size(Text(text))[0] == expected


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Pocket\ncut 2\nsizes 98\n104\n110", "104"),
        ("Pocket\ncut 2\nsize 98 (104, 110)", "104, 110"),
        ("Pocket\ncut 2\nsize 98 / petite", "petite"),
        ("Pocket\ncut 2\nsize 98 only", None),
        ("Pocket\ncut 2\nsize 98\n2024", None),
        ("Pocket\nsize 98\ncut 2", None),
        ("Pocket\n3\nsize 38\ncut 2 and press", None),
        ("Pocket\ncut 2\nsize 38\nand press open", None),
        ("sizes 98, 104\nand 110", None),
    ],
)
def test_what_may_be_more_sizes_is_asked_about(text: str, words: str | None) -> None:
    questions = [one for one in read_label(text).questions if "name more sizes" in one]
    assert len(questions) == (words is not None)
    assert words is None or f"“{words}”" in questions[0]
