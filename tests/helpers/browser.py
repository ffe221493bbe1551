# SPDX-License-Identifier: GPL-2.0-or-later
"""A real browser without a window, for pages that people read and print."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

REQUIRED = "THRIFTLAY_REQUIRE_BROWSER"
"""Set to 1 where the browser has to be there: then a test fails without it."""
NAMES = ("chromium", "chromium-browser", "google-chrome")
_QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


def browser() -> str:
    """Return the browser's program; the test is skipped, visibly, without one."""
    found = next((path for path in map(shutil.which, NAMES) if path is not None), None)
    if found is None:
        reason = f"not on this computer: {' or '.join(NAMES)}"
        if os.environ.get(REQUIRED) == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    return found


def print_page(page: Path, pdf: Path) -> None:
    """Print a page to a PDF, on the paper that it asks for."""
    _run(page, "--no-pdf-header-footer", f"--print-to-pdf={pdf}")
    assert pdf.is_file(), "the browser printed nothing"


def overflow(page: Path, width: int) -> int:
    """Return by how many px a page is wider than a window of `width` px."""
    script = (
        "<script>document.title = 'measured ' + (document.documentElement.scrollWidth"
        " - document.documentElement.clientWidth)</script></body>"
    )
    measured = page.with_name("measured.html")
    text = page.read_text(encoding="utf-8").replace("</body>", script)
    measured.write_text(text, encoding="utf-8")
    found = re.search(
        r"<title>measured (-?\d+)</title>",
        _run(measured, "--dump-dom", f"--window-size={width},900"),
    )
    assert found is not None, "the browser measured nothing"
    return int(found[1])


def _run(page: Path, *words: str) -> str:
    """Open a page in a browser with a profile of its own; return what it wrote."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        done = subprocess.run(
            [browser(), *_QUIET, f"--user-data-dir={profile}", *words, page.as_uri()],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=120,
            check=False,
        )
    return done.stdout.decode("utf-8", "replace")
