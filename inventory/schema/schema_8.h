// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// A component has several valves: each is a row of jobs with its geometry, stacks and discs, and all but one
/// name the job of the component that they belong to. A valve may lie in some of the legs only.
inline constexpr const char* schema_8[] = {
    "ALTER TABLE jobs ADD COLUMN valve_of_id INTEGER REFERENCES jobs (job_id) CHECK (valve_of_id <> job_id)",
    "ALTER TABLE jobs ADD COLUMN first_leg INTEGER NOT NULL DEFAULT 1 CHECK (first_leg BETWEEN 1 AND 4)",
    "CREATE INDEX jobs_by_component_job ON jobs (valve_of_id) WHERE valve_of_id IS NOT NULL"};

} // namespace shimledger::inventory
