# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting Diagram: a layout as a page to print, for those who lay the pieces out on cloth."""
