# SPDX-License-Identifier: GPL-3.0-or-later
"""Seeded draws. Only random.Random.random() is used: Python promises its sequence for a given seed,
which it does not promise for randint, choice or shuffle, and the files must come out byte for byte."""

import random


class Draws:
    def __init__(self, seed):
        self._source = random.Random(seed)

    def below(self, n):
        """A whole number 0 .. n-1."""
        return int(self._source.random() * n)

    def between(self, low, high):
        """A whole number low .. high, both included."""
        return low + self.below(high - low + 1)

    def chance(self, percent):
        return self.below(1000) < 10 * percent

    def pick(self, items):
        return items[self.below(len(items))]

    def weighted(self, items, weights):
        """One of items; weights are whole numbers, so that no rounding can move the choice."""
        left = self.below(sum(weights))
        for item, weight in zip(items, weights):
            if left < weight:
                return item
            left -= weight
        raise AssertionError("weights and items differ in number")
