# SPDX-License-Identifier: GPL-3.0-or-later
"""The CSV files: their columns, and how they are written and read. The README is the contract."""

import csv
import pathlib

FOLDER = pathlib.Path(__file__).resolve().parent.parent

COLUMNS = {
    "suppliers.csv": "supplier lead_time_days lead_time_spread_days currency minimum_order freight note",
    "bins.csv": "bin cabinet walking_order note",
    "parts.csv": "part kind description od_mm id_mm thickness_mm section_mm length_mm size_code material hardness"
                 " coating unit class reorder_point shelf_life_months note",
    "supplier_parts.csv": "supplier part pack_size pack_price supplier_code priced_on",
    "price_breaks.csv": "supplier part pack_size from_packs pack_price",
    "reorder_classes.csv": "class service_per_mille review_days line_cost holding_percent cover_months dead_months",
    "component_models.csv": "model kind description legs note",
    "model_consumables.csv": "model part quantity_per_leg note",
    "model_valves.csv": "model valve clamp_od_mm port_inner_diameter_mm port_outer_diameter_mm shim_id_mm"
                        " seat_diameter_mm preload_mm",
    "model_flows.csv": "model valve stroke driven_by piston_mm shaft_mm port_count port_mm adjuster needle_seat_mm"
                       " needle_cone_deg needle_pitch_mm needle_clicks_per_turn needle_clicks click"
                       " oil_density_kg_m3 oil_40c_mm2_s oil_100c_mm2_s temperature_c backing_mpa",
    "stock.csv": "kind od_mm id_mm thickness_mm measured_mm condition bin quantity part counted_on",
    "jobs.csv": "job customer model valve legs opened due priority clamp_od_mm port_inner_diameter_mm"
                " port_outer_diameter_mm shim_id_mm seat_diameter_mm preload_mm note",
    "job_stacks.csv": "job role leg position count od_mm thickness_mm",
    "job_consumables.csv": "job part quantity reason",
    "movements.csv": "utc movement part bin condition quantity to_bin job reason supplier wanted_part",
}
COLUMNS = {name: columns.split() for name, columns in COLUMNS.items()}

# Inputs, not outputs: committed lists of standard sizes.
ISO_SIZES = "o_ring_sizes_iso3601.csv"
JIS_SIZES = "o_ring_sizes_jis_b2401.csv"


def write(folder, name, rows):
    """Writes rows (dicts; a missing key is an empty cell) and refuses a key that is no column."""
    with open(pathlib.Path(folder) / name, "w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, COLUMNS[name], restval="", lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


def read(folder, name):
    with open(pathlib.Path(folder) / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def header(folder, name):
    with open(pathlib.Path(folder) / name, newline="", encoding="utf-8") as file:
        return next(csv.reader(file))


def micrometres(text):
    """'0.148' -> 148, exactly; more than three decimals is an error."""
    whole, _, decimals = text.partition(".")
    if len(decimals) > 3:
        raise ValueError(f"{text!r} is finer than a micrometre")
    return int(whole) * 1000 + int(decimals.ljust(3, "0"))


def millimetres(um, decimals=1):
    """148 -> '0.148', 24000 -> '24.0': at least `decimals` places and as many more as the value needs."""
    text = f"{um // 1000}.{um % 1000:03d}"
    while text.endswith("0") and len(text.partition(".")[2]) > decimals:
        text = text[:-1]
    return text
