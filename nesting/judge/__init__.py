# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge of layouts, on the true outlines; it shares no code with any search."""
