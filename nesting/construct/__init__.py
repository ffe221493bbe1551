# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts made part by part: columns, leftmost places, jigsaws."""
