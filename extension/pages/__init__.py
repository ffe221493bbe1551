# SPDX-License-Identifier: GPL-2.0-or-later
"""The pages of a pattern that is printed at home, put together to the sheet they were cut from."""
