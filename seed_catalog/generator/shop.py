# SPDX-License-Identifier: GPL-3.0-or-later
"""Puts the shop together: every output file as a list of rows."""

from generator import closing_stock, jobs, models, ordering, other_parts, part, places, shims, tables, workdays
from generator.draws import Draws
from generator.year import Year


def _opening_lots(parts, draws):
    """(part, bin, condition, quantity): a year ago, between the reorder point and two packs above it."""
    for item in parts:
        if item.code == closing_stock.LAST_OF_ITS_DIAMETER:
            yield item.code, item.bin, "new", 3
        elif item.popularity == 0:
            yield item.code, item.bin, "new", draws.between(2, 14) * (50 if item.kind == "fluid" else 1)
        elif not draws.chance(4):  # a few drawers were empty
            yield item.code, item.bin, "new", item.reorder_point + draws.between(0, item.pack)
        if item.used_bin and draws.chance(70):
            yield item.code, item.used_bin, "used", draws.between(1, 9)
    for place, (code, _, at_the_end) in closing_stock.MEASURED_USED.items():
        yield code, place, "used", at_the_end + draws.between(0, 6)


def _stock_rows(lots, by_code):
    for code, place, condition, quantity in lots:
        item = by_code[code]
        row = {"kind": item.kind, "condition": condition, "bin": place, "quantity": quantity,
               "counted_on": workdays.OPENING_COUNT.isoformat()}
        if item.kind == "shim":
            row |= {name: item.cells[name] for name in ("od_mm", "id_mm", "thickness_mm")}
            if condition == "new":
                row["measured_mm"] = closing_stock.MEASURED_NEW.get(code, "")
            elif place in closing_stock.MEASURED_USED:
                row["measured_mm"] = closing_stock.MEASURED_USED[place][1]
        else:
            row["part"] = code
        yield row


def make(seed):
    """File name -> rows. Same seed, same rows."""
    draws = Draws(seed)
    parts = shims.make(draws, closing_stock.needs() | closing_stock.PLENTY) + other_parts.make(draws)
    for item in parts:
        if item.code == closing_stock.LAST_OF_ITS_DIAMETER:
            item.popularity = 0
        elif item.popularity == 0 and item.code in closing_stock.needs():
            item.popularity = 2  # what an open job asks for is not dead stock
    part.classify(parts)
    bins = places.place(parts, closing_stock.NEVER_RECLAIMED)
    prices = places.price_list(parts)
    closing = closing_stock.closing(parts, draws)
    opening = list(_opening_lots(parts, draws))
    return {
        "suppliers.csv": places.supplier_rows(),
        "bins.csv": bins,
        "parts.csv": [item.row() for item in parts],
        "supplier_parts.csv": prices,
        "price_breaks.csv": ordering.price_break_rows(prices),
        "reorder_classes.csv": ordering.class_rows(),
        "component_models.csv": models.model_rows(),
        "model_consumables.csv": models.consumable_rows(),
        "model_valves.csv": jobs.valve_rows(),
        "model_flows.csv": models.flow_rows(),
        "stock.csv": list(_stock_rows(opening, {item.code: item for item in parts})),
        "jobs.csv": jobs.job_rows(),
        "job_stacks.csv": jobs.stack_rows(),
        "job_consumables.csv": jobs.consumable_rows(),
        "movements.csv": Year(parts, closing, opening, draws).run(),
    }


def write(folder, seed):
    files = make(seed)
    assert list(files) == list(tables.COLUMNS)
    for name, rows in files.items():
        tables.write(folder, name, rows)
