# SPDX-License-Identifier: GPL-3.0-or-later
"""The last weeks of the year for the parts of the open jobs: ordinary issues and receipts that end on the
closing stock, exactly or at least."""


class Settling:
    def __init__(self, ledger, parts, closing, days, draws):
        self._ledger, self._draws = ledger, draws
        self._receipts, self._issues = {}, {}
        for (code, place, condition), (target, exact) in closing.items():
            surplus = ledger.on_hand(code, place, condition) - target
            first, fluid = 0, parts[code].kind == "fluid"
            if surplus < 0:
                assert condition == "new", f"a used lot of {code} cannot be bought"
                part = parts[code]
                packs = -(-(-surplus) // part.pack)
                first = draws.between(1, 14)
                self._receipts.setdefault(days[first], []).append((code, place, packs * part.pack, part.suppliers[0]))
                surplus += packs * part.pack
            if not exact:
                surplus = min(surplus, draws.between(0, 5) * (400 if fluid else 1))
            while surplus > 0:
                usual = 10 * draws.between(38, 54) if fluid else draws.pick((1, 2, 2, 2, 4, 4))
                quantity = min(surplus, usual)
                day = days[draws.between(first, len(days) - 1)]
                self._issues.setdefault(day, []).append((code, place, condition, quantity))
                surplus -= quantity

    def book(self, day, next_job):
        for code, place, quantity, supplier in self._receipts.get(day, []):
            self._ledger.receipt(self._draws, code, place, quantity, supplier, "late delivery")
        issues = self._issues.get(day, [])
        while issues:  # four to eight lines make one job
            reason = next_job()
            size = self._draws.between(4, 8)
            for code, place, condition, quantity in issues[:size]:
                self._ledger.issue(self._draws, code, place, condition, quantity, reason)
            issues = issues[size:]
