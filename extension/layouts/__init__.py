# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts that lie in a drawing: found, recognised, judged, held, brought up to date."""
