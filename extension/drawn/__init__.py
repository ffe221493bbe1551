# SPDX-License-Identifier: GPL-2.0-or-later
"""The drawn result: a layout as a layer with cloth, parts and measures."""
