# SPDX-License-Identifier: GPL-3.0-or-later
"""Developer's tool: makes the CSV files of the invented demo shop. Entry point: ../generate.py."""
