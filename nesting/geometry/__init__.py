# SPDX-License-Identifier: GPL-2.0-or-later
"""Shapes without any cloth: exact clipping, no-fit polygons, simpler outlines."""
