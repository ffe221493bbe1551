# SPDX-License-Identifier: GPL-2.0-or-later
"""What each menu command does, the same for editor and terminal."""
