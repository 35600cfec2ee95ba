// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// What the strip of a component finds: which component it is, its stacks disc by disc with their readings,
/// and the wear of its parts.
inline constexpr const char* schema_2[] = {
    // The component's own mark (serial number, tag): what makes two jobs jobs of the same fork.
    "ALTER TABLE jobs ADD COLUMN component TEXT NOT NULL DEFAULT ''",
    "CREATE INDEX jobs_by_component ON jobs (component) WHERE component <> ''",
    R"(CREATE TABLE strip_rows (
        job_id INTEGER NOT NULL REFERENCES jobs,
        leg INTEGER NOT NULL CHECK (leg BETWEEN 1 AND 4),
        position INTEGER NOT NULL CHECK (position > 0),
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        count INTEGER NOT NULL CHECK (count BETWEEN 1 AND 1000),
        od_um INTEGER NOT NULL CHECK (od_um > 0),
        part_id INTEGER REFERENCES parts,
        scrap INTEGER NOT NULL CHECK (scrap BETWEEN 0 AND count),
        scrap_reason TEXT NOT NULL CHECK ((scrap = 0) = (scrap_reason = '')),
        bin_id INTEGER REFERENCES bins,
        PRIMARY KEY (job_id, leg, position)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE strip_readings (
        job_id INTEGER NOT NULL,
        leg INTEGER NOT NULL,
        position INTEGER NOT NULL,
        place INTEGER NOT NULL CHECK (place > 0),
        thickness_um INTEGER NOT NULL CHECK (thickness_um > 0),
        PRIMARY KEY (job_id, leg, position, place),
        FOREIGN KEY (job_id, leg, position) REFERENCES strip_rows ON DELETE CASCADE) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE wear_findings (
        finding_id INTEGER PRIMARY KEY,
        job_id INTEGER NOT NULL REFERENCES jobs,
        leg INTEGER NOT NULL CHECK (leg BETWEEN 0 AND 4),
        part_id INTEGER REFERENCES parts,
        place TEXT NOT NULL,
        utc TEXT NOT NULL CHECK (length(utc) = 20),
        worn_percent INTEGER CHECK (worn_percent BETWEEN 0 AND 100),
        state TEXT NOT NULL CHECK (state IN ('', 'good', 'worn', 'damaged')),
        decision TEXT NOT NULL CHECK (decision IN ('replace', 'defer', 'keep')),
        quantity INTEGER NOT NULL CHECK (quantity > 0),
        reason TEXT NOT NULL,
        note TEXT NOT NULL,
        CHECK (part_id IS NOT NULL OR place <> '')) STRICT)",
    // One finding for each part or place of a leg in one job; coalesce, as NULLs would all differ.
    "CREATE UNIQUE INDEX wear_findings_once ON wear_findings (job_id, leg, coalesce(part_id, 0), place)"};

} // namespace shimledger::inventory
