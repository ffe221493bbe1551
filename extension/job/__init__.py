# SPDX-License-Identifier: GPL-2.0-or-later
"""From pieces to a job: what is asked for, the plan, and what is said of its result."""
