# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts on a grid: maps of how deep pairs overlap, and the guided search on them."""
