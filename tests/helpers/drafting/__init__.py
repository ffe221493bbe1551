# SPDX-License-Identifier: GPL-2.0-or-later
"""Drafts the sample drawings: from body measures to pattern pieces to an editor's document.

The garments belong to an invented pattern label, "Ottervane", made up for these samples; no real
label, pattern or person stands behind them. `python -m tests.helpers.drafting` draws them anew.
"""
