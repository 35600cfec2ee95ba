# SPDX-License-Identifier: GPL-3.0-or-later
"""Proves the committed CSV files: everything is read back from disk, nothing is taken over from the generator
but the column lists, which are themselves compared with the README's table."""

import collections
import datetime
import filecmp
import re
import tempfile

from generator import shop, tables
from generator.check_jobs import check_jobs

# What makes a row of each file unique.
_KEYS = {
    "suppliers.csv": "supplier", "bins.csv": "bin", "parts.csv": "part", "supplier_parts.csv": "supplier part",
    "price_breaks.csv": "supplier part pack_size from_packs", "reorder_classes.csv": "class",
    "component_models.csv": "model", "model_consumables.csv": "model part",
    "model_valves.csv": "model valve", "model_flows.csv": "model valve",
    "stock.csv": "part od_mm id_mm thickness_mm bin condition", "jobs.csv": "job",
    "job_stacks.csv": "job role leg position", "job_consumables.csv": "job part", "movements.csv": "utc",
}
# column -> the file and column that it refers to
_REFERENCES = {"supplier": ("suppliers.csv", "supplier"), "bin": ("bins.csv", "bin"), "to_bin": ("bins.csv", "bin"),
               "part": ("parts.csv", "part"),
               "wanted_part": ("parts.csv", "part"), "model": ("component_models.csv", "model"), "job": ("jobs.csv", "job")}
_LEDGER_FIRST, _LEDGER_LAST = "2025-11-20T00:00:00Z", "2026-11-20T23:59:59Z"
_SIGN = {"receipt": 1, "return": 1, "issue": -1, "scrap": -1, "move": -1}


def expect(holds, sentence):
    if not holds:
        raise SystemExit(f"FAILED: {sentence}")


def _readme_columns():
    """file -> (all columns, required columns), from the table in the README."""
    text = (tables.FOLDER / "README.md").read_text(encoding="utf-8")
    found = {}
    for name, cells in re.findall(r"^\| `([a-z_]+\.csv)` \| ([^|]+) \|", text, re.MULTILINE):
        columns = [cell.strip() for cell in cells.split(",")]
        found[name] = ({c.strip("[]") for c in columns}, {c for c in columns if not c.startswith("[")})
    return found


def _check_shape(files):
    readme = _readme_columns()
    expect(set(files) <= set(readme), "a file is missing in the README's table")
    for name, rows in files.items():
        header = tables.header(tables.FOLDER, name)
        every, required = readme[name]
        expect(header == tables.COLUMNS[name], f"{name}: unexpected header {header}")
        expect(set(header) <= every and required <= set(header), f"{name}: header differs from the README")
        expect(all(None not in row and None not in row.values() for row in rows), f"{name}: a row of the wrong width")
        keys = collections.Counter(tuple(row[c] for c in _KEYS[name].split()) for row in rows)
        expect(max(keys.values()) == 1, f"{name}: duplicate key {keys.most_common(1)[0][0]}")
        for row in rows:
            for column, (target, target_column) in _REFERENCES.items():
                if name != target and row.get(column):
                    expect(row[column] in _values(files[target], target_column), f"{name}: unknown {column} {row[column]}")
            for column, value in row.items():
                if value and column.endswith("_mm"):
                    expect(tables.micrometres(value) >= 0, f"{name}: {column} {value}")
                if value and column in ("quantity", "count", "pack_size", "legs", "walking_order", "lead_time_days"):
                    expect(value.isdigit() and (int(value) > 0 or row.get("movement") == "count"), f"{name}: {column} {value}")
                if value and column in ("pack_price", "minimum_order", "freight"):
                    expect(re.fullmatch(r"\d+\.\d\d", value), f"{name}: {column} {value}")


_value_cache = {}


def _values(rows, column):
    key = (id(rows), column)
    if key not in _value_cache:
        _value_cache[key] = {row[column] for row in rows}
    return _value_cache[key]


def _check_parts(files):
    iso = {row["code"]: row for row in tables.read(tables.FOLDER, tables.ISO_SIZES)}
    jis = {row["code"]: row for row in tables.read(tables.FOLDER, tables.JIS_SIZES)}
    needed = {"shim": "od_mm id_mm thickness_mm", "bushing": "id_mm od_mm length_mm coating", "oil_seal": "id_mm od_mm length_mm",
              "dust_seal": "id_mm od_mm length_mm", "o_ring": "id_mm section_mm size_code material hardness",
              "snap_ring": "od_mm thickness_mm", "washer": "id_mm od_mm thickness_mm", "fluid": "unit", "other": "unit"}
    offered = _values(files["supplier_parts.csv"], "part")
    for row in files["parts.csv"]:
        expect(all(row[c] for c in needed[row["kind"]].split()), f"{row['part']}: a size is missing")
        expect(row["part"] in offered, f"{row['part']}: nobody sells it")
        expect(row["class"] in ("A", "B", "C"), f"{row['part']}: class {row['class']}")
        if row["od_mm"] and row["id_mm"]:
            expect(tables.micrometres(row["od_mm"]) > tables.micrometres(row["id_mm"]), f"{row['part']}: OD not above ID")
        if row["kind"] == "o_ring":
            size = {**iso, **jis}[row["size_code"]]
            expect((row["id_mm"], row["section_mm"]) == (size["id_mm"], size["section_mm"]), f"{row['part']}: no standard size")


