# SPDX-License-Identifier: GPL-2.0-or-later
"""Everything that knows the editor or SVG: reading, writing, dialogs, command line, installer."""
