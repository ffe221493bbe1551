# SPDX-License-Identifier: GPL-2.0-or-later
"""The layout engine: frozen data in, a checked layout out.

Nothing in this package prints, knows the editor or SVG, or uses a clock or randomness that was
not handed in. Lengths are millimetres, angles degrees counter-clockwise with y up.
"""

VERSION = "1.1.0"
"""The version of the whole program, said here alone: packaging, commands and drawings take it."""

ENGINE = f"thriftlay {VERSION}"
"""Name and version of the engine, recorded in every result so that a run can be replayed."""
