# SPDX-License-Identifier: GPL-2.0-or-later
"""SVG: documents, paths, styles; leaves read from them, elements built for them."""
