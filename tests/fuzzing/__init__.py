# SPDX-License-Identifier: GPL-2.0-or-later
"""Random drawings, hand edits and jobs through every command, each result judged."""
