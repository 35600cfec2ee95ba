# SPDX-License-Identifier: GPL-3.0-or-later
"""A year of the workshop, day by day. Demand comes from jobs (never from parts one by one), so that what is
used together moves together; orders follow the reorder points with each supplier's lead time."""

import datetime

from generator import workdays
from generator.ledger import Ledger
from generator.models import CONSUMABLES, FORKS, SHOCKS
from generator.places import OVERFLOW_BINS, SUPPLIERS
from generator.settling import Settling
from generator.tables import micrometres

_GROUPS = ("shim 6.0", "shim 8.0", "shim 10.0", "shim 12.0", "shim 16.0")
_GROUP_WEIGHTS = (50, 24, 9, 7, 10)
_STRIP_FAULTS = ("bent at the rim", "scored by the seat", "cracked at the bore", "blued by heat")


def _od(part):
    return micrometres(part.cells["od_mm"])


class Year:
    def __init__(self, parts, closing, opening, draws):
        self.parts = {part.code: part for part in parts}
        self.draws = draws
        self.ledger = Ledger()
        for lot in opening:
            self.ledger.open_with(*lot)
        self._shims = {g: [p for p in parts if p.group == g and p.popularity > 0] for g in _GROUPS}
        self._largest = {g: max(_od(p) for p in self._shims[g]) for g in _GROUPS}
        self._sundries = [p for p in parts if p.kind not in ("shim", "fluid") and p.popularity > 0]
        self._overflow = {p.code: OVERFLOW_BINS[i % 4] for i, p in enumerate(p for p in parts if p.kind == "shim")}
        self._closing = closing
        self._settled_parts = set()
        self._settling = None
        self._on_order = []  # (day due, part, quantity, supplier, order number)
        self._orders = self._jobs = 0

    def run(self):
        days = list(workdays.working_days())
        for day in days:
            self.ledger.open_day(day)
            self._receive(day)
            if day == workdays.SETTLE:
                self._begin_settling([d for d in days if d > day])
            if day == workdays.STOCKTAKE:
                self._stocktake()
                continue
            for _ in range(workdays.jobs_on(day, self.draws)):
                self._work_on_a_job()
            if self._settling:
                self._settling.book(day, self._next_job)
            self._scrap_now_and_then()
            self._level_overflow()
            if day.weekday() == 4:
                self._count_some()
            if day.weekday() == 0 and day <= workdays.LAST_ORDER:
                self._order(day)
        return self.ledger.rows

    def _next_job(self):
        self.ledger.pause(self.draws.between(25, 75))
        self._jobs += 1
        return f"workshop job {self._jobs:04d}"

    def _free(self, part):
        return part.code not in self._settled_parts

    # -- the bench ---------------------------------------------------------------------------------

    def _work_on_a_job(self):
        draws, reason = self.draws, self._next_job()
        group = draws.weighted(_GROUPS, _GROUP_WEIGHTS)
        fork = group in _GROUPS[:2] or (group == "shim 10.0" and draws.chance(60))
        legs = 2 if fork else 1
        pulled = []
        for part in self._choose_shims(group, draws.between(3, 6)):
            most = 4 if _od(part) >= self._largest[group] - 2000 else 2  # faces go by the handful
            self._pull_shim(part, legs * draws.between(most // 2, most), reason, pulled)
        if draws.chance(60):
            for code, per_leg, _ in CONSUMABLES[draws.pick(FORKS if fork else SHOCKS)]:
                part, quantity = self.parts[code], legs * per_leg
                if draws.chance(55) and self._free(part) and self.ledger.on_hand(code, part.bin) >= quantity:
                    self.ledger.issue(draws, code, part.bin, "new", quantity, reason)
        if draws.chance(45):
            part = draws.weighted(self._sundries, [p.popularity for p in self._sundries])
            quantity = draws.between(1, 2)
            if self._free(part) and self.ledger.on_hand(part.code, part.bin) >= quantity:
                self.ledger.issue(draws, part.code, part.bin, "new", quantity, reason)
        for part, quantity in pulled:  # what came out of the same valve in the same size
            if part.used_bin and draws.chance(30):
                self.ledger.give_back(draws, part.code, part.used_bin, draws.between(1, quantity), reason)

    def _choose_shims(self, group, wanted):
        left = [p for p in self._shims[group] if self._free(p)]
        for _ in range(min(wanted, len(left))):
            part = self.draws.weighted(left, [p.popularity for p in left])
            left.remove(part)
            yield part

    def _pull_shim(self, part, quantity, reason, pulled):
        draws, ledger = self.draws, self.ledger
        if part.used_bin and ledger.on_hand(part.code, part.used_bin, "used") >= quantity and draws.chance(30):
            ledger.issue(draws, part.code, part.used_bin, "used", quantity, reason)
        elif ledger.on_hand(part.code, part.bin) >= quantity:
            ledger.issue(draws, part.code, part.bin, "new", quantity, reason)
            pulled.append((part, quantity))
        else:  # out of stock: another thickness of the same diameter, if there is one, and the books say so
            others = [p for p in self._shims[part.group] if p.cells["od_mm"] == part.cells["od_mm"] and self._free(p)
                      and ledger.on_hand(p.code, p.bin) >= quantity]
            if others:
                other = draws.pick(others)
                ledger.issue(draws, other.code, other.bin, "new", quantity, f"{reason}, instead of {part.code}",
                             wanted_part=part.code)
                pulled.append((other, quantity))

    def _scrap_now_and_then(self):
        draws = self.draws
        if not draws.chance(24):
            return
        condition = "used" if draws.chance(80) else "new"
        lots = [key for key, quantity in self.ledger.balance.items() if quantity and key[2] == condition
                and key not in self._closing and key[0].startswith("SH") and self._free(self.parts[key[0]])]
        if lots:
            code, place, _ = lot = draws.pick(lots)
            quantity = draws.between(1, min(3, self.ledger.balance[lot]))
            fault = draws.pick(_STRIP_FAULTS) if condition == "used" else "edge nicked in the drawer"
            self.ledger.scrap(draws, code, place, condition, quantity, fault)

    # -- the store ---------------------------------------------------------------------------------

    def _receive(self, day):
        due = [order for order in self._on_order if order[0] <= day]
        self._on_order = [order for order in self._on_order if order[0] > day]
        for _, code, quantity, supplier, number in due:
            self.ledger.receipt(self.draws, code, self.parts[code].bin, quantity, supplier, f"order {number:04d}")

    def _order(self, day):
        numbers = {}
        for part in self.parts.values():
            if not part.reorder_point or not self._free(part):
                continue
            position = self.ledger.on_hand(part.code, part.bin) + sum(o[2] for o in self._on_order if o[1] == part.code)
            position += self.ledger.on_hand(part.code, self._overflow.get(part.code, ""))
            if position >= part.reorder_point:
                continue
            packs = -(-(part.reorder_point + part.pack - position) // part.pack)
            supplier = part.suppliers[0]
            if supplier not in numbers:
                self._orders += 1
                numbers[supplier] = self._orders
                lead, spread = SUPPLIERS[supplier][:2]
                numbers[supplier, "due"] = day + datetime.timedelta(days=lead + self.draws.between(-spread, spread))
            self._on_order.append((numbers[supplier, "due"], part.code, packs * part.pack, supplier, numbers[supplier]))

    def _level_overflow(self):
        for code, place in self._overflow.items():
            part, draws = self.parts[code], self.draws
            if not self._free(part) or any(key[0] == code for key in self._closing):
                continue
            drawer, spare = self.ledger.on_hand(code, part.bin), self.ledger.on_hand(code, place)
            if drawer > 32 and not spare:
                self.ledger.move(draws, code, part.bin, place, "new", 10, "drawer full")
            elif drawer < 8 and spare:
                self.ledger.move(draws, code, place, part.bin, "new", spare, "drawer topped up")

    def _count(self, lot, reason):
        """Nine counts in ten agree with the books."""
        quantity = self.ledger.balance[lot]
        code, place, condition = lot
        error = self.draws.pick((-1, -1, -2, 1)) if self.draws.chance(10) and not code.startswith("FL") else 0
        self.ledger.count(self.draws, code, place, condition, max(0, quantity + error), reason)

    def _count_some(self):
        lots = [key for key in self.ledger.balance if self._free(self.parts[key[0]])]
        for _ in range(3):
            self._count(self.draws.pick(lots), "cycle count")

    def _stocktake(self):
        for lot in sorted(self.ledger.balance, key=lambda key: (key[1], key[0], key[2])):
            self._count(lot, "yearly stocktake")

    def _begin_settling(self, days):
        self._settled_parts = {code for code, _, _ in self._closing}
        self._on_order = [order for order in self._on_order if order[1] not in self._settled_parts]
        self._settling = Settling(self.ledger, self.parts, self._closing, days, self.draws)
