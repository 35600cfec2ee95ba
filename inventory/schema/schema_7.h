// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// Stacks that were tried for a job beside its target, with what was wished of them, the lift that a valve
/// works in, and the clamp that a build stands on where it is not the valve's.
inline constexpr const char* schema_7[] = {
    "ALTER TABLE jobs ADD COLUMN build_clamp_od_um INTEGER CHECK (build_clamp_od_um > 0)",
    "ALTER TABLE model_flows ADD COLUMN working_lift_um INTEGER CHECK (working_lift_um > 0)",
    R"(CREATE TABLE job_tries (
        job_id INTEGER NOT NULL REFERENCES jobs,
        name TEXT NOT NULL CHECK (name <> ''),
        wanted TEXT NOT NULL,
        kept_as TEXT NOT NULL CHECK (kept_as IN ('', 'base', 'target', 'build')),
        base TEXT NOT NULL,
        clamp_od_um INTEGER CHECK (clamp_od_um > 0),
        made_by TEXT NOT NULL,
        made_utc TEXT NOT NULL CHECK (length(made_utc) = 20),
        PRIMARY KEY (job_id, name)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE job_try_rows (
        job_id INTEGER NOT NULL,
        name TEXT NOT NULL,
        position INTEGER NOT NULL CHECK (position > 0),
        count INTEGER NOT NULL CHECK (count BETWEEN 1 AND 1000),
        od_um INTEGER NOT NULL CHECK (od_um > 0),
        thickness_um INTEGER NOT NULL CHECK (thickness_um > 0),
        PRIMARY KEY (job_id, name, position),
        FOREIGN KEY (job_id, name) REFERENCES job_tries ON DELETE CASCADE) STRICT, WITHOUT ROWID)"};

} // namespace shimledger::inventory
