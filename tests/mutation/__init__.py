# SPDX-License-Identifier: GPL-2.0-or-later
"""Mutants of our own modules: what the tests would not see if it were wrong."""
