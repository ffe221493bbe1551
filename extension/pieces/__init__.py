# SPDX-License-Identifier: GPL-2.0-or-later
"""From leaves to pieces: outlines, marks, folds, grain, and which of them are meant."""
