# SPDX-License-Identifier: GPL-2.0-or-later
"""The cloth and the parts on it: the problem, where each part may lie, what no layout can beat."""
