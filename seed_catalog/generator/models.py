# SPDX-License-Identifier: GPL-3.0-or-later
"""Invented component models and the consumables each takes per leg."""

from generator import other_parts as sizes

# model: (size of tube or shaft, ISO ring, JIS ring, washer bore x OD x thickness, nut thread, oil, ml per leg)
_FORKS = {
    "FK-ALDER-36": (36, "014", "P22", "8-14-1.0", 6, 10, 380),
    "FK-BIRCH-39": (39, "112", "P22A", "8-14-1.0", 6, 10, 410),
    "FK-CEDAR-41": (41, "113", "P25", "8-14-1.0", 6, 15, 430),
    "FK-HAZEL-43": (43, "114", "G25", "10-16-1.5", 6, 10, 450),
    "FK-LARCH-45": (45, "116", "G30", "10-16-1.5", 6, 15, 470),
    "FK-MAPLE-47": (47, "210", "G35", "10-16-1.5", 8, 10, 500),
    "FK-ROWAN-48": (48, "212", "G40", "12-18-1.5", 10, 15, 520),
    "FK-WILLOW-49": (49, "214", "G45", "12-18-1.5", 8, 10, 540),
}
_SHOCKS = {
    "SK-BASALT-12": (12, "116", "P10A", "6-10-1.0", 12, 15, 210),
    "SK-FLINT-14": (14, "118", "P14", "6-10-1.0", 12, 22, 240),
    "SK-SLATE-16": (16, "216", "P16", "6-10-1.0", 16, 15, 320),
    "SK-GRANITE-18": (18, "222", "P18", "8-14-1.0", 16, 22, 360),
}


def _wear_parts(name):
    if name in _FORKS:
        size, iso, jis, washer, nut, oil, ml = _FORKS[name]
        yield sizes.guide_bushing(size), 1, "outer tube"
        yield sizes.piston_bushing(size), 1, "inner tube"
        yield sizes.snap_ring(size), 1, ""
    else:
        size, iso, jis, washer, nut, oil, ml = _SHOCKS[name]
        yield sizes.bushing(size, size + 2, 10), 2, "seal head"
    yield sizes.oil_seal(size), 1, ""
    yield sizes.dust_seal(size), 1, ""
    yield f"OR-ISO-{iso}-NBR70", 2, "damper head"
    yield f"OR-JIS-{jis}-NBR70", 1, "cap"
    yield f"WA-{washer}", 1, "drain or foot bolt"
    yield f"OT-NUT-M{nut}", 1, "after every opening of the valve"
    yield f"FL-VG{oil}", ml, "fill"


CONSUMABLES = {name: list(_wear_parts(name)) for name in (*_FORKS, *_SHOCKS)}
FORKS = tuple(_FORKS)
SHOCKS = tuple(_SHOCKS)


def model_rows():
    rows = []
    for name in CONSUMABLES:
        _, tree, size = name.split("-")
        kind, legs, what = ("fork", 2, "tube") if name in _FORKS else ("shock", 1, "shaft")
        rows.append({"model": name, "kind": kind, "legs": legs, "note": "invented",
                     "description": f"{tree.title()} {kind}, {size} mm {what} (invented)"})
    return rows


def consumable_rows():
    return [{"model": name, "part": part, "quantity_per_leg": quantity, "note": note}
            for name, parts in CONSUMABLES.items() for part, quantity, note in parts]


def flow_rows():
    """What was measured of two valves; of the others nobody knows, and what is usual is taken."""
    oil = {"oil_density_kg_m3": "850", "oil_40c_mm2_s": "15", "oil_100c_mm2_s": "3.4", "temperature_c": "40"}
    return [{"model": "FK-CEDAR-41", "valve": "base", "stroke": "compression", "driven_by": "shaft",
             "piston_mm": "28.0", "shaft_mm": "12.0", "port_count": 3, "port_mm": "4.0",
             "adjuster": "0=0 4=0.6 8=0.9 12=1.15 16=1.35", "click": 8, **oil},
            {"model": "SK-SLATE-16", "valve": "compression", "stroke": "compression", "driven_by": "piston",
             "piston_mm": "46.0", "shaft_mm": "16.0", "port_count": 6, "port_mm": "6.0", "needle_seat_mm": "3.0",
             "needle_cone_deg": "20", "needle_pitch_mm": "0.5", "needle_clicks_per_turn": 12, "needle_clicks": 24,
             "click": 12, "backing_mpa": "1", **oil}]
