# SPDX-License-Identifier: GPL-2.0-or-later
"""Reads what is drawn on a sheet: which text, arrow, bracket and size belongs to which piece.

`extension.markings.proposing.propose` is the door; nothing in here changes a drawing but `writing`
and `review`, which put what was read onto the pieces and onto a layer of its own.
"""
