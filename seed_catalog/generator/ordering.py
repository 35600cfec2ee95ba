# SPDX-License-Identifier: GPL-3.0-or-later
"""How the invented shop orders: settings per class, and what five and twenty packs of shims at a time cost."""

_CLASSES = (("", 950), ("A", 980), ("B", 950), ("C", 900))  # class, service level per mille
_STEPS = ((5, 93), (20, 88))  # from so many packs, per cent of the price of one
_SUPPLIER_WITH_STEPS = "Northgate"


def class_rows():
    return [{"class": name, "service_per_mille": service, "review_days": 7, "line_cost": "2.00", "holding_percent": 20,
             "cover_months": 12, "dead_months": 12} for name, service in _CLASSES]


def price_break_rows(price_list):
    rows = []
    for offer in price_list:
        if offer["supplier"].startswith(_SUPPLIER_WITH_STEPS):
            cents = round(float(offer["pack_price"]) * 100)
            for packs, share in _STEPS:
                price = cents * share // 100
                rows.append({"supplier": offer["supplier"], "part": offer["part"], "pack_size": offer["pack_size"],
                             "from_packs": packs, "pack_price": f"{price // 100}.{price % 100:02d}"})
    return rows
