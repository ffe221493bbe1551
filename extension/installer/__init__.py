# SPDX-License-Identifier: GPL-2.0-or-later
"""Set-up of the plugin, with the standard library alone: where things go, how they get there."""
