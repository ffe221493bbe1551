# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout after it was changed by hand: where its parts lie now, and which rules they break."""