def _replay(files):
    """Opening stock, then every movement in order; returns (part, bin, condition) -> pieces."""
    size_to_part = {(r["od_mm"], r["id_mm"], r["thickness_mm"]): r["part"] for r in files["parts.csv"] if r["kind"] == "shim"}
    expect(len(size_to_part) == sum(r["kind"] == "shim" for r in files["parts.csv"]), "two shims share a size")
    balance, issued, returned = {}, collections.Counter(), collections.Counter()
    for row in files["stock.csv"]:
        part = row["part"] or size_to_part[row["od_mm"], row["id_mm"], row["thickness_mm"]]
        balance[part, row["bin"], row["condition"]] = int(row["quantity"])
        expect(row["counted_on"] < _LEDGER_FIRST, "opening stock counted after the first movement")
        if row["measured_mm"]:
            off = abs(tables.micrometres(row["measured_mm"]) - tables.micrometres(row["thickness_mm"]))
            expect(0 < off <= 5, f"{part}: reading {row['measured_mm']} is not that of this size")
    before = _LEDGER_FIRST
    for row in files["movements.csv"]:
        expect(before < row["utc"] <= _LEDGER_LAST, f"movement at {row['utc']} is out of order")
        datetime.datetime.strptime(row["utc"], "%Y-%m-%dT%H:%M:%SZ")
        before = row["utc"]
        key, quantity = (row["part"], row["bin"], row["condition"]), int(row["quantity"])
        kind = row["movement"]
        expect((kind == "move") == bool(row["to_bin"]) and (kind == "receipt") == bool(row["supplier"]), f"{row}: wrong cells")
        expect(not row["job"] and row["reason"], f"{row}: history belongs to no open job and states a reason")
        balance[key] = quantity if kind == "count" else balance.get(key, 0) + _SIGN[kind] * quantity
        expect(balance[key] >= 0, f"{row['utc']}: {kind} drives {key} below zero")
        if kind == "move":
            other = (row["part"], row["to_bin"], row["condition"])
            balance[other] = balance.get(other, 0) + quantity
        issued[row["part"]] += quantity * (kind == "issue")
        returned[row["part"]] += quantity * (kind == "return")
        expect(returned[row["part"]] <= issued[row["part"]], f"{row['utc']}: {row['part']} returned before it was pulled")
    return balance


def _check_regeneration(seed):
    with tempfile.TemporaryDirectory() as folder:
        shop.write(folder, seed)
        same, different, missing = filecmp.cmpfiles(tables.FOLDER, folder, list(tables.COLUMNS), shallow=False)
    expect(not different and not missing and len(same) == len(tables.COLUMNS), f"regeneration differs: {different + missing}")


def _check_row_table(files):
    text = (tables.FOLDER / "README.md").read_text(encoding="utf-8")
    said = {name: int(n) for n, name in re.findall(r"^\| (\d+) \| `([a-z_]+\.csv)` \|", text, re.MULTILINE)}
    for name, rows in files.items():
        expect(said.get(name) == len(rows), f"README says {said.get(name)} rows for {name}, it has {len(rows)}")


def _print_counts(files, balance):
    for name, rows in files.items():
        print(f"  {name:24} {len(rows):5} rows")
    for name, column in (("parts.csv", "kind"), ("movements.csv", "movement")):
        counts = collections.Counter(row[column] for row in files[name])
        print(f"  {name}: " + ", ".join(f"{n} {what}" for what, n in sorted(counts.items())))
    total = collections.Counter()
    for (part, _, _), quantity in balance.items():
        total[part] += quantity
    low = [r for r in files["parts.csv"] if r["reorder_point"] and total[r["part"]] < int(r["reorder_point"])]
    moved = _values([r for r in files["movements.csv"] if r["movement"] == "issue"], "part")
    every = _values(files["parts.csv"], "part")
    print(f"  at the end of the year: {len(low)} parts below their reorder point, {sum(not total[p] for p in every)} parts"
          f" at zero, {len(every - moved)} never issued")
    for month in ("2025-12", "2026-03", "2026-07", "2026-10"):
        lines = sum(r["utc"].startswith(month) and r["movement"] == "issue" for r in files["movements.csv"])
        print(f"  issue lines in {month}: {lines}")


def main(seed):
    files = {name: tables.read(tables.FOLDER, name) for name in tables.COLUMNS}
    _check_shape(files)
    _check_parts(files)
    balance = _replay(files)
    print("headers, keys, references, sizes and running balances: good")
    check_jobs(files, balance, expect)
    _check_row_table(files)
    _check_regeneration(seed)
    print(f"regeneration with seed {seed}: byte-identical")
    _print_counts(files, balance)
    return 0
