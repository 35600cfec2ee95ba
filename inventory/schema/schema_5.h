// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// A shop's own data can be changed and retired: what history refers to stays, marked, and every change is
/// kept with its time, what stood there before and what stands there now. Beside that, the valves of a
/// component model with their sizes.
inline constexpr const char* schema_5[] = {
    "ALTER TABLE parts ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))",
    "ALTER TABLE bins ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))",
    "ALTER TABLE suppliers ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))",
    "ALTER TABLE supplier_parts ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))",
    "ALTER TABLE component_models ADD COLUMN retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))",
    R"(CREATE TABLE model_valves (
        model_id INTEGER NOT NULL REFERENCES component_models,
        name TEXT NOT NULL CHECK (name <> ''),
        position INTEGER NOT NULL,
        clamp_od_um INTEGER NOT NULL CHECK (clamp_od_um > 0),
        port_inner_diameter_um INTEGER NOT NULL CHECK (port_inner_diameter_um > 0),
        port_outer_diameter_um INTEGER NOT NULL CHECK (port_outer_diameter_um > port_inner_diameter_um),
        shim_id_um INTEGER NOT NULL CHECK (shim_id_um > 0),
        seat_diameter_um INTEGER CHECK (seat_diameter_um > 0),
        preload_um INTEGER CHECK (preload_um >= 0),
        PRIMARY KEY (model_id, name)) STRICT, WITHOUT ROWID)",
    // One table for all kinds. An offer is named by supplier, part and pack; a wear part of a model by model
    // and part; a price break by the packs that it begins at, and a model's valve by its name (item). Empty:
    // nothing stands there.
    R"(CREATE TABLE master_changes (
        change_id INTEGER PRIMARY KEY,
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        kind TEXT NOT NULL,
        part_id INTEGER REFERENCES parts,
        bin_id INTEGER REFERENCES bins,
        supplier_id INTEGER REFERENCES suppliers,
        model_id INTEGER REFERENCES component_models,
        pack_size INTEGER CHECK (pack_size > 0),
        part_class TEXT,
        field TEXT NOT NULL CHECK (field <> ''),
        item TEXT NOT NULL,
        before TEXT NOT NULL,
        after TEXT NOT NULL CHECK (after <> before),
        CHECK (CASE kind
            WHEN 'part' THEN part_id IS NOT NULL AND coalesce(bin_id, supplier_id, model_id) IS NULL
            WHEN 'bin' THEN bin_id IS NOT NULL AND coalesce(part_id, supplier_id, model_id) IS NULL
            WHEN 'supplier' THEN supplier_id IS NOT NULL AND coalesce(part_id, bin_id, model_id) IS NULL
            WHEN 'offer' THEN supplier_id IS NOT NULL AND part_id IS NOT NULL AND pack_size IS NOT NULL
                              AND coalesce(bin_id, model_id) IS NULL
            WHEN 'model' THEN model_id IS NOT NULL AND coalesce(bin_id, supplier_id) IS NULL
            WHEN 'class' THEN part_class IS NOT NULL
                              AND coalesce(part_id, bin_id, supplier_id, model_id) IS NULL
            ELSE FALSE END),
        CHECK ((pack_size IS NOT NULL) = (kind = 'offer')),
        CHECK ((part_class IS NOT NULL) = (kind = 'class'))) STRICT)",
    "CREATE INDEX master_changes_by_part ON master_changes (part_id) WHERE part_id IS NOT NULL",
    "CREATE INDEX master_changes_by_bin ON master_changes (bin_id) WHERE bin_id IS NOT NULL",
    "CREATE INDEX master_changes_by_supplier ON master_changes (supplier_id) WHERE supplier_id IS NOT NULL",
    "CREATE INDEX master_changes_by_model ON master_changes (model_id) WHERE model_id IS NOT NULL",
    R"(CREATE TRIGGER master_changes_never_change BEFORE UPDATE ON master_changes
        BEGIN SELECT RAISE(ABORT, 'a kept change is never changed: change the data once more'); END)",
    R"(CREATE TRIGGER master_changes_never_go BEFORE DELETE ON master_changes
        BEGIN SELECT RAISE(ABORT, 'a kept change is never deleted'); END)",
    R"(CREATE TRIGGER master_changes_never_replaced BEFORE INSERT ON master_changes
        WHEN EXISTS (SELECT 1 FROM master_changes WHERE change_id = NEW.change_id)
        BEGIN SELECT RAISE(ABORT, 'a kept change is never replaced'); END)"};

} // namespace shimledger::inventory
