# SPDX-License-Identifier: GPL-2.0-or-later
"""The search as a whole: chains, their team, and the best layout so far."""
