# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands in the editor: their dialogs, and how what is typed there reaches the operations."""
