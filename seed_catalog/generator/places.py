# SPDX-License-Identifier: GPL-3.0-or-later
"""Where parts lie and who delivers them: bins in walking order, used trays, suppliers, prices."""

CURRENCY = "EUR"
NORTHGATE = "Northgate Disc Works (invented)"
QUILL = "Quill and Harrow Seals (invented)"
BRAMBLE = "Bramble Lane Bushings (invented)"
OLD_MILL = "Old Mill Workshop Supply (invented)"

# name: lead time and its spread in days, minimum order, freight, note
SUPPLIERS = {
    NORTHGATE: (9, 3, "60.00", "9.50", "shims only, packs of ten"),
    QUILL: (6, 2, "40.00", "7.20", "elastomers, dated bags"),
    BRAMBLE: (14, 4, "90.00", "11.00", "bushings in pairs"),
    OLD_MILL: (2, 1, "25.00", "5.90", "a little of everything, dearer, next day if ordered before noon"),
}

MEASURED_TRAY_FIRST = 13  # F13..F20: one measured used lot each
OVERFLOW_BINS = ("F21", "F22", "F23", "F24")

# kind -> parts that share a compartment of cabinet E
_SHARED = {"bushing": 3, "oil_seal": 2, "dust_seal": 2, "o_ring": 3, "snap_ring": 3, "washer": 3, "fluid": 1,
           "other": 3}
_SHIM_CABINET = {"6.0": "A", "8.0": "B", "10.0": "C", "12.0": "C", "16.0": "D"}


class _Bins:
    """Gives out bins cabinet by cabinet; the walk passes the cabinets in alphabetical order."""

    def __init__(self):
        self.rows = []
        self._used = {}

    def next(self, cabinet, note=""):
        number = self._used[cabinet] = self._used.get(cabinet, 0) + 1
        walking_order = 1000 * (ord(cabinet) - ord("A")) + 10 * number
        code = f"{cabinet}{number:02d}"
        self.rows.append({"bin": code, "cabinet": cabinet, "walking_order": walking_order, "note": note})
        return code


def _place_shims(parts, bins):
    shared = {}
    for part in parts:
        id_text, od_text = part.cells["id_mm"], part.cells["od_mm"]
        if id_text in ("6.0", "8.0"):  # the busy diameters: one compartment for each thickness
            part.bin = bins.next(_SHIM_CABINET[id_text])
        else:
            key = (id_text, od_text)
            if key not in shared:
                shared[key] = bins.next(_SHIM_CABINET[id_text], f"all thicknesses of {od_text} x {id_text}")
            part.bin = shared[key]


def place(parts, never_reclaimed):
    """Sets part.bin and part.used_bin; returns the rows of bins.csv in walking order."""
    bins = _Bins()
    shims = [p for p in parts if p.kind == "shim"]
    _place_shims(shims, bins)
    for kind, sharing in _SHARED.items():
        for index, part in enumerate(p for p in parts if p.kind == kind):
            part.bin = bins.next("E") if index % sharing == 0 else bins.rows[-1]["bin"]
    trays = [bins.next("F", "used shims") for _ in range(MEASURED_TRAY_FIRST - 1)]
    reclaimed = [p for p in shims if p.class_ in "AB" and p.code not in never_reclaimed and p.popularity > 0]
    for index, part in enumerate(reclaimed):
        part.used_bin = trays[index * len(trays) // len(reclaimed)]
    for _ in range(8):
        bins.next("F", "used shims, one lot measured with the micrometer")
    for _ in OVERFLOW_BINS:
        bins.next("F", "overflow of full drawers")
    return sorted(bins.rows, key=lambda row: row["walking_order"])


def money(cents):
    return f"{cents // 100}.{cents % 100:02d}"


def supplier_rows():
    return [{"supplier": name, "lead_time_days": lead, "lead_time_spread_days": spread, "currency": CURRENCY,
             "minimum_order": minimum, "freight": freight, "note": note}
            for name, (lead, spread, minimum, freight, note) in SUPPLIERS.items()]


def price_list(parts):
    """Rows of supplier_parts.csv; sets part.suppliers, the usual one first."""
    first = {"shim": NORTHGATE, "oil_seal": QUILL, "dust_seal": QUILL, "o_ring": QUILL, "bushing": BRAMBLE}
    rows = []
    for number, part in enumerate(parts, start=1):
        usual = first.get(part.kind, OLD_MILL)
        offers = [(usual, part.pack, part.price_cents)]
        if usual is not OLD_MILL and part.class_ == "A":  # half the pack at 1.4 times the price of a piece
            half = max(1, part.pack // 2)
            offers.append((OLD_MILL, half, part.price_cents * half * 14 // (part.pack * 10)))
        part.suppliers = [supplier for supplier, _, _ in offers]
        for supplier, pack, cents in offers:
            initials = "".join(word[0] for word in supplier.split()[:2]).upper()
            rows.append({"supplier": supplier, "part": part.code, "pack_size": pack, "pack_price": money(cents),
                         "supplier_code": f"{initials}{number:04d}",
                         "priced_on": "2026-09-01" if number % 3 else "2026-06-15"})
    return rows
