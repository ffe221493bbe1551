# SPDX-License-Identifier: GPL-2.0-or-later
"""What the editor itself starts, with the standard library alone."""
