# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts pressed together exactly: linear programs, and sliding until they touch."""
