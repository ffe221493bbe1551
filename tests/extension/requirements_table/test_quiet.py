# SPDX-License-Identifier: GPL-2.0-or-later
"""Nothing that libraries write on stderr reaches the person, unless the program is at fault."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from extension.language.errors import OptionError
from extension.requirements_table.quiet import Quiet


def noise() -> None:
    os.write(2, b"past Python\n")
    subprocess.run([sys.executable, "-c", "import os; os.write(2, b'a worker\\n')"], check=True)


def meet(fault: Exception) -> None:
    with Quiet():
        noise()
        raise fault


def test_noise_is_kept_back(capfd: pytest.CaptureFixture[str]) -> None:
    with Quiet() as quiet:
        noise()
        assert quiet.written() == b"past Python\na worker\n"
    assert capfd.readouterr().err == ""


def test_what_is_meant_for_the_person_comes_through(capfd: pytest.CaptureFixture[str]) -> None:
    with Quiet() as quiet:
        os.write(2, b"noise ")
        with quiet.aloud():
            os.write(2, b"progress ")
        os.write(2, b"noise ")
    os.write(2, b"after")
    assert capfd.readouterr().err == "progress after"


def test_an_unexpected_fault_brings_the_noise_back(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ZeroDivisionError):
        meet(ZeroDivisionError())
    assert "past Python\na worker\n" in capfd.readouterr().err


def test_a_plain_sentence_does_not(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(OptionError):
        meet(OptionError("Type a width."))
    assert capfd.readouterr().err == ""
