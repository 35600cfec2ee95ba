// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// What ordering needs: settings per class of parts, and packs that get cheaper with their number.
inline constexpr const char* schema_3[] = {
    R"(CREATE TABLE reorder_classes (
        part_class TEXT PRIMARY KEY, -- '' is for every class without a row of its own
        service_per_mille INTEGER NOT NULL CHECK (service_per_mille BETWEEN 1 AND 999),
        review_days INTEGER NOT NULL CHECK (review_days BETWEEN 0 AND 365),
        line_cost INTEGER NOT NULL CHECK (line_cost > 0),
        holding_percent INTEGER NOT NULL CHECK (holding_percent BETWEEN 1 AND 100),
        cover_months INTEGER NOT NULL CHECK (cover_months BETWEEN 1 AND 120),
        dead_months INTEGER NOT NULL CHECK (dead_months BETWEEN 1 AND 120)) STRICT, WITHOUT ROWID)",
    R"(CREATE TABLE price_breaks (
        supplier_id INTEGER NOT NULL,
        part_id INTEGER NOT NULL,
        pack_size INTEGER NOT NULL,
        from_packs INTEGER NOT NULL CHECK (from_packs > 1),
        pack_price INTEGER NOT NULL CHECK (pack_price > 0),
        PRIMARY KEY (supplier_id, part_id, pack_size, from_packs),
        FOREIGN KEY (supplier_id, part_id, pack_size) REFERENCES supplier_parts) STRICT, WITHOUT ROWID)"};

} // namespace shimledger::inventory
