# SPDX-License-Identifier: GPL-2.0-or-later
"""Closes broken lines: from chopped, dashed and dotted segments to closed outlines.

Pure geometry in millimetres on the page, y down. `join.join_segments` is the way in.
"""
