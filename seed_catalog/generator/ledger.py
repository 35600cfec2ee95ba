# SPDX-License-Identifier: GPL-3.0-or-later
"""The simulated ledger: exact balances per part, bin and condition, and the rows of movements.csv."""

import datetime


class Ledger:
    def __init__(self):
        self.balance = {}
        self.rows = []
        self._now = None

    def open_day(self, day):
        self._now = datetime.datetime(day.year, day.month, day.day, 6, 40)

    def pause(self, minutes):
        self._now += datetime.timedelta(minutes=minutes)

    def on_hand(self, part, place, condition="new"):
        return self.balance.get((part, place, condition), 0)

    def open_with(self, part, place, condition, quantity):
        """Opening stock: no movement, it stands in stock.csv."""
        key = (part, place, condition)
        assert key not in self.balance and quantity > 0
        self.balance[key] = quantity

    def _book(self, draws, movement, part, place, condition, quantity, change, **cells):
        key = (part, place, condition)
        after = self.on_hand(*key) + change
        assert after >= 0, f"{movement} of {quantity} drives {key} to {after}"
        self.balance[key] = after
        self._now += datetime.timedelta(seconds=draws.between(20, 150))
        self.rows.append({"utc": self._now.strftime("%Y-%m-%dT%H:%M:%SZ"), "movement": movement, "part": part,
                          "bin": place, "condition": condition, "quantity": quantity, **cells})

    def receipt(self, draws, part, place, quantity, supplier, reason):
        self._book(draws, "receipt", part, place, "new", quantity, quantity, supplier=supplier, reason=reason)

    def issue(self, draws, part, place, condition, quantity, reason, **cells):
        self._book(draws, "issue", part, place, condition, quantity, -quantity, reason=reason, **cells)

    def give_back(self, draws, part, place, quantity, reason):
        self._book(draws, "return", part, place, "used", quantity, quantity, reason=reason)

    def scrap(self, draws, part, place, condition, quantity, reason):
        self._book(draws, "scrap", part, place, condition, quantity, -quantity, reason=reason)

    def move(self, draws, part, place, to_bin, condition, quantity, reason):
        self._book(draws, "move", part, place, condition, quantity, -quantity, to_bin=to_bin, reason=reason)
        key = (part, to_bin, condition)
        self.balance[key] = self.on_hand(*key) + quantity

    def count(self, draws, part, place, condition, found, reason):
        self._book(draws, "count", part, place, condition, found, found - self.on_hand(part, place, condition), reason=reason)
