# SPDX-License-Identifier: GPL-2.0-or-later
"""Jobs and results as files, and whether a job can be laid at all."""
