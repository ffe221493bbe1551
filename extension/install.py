# SPDX-License-Identifier: GPL-2.0-or-later
"""The one entry for set-up: puts Thriftlay into the editor, shows it on a sample, tests it.

    python3 extension/install.py                 put it into the editor
    python3 extension/install.py --check         look whether it is in order
    python3 extension/install.py --uninstall     take it away again
    python3 extension/install.py --demo [FOLDER] lay out a sample and show the result
    python3 extension/install.py --test [...]    run the tests; the rest goes to pytest

Needs the standard library alone. Written so that an old Python can read it and say so.
"""

import os
import sys

OLDEST = (3, 10)
NEWEST = (3, 14)


def fitting_python(version):  # type: (tuple[int, ...]) -> str
    """Return "" when this Python will do, else one sentence with the remedy."""
    if OLDEST <= version[:2] <= NEWEST:
        return ""
    return (
        "Thriftlay needs Python {}.{} to {}.{}, but this is Python {}.{}: "
        "install one of those and start this file with it, as in: "
        "python3.{} extension/install.py"
    ).format(*(OLDEST + NEWEST + tuple(version[:2]) + OLDEST[1:]))


def main():  # type: () -> int
    """Check the Python, then hand over to the installer."""
    remedy = fitting_python(tuple(sys.version_info[:2]))
    if remedy:
        sys.stderr.write(remedy + "\n")
        return 1
    # As a script, this file's own folder is in the path: its modules would hide Python's own.
    here = os.path.dirname(os.path.abspath(__file__))
    sys.path[:] = [os.path.dirname(here)] + [one for one in sys.path if one != here]
    from extension.installer.commands import main as run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
