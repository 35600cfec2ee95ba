// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// A component has several valves: each is a row of jobs with its geometry, stacks and discs, and all but one
/// name the job of the component that they belong to. A valve may lie in some of the legs only.
/// Recipes beside it: stacks that are expected, with how often. Kept changes may be of a recipe too: what a
/// table allows cannot be widened, so the rows move to a new one.
inline constexpr const char* schema_8[] = {
    "ALTER TABLE jobs ADD COLUMN valve_of_id INTEGER REFERENCES jobs (job_id) CHECK (valve_of_id <> job_id)",
    "ALTER TABLE jobs ADD COLUMN first_leg INTEGER NOT NULL DEFAULT 1 CHECK (first_leg BETWEEN 1 AND 4)",
    "CREATE INDEX jobs_by_component_job ON jobs (valve_of_id) WHERE valve_of_id IS NOT NULL",
    R"(CREATE TABLE recipes (
        recipe_id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE CHECK (name <> ''),
        jobs_a_year_thousandths INTEGER NOT NULL CHECK (jobs_a_year_thousandths >= 0),
        legs INTEGER NOT NULL CHECK (legs BETWEEN 1 AND 4),
        model_id INTEGER REFERENCES component_models,
        valve TEXT NOT NULL,
        clamp_od_um INTEGER NOT NULL CHECK (clamp_od_um > 0),
        port_inner_diameter_um INTEGER NOT NULL CHECK (port_inner_diameter_um > 0),
        port_outer_diameter_um INTEGER NOT NULL CHECK (port_outer_diameter_um > port_inner_diameter_um),
        shim_id_um INTEGER NOT NULL CHECK (shim_id_um > 0),
        seat_diameter_um INTEGER CHECK (seat_diameter_um > 0),
        preload_um INTEGER CHECK (preload_um >= 0),
        stack TEXT NOT NULL CHECK (stack <> ''),
        note TEXT NOT NULL,
        retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))) STRICT)",
    "ALTER TABLE master_changes RENAME TO master_changes_before",
    R"(CREATE TABLE master_changes (
        change_id INTEGER PRIMARY KEY,
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        kind TEXT NOT NULL,
        part_id INTEGER REFERENCES parts,
        bin_id INTEGER REFERENCES bins,
        supplier_id INTEGER REFERENCES suppliers,
        model_id INTEGER REFERENCES component_models,
        recipe_id INTEGER REFERENCES recipes,
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
            WHEN 'recipe' THEN recipe_id IS NOT NULL
                              AND coalesce(part_id, bin_id, supplier_id, model_id) IS NULL
            WHEN 'class' THEN part_class IS NOT NULL
                              AND coalesce(part_id, bin_id, supplier_id, model_id) IS NULL
            ELSE FALSE END),
        CHECK ((recipe_id IS NOT NULL) = (kind = 'recipe')),
        CHECK ((pack_size IS NOT NULL) = (kind = 'offer')),
        CHECK ((part_class IS NOT NULL) = (kind = 'class'))) STRICT)",
    "INSERT INTO master_changes (change_id, utc, kind, part_id, bin_id, supplier_id, model_id, pack_size, "
    "part_class, field, item, before, after) SELECT change_id, utc, kind, part_id, bin_id, supplier_id, "
    "model_id, pack_size, part_class, field, item, before, after FROM master_changes_before",
    "DROP TABLE master_changes_before",
    "CREATE INDEX master_changes_by_part ON master_changes (part_id) WHERE part_id IS NOT NULL",
    "CREATE INDEX master_changes_by_bin ON master_changes (bin_id) WHERE bin_id IS NOT NULL",
    "CREATE INDEX master_changes_by_supplier ON master_changes (supplier_id) WHERE supplier_id IS NOT NULL",
    "CREATE INDEX master_changes_by_model ON master_changes (model_id) WHERE model_id IS NOT NULL",
    "CREATE INDEX master_changes_by_recipe ON master_changes (recipe_id) WHERE recipe_id IS NOT NULL",
    R"(CREATE TRIGGER master_changes_never_change BEFORE UPDATE ON master_changes
        BEGIN SELECT RAISE(ABORT, 'a kept change is never changed: change the data once more'); END)",
    R"(CREATE TRIGGER master_changes_never_go BEFORE DELETE ON master_changes
        BEGIN SELECT RAISE(ABORT, 'a kept change is never deleted'); END)",
    R"(CREATE TRIGGER master_changes_never_replaced BEFORE INSERT ON master_changes
        WHEN EXISTS (SELECT 1 FROM master_changes WHERE change_id = NEW.change_id)
        BEGIN SELECT RAISE(ABORT, 'a kept change is never replaced'); END)"};

} // namespace shimledger::inventory
