# SPDX-License-Identifier: GPL-2.0-or-later
"""All that is told to a person, and how words, numbers and units of hers are read."""
