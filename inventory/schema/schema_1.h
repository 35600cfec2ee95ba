// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// The first schema. Lengths are micrometres (_um), money is hundredths, days and moments are ISO 8601 texts,
/// condition is 0 = new, 1 = used. Kinds of part are known to part_kinds.cpp alone, hence no list of them
/// here.
inline constexpr const char* schema_1[] = {
    // --- catalogue ---
    R"(CREATE TABLE parts (
        part_id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE CHECK (code <> ''),
        kind TEXT NOT NULL CHECK (kind <> ''),
        description TEXT NOT NULL,
        od_um INTEGER CHECK (od_um > 0),
        id_um INTEGER CHECK (id_um > 0),
        thickness_um INTEGER CHECK (thickness_um > 0),
        section_um INTEGER CHECK (section_um > 0),
        length_um INTEGER CHECK (length_um > 0),
        size_code TEXT NOT NULL,
        material TEXT NOT NULL,
        hardness TEXT NOT NULL,
        coating TEXT NOT NULL,
        unit TEXT NOT NULL CHECK (unit IN ('piece', 'mm', 'ml')),
        part_class TEXT NOT NULL,
        reorder_point INTEGER CHECK (reorder_point >= 0),
        shelf_life_months INTEGER CHECK (shelf_life_months > 0),
        note TEXT NOT NULL,
        CHECK (id_um < od_um)) STRICT)",
    "CREATE INDEX parts_by_size ON parts (kind, od_um, id_um, thickness_um)",
    R"(CREATE TABLE bins (
        bin_id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE CHECK (code <> ''),
        cabinet TEXT NOT NULL,
        walking_order INTEGER NOT NULL CHECK (walking_order >= 0),
        note TEXT NOT NULL) STRICT)",
    R"(CREATE TABLE suppliers (
        supplier_id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE CHECK (name <> ''),
        lead_time_days INTEGER NOT NULL CHECK (lead_time_days >= 0),
        currency TEXT NOT NULL CHECK (length(currency) = 3),
        lead_time_spread_days INTEGER CHECK (lead_time_spread_days >= 0),
        minimum_order INTEGER CHECK (minimum_order >= 0),
        freight INTEGER CHECK (freight >= 0),
        note TEXT NOT NULL) STRICT)",
    R"(CREATE TABLE supplier_parts (
        supplier_id INTEGER NOT NULL REFERENCES suppliers,
        part_id INTEGER NOT NULL REFERENCES parts,
        pack_size INTEGER NOT NULL CHECK (pack_size > 0),
        pack_price INTEGER NOT NULL CHECK (pack_price >= 0),
        supplier_code TEXT NOT NULL,
        priced_on TEXT CHECK (length(priced_on) = 10),
        PRIMARY KEY (supplier_id, part_id, pack_size)) STRICT, WITHOUT ROWID)",
    "CREATE INDEX supplier_parts_by_part ON supplier_parts (part_id)",
    // --- component models and jobs ---
    R"(CREATE TABLE component_models (
        model_id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE CHECK (code <> ''),
        kind TEXT NOT NULL CHECK (kind IN ('fork', 'shock')),
        description TEXT NOT NULL,
        legs INTEGER NOT NULL CHECK (legs BETWEEN 1 AND 4),
        note TEXT NOT NULL) STRICT)",
    R"(CREATE TABLE model_consumables (
        model_id INTEGER NOT NULL REFERENCES component_models,
        part_id INTEGER NOT NULL REFERENCES parts,
        position INTEGER NOT NULL,
        quantity_per_leg INTEGER NOT NULL CHECK (quantity_per_leg > 0),
        note TEXT NOT NULL,
        PRIMARY KEY (model_id, part_id)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE jobs (
        job_id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE CHECK (code <> ''),
        customer TEXT NOT NULL,
        model_id INTEGER NOT NULL REFERENCES component_models,
        valve_name TEXT NOT NULL,
        clamp_od_um INTEGER NOT NULL CHECK (clamp_od_um > 0),
        port_inner_diameter_um INTEGER NOT NULL CHECK (port_inner_diameter_um > 0),
        port_outer_diameter_um INTEGER NOT NULL CHECK (port_outer_diameter_um > port_inner_diameter_um),
        shim_id_um INTEGER NOT NULL CHECK (shim_id_um > 0),
        seat_diameter_um INTEGER CHECK (seat_diameter_um > 0),
        preload_um INTEGER CHECK (preload_um >= 0),
        legs INTEGER NOT NULL CHECK (legs BETWEEN 1 AND 4),
        opened TEXT NOT NULL CHECK (length(opened) = 10),
        due TEXT CHECK (length(due) = 10),
        priority INTEGER NOT NULL CHECK (priority BETWEEN 0 AND 9),
        status TEXT NOT NULL CHECK (status IN ('open', 'reserved', 'pulled', 'closed', 'cancelled')),
        note TEXT NOT NULL) STRICT)",
    R"(CREATE TABLE job_stack_rows (
        job_id INTEGER NOT NULL REFERENCES jobs,
        role TEXT NOT NULL CHECK (role IN ('as_found', 'target', 'build')),
        leg INTEGER NOT NULL CHECK (leg BETWEEN 0 AND 4),
        position INTEGER NOT NULL CHECK (position > 0),
        count INTEGER NOT NULL CHECK (count BETWEEN 1 AND 1000),
        od_um INTEGER NOT NULL CHECK (od_um > 0),
        thickness_um INTEGER NOT NULL CHECK (thickness_um > 0),
        replaces INTEGER CHECK (replaces > 0),
        CHECK ((role = 'as_found') = (leg > 0)),
        CHECK (replaces IS NULL OR role = 'build'),
        PRIMARY KEY (job_id, role, leg, position)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE job_consumables (
        job_id INTEGER NOT NULL REFERENCES jobs,
        part_id INTEGER NOT NULL REFERENCES parts,
        position INTEGER NOT NULL,
        quantity INTEGER NOT NULL CHECK (quantity > 0),
        reason TEXT NOT NULL,
        PRIMARY KEY (job_id, part_id)) STRICT, WITHOUT ROWID)",
    // --- orders ---
    R"(CREATE TABLE purchase_orders (
        order_id INTEGER PRIMARY KEY,
        code TEXT NOT NULL UNIQUE CHECK (code <> ''),
        supplier_id INTEGER NOT NULL REFERENCES suppliers,
        ordered_utc TEXT NOT NULL CHECK (length(ordered_utc) = 20),
        closed INTEGER NOT NULL CHECK (closed IN (0, 1)),
        note TEXT NOT NULL) STRICT)",
    R"(CREATE TABLE order_lines (
        order_line_id INTEGER PRIMARY KEY,
        order_id INTEGER NOT NULL REFERENCES purchase_orders,
        part_id INTEGER NOT NULL REFERENCES parts,
        packs INTEGER NOT NULL CHECK (packs > 0),
        pack_size INTEGER NOT NULL CHECK (pack_size > 0),
        pack_price INTEGER NOT NULL CHECK (pack_price >= 0)) STRICT)",
    "CREATE INDEX order_lines_by_order ON order_lines (order_id)",
    // --- the ledger: rows are only ever added ---
    R"(CREATE TABLE movements (
        movement_id INTEGER PRIMARY KEY,
        batch INTEGER NOT NULL CHECK (batch > 0 AND batch <= movement_id),
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        kind TEXT NOT NULL,
        part_id INTEGER NOT NULL REFERENCES parts,
        bin_id INTEGER NOT NULL REFERENCES bins,
        condition INTEGER NOT NULL CHECK (condition IN (0, 1)),
        quantity INTEGER NOT NULL CHECK (quantity >= 0),
        on_hand_change INTEGER NOT NULL,
        reserved_change INTEGER NOT NULL,
        other_bin_id INTEGER REFERENCES bins CHECK (other_bin_id <> bin_id),
        moved_from_id INTEGER REFERENCES movements,
        job_id INTEGER REFERENCES jobs,
        wanted_part_id INTEGER REFERENCES parts CHECK (wanted_part_id <> part_id),
        supplier_id INTEGER REFERENCES suppliers,
        order_line_id INTEGER REFERENCES order_lines,
        reverses_id INTEGER UNIQUE REFERENCES movements CHECK (reverses_id < movement_id),
        reason TEXT NOT NULL,
        CHECK (quantity > 0 OR kind IN ('count', 'reversal')),
        CHECK ((reverses_id IS NOT NULL) = (kind = 'reversal')),
        CHECK (CASE kind
            WHEN 'receipt' THEN on_hand_change = quantity AND reserved_change = 0
            WHEN 'return' THEN on_hand_change = quantity AND reserved_change = 0
            WHEN 'reserve' THEN on_hand_change = 0 AND reserved_change = quantity AND job_id IS NOT NULL
            WHEN 'release' THEN on_hand_change = 0 AND reserved_change = -quantity AND job_id IS NOT NULL
            WHEN 'issue' THEN on_hand_change = -quantity AND reserved_change BETWEEN -quantity AND 0
                              AND (job_id IS NOT NULL OR reserved_change = 0)
            WHEN 'scrap' THEN on_hand_change = -quantity AND reserved_change = 0
            WHEN 'count' THEN reserved_change = 0
            WHEN 'move' THEN reserved_change = 0 AND other_bin_id IS NOT NULL
                             AND on_hand_change = CASE WHEN moved_from_id IS NULL THEN -quantity ELSE quantity END
            WHEN 'reversal' THEN TRUE
            ELSE FALSE END)) STRICT)",
    "CREATE INDEX movements_by_part ON movements (part_id)",
    "CREATE INDEX movements_by_bin ON movements (bin_id)",
    "CREATE INDEX movements_by_job ON movements (job_id) WHERE job_id IS NOT NULL",
    "CREATE INDEX movements_by_order_line ON movements (order_line_id) WHERE order_line_id IS NOT NULL",
    "CREATE INDEX movements_by_utc ON movements (utc)",
    R"(CREATE TRIGGER movements_never_change BEFORE UPDATE ON movements
        BEGIN SELECT RAISE(ABORT, 'a movement is never changed: post its reverse'); END)",
    R"(CREATE TRIGGER movements_never_go BEFORE DELETE ON movements
        BEGIN SELECT RAISE(ABORT, 'a movement is never deleted: post its reverse'); END)",
    // INSERT OR REPLACE would delete without asking the trigger above.
    R"(CREATE TRIGGER movements_never_replaced BEFORE INSERT ON movements
        WHEN EXISTS (SELECT 1 FROM movements WHERE movement_id = NEW.movement_id)
          OR EXISTS (SELECT 1 FROM movements WHERE reverses_id = NEW.reverses_id)
        BEGIN SELECT RAISE(ABORT, 'a movement is never replaced: post its reverse'); END)",
    // --- what follows from the ledger, kept in the same transaction, proved by verifyStock ---
    R"(CREATE TABLE balances (
        part_id INTEGER NOT NULL REFERENCES parts,
        bin_id INTEGER NOT NULL REFERENCES bins,
        condition INTEGER NOT NULL CHECK (condition IN (0, 1)),
        on_hand INTEGER NOT NULL CHECK (on_hand >= 0),
        reserved INTEGER NOT NULL CHECK (reserved >= 0),
        CHECK (reserved <= on_hand),
        PRIMARY KEY (part_id, bin_id, condition)) STRICT, WITHOUT ROWID)",
    "CREATE INDEX balances_by_bin ON balances (bin_id)",
    R"(CREATE TABLE reservations (
        job_id INTEGER NOT NULL REFERENCES jobs,
        part_id INTEGER NOT NULL REFERENCES parts,
        bin_id INTEGER NOT NULL REFERENCES bins,
        condition INTEGER NOT NULL CHECK (condition IN (0, 1)),
        wanted_part_id INTEGER NOT NULL REFERENCES parts, -- the part itself where nothing is replaced
        quantity INTEGER NOT NULL CHECK (quantity > 0),
        PRIMARY KEY (job_id, part_id, bin_id, condition, wanted_part_id)) STRICT, WITHOUT ROWID)",
    "CREATE INDEX reservations_by_lot ON reservations (part_id, bin_id, condition)",
    R"(CREATE TABLE readings (
        reading_id INTEGER PRIMARY KEY,
        part_id INTEGER NOT NULL REFERENCES parts,
        bin_id INTEGER NOT NULL REFERENCES bins,
        condition INTEGER NOT NULL CHECK (condition IN (0, 1)),
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        thickness_um INTEGER NOT NULL CHECK (thickness_um > 0)) STRICT)",
    "CREATE INDEX readings_by_lot ON readings (part_id, bin_id, condition, thickness_um)"};

} // namespace shimledger::inventory
