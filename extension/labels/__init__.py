# SPDX-License-Identifier: GPL-2.0-or-later
"""Reads the text on a pattern piece: how often it is cut, from what, on which fold and grain.

`extension.labels.reading.read_label` is the door; `vocabulary` holds the words of seven languages.
"""
