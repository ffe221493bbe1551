# SPDX-License-Identifier: GPL-2.0-or-later
"""Fabric requirements: how much cloth each size needs, by width, nap and material.

The data flows one way: options and sizes -> cells -> runs -> laws -> table -> page, CSV, drawing.
"""
