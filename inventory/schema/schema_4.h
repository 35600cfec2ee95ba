// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// A checksum for every batch of the ledger, chained: a movement that was changed, whatever of it, shows.
/// Filled for older files by sealWholeLedger (ledger/ledger_chain.h), which says what the checksum is.
inline constexpr const char* schema_4[] = {
    R"(CREATE TABLE batch_checksums (
        batch INTEGER PRIMARY KEY REFERENCES movements,
        last_movement INTEGER NOT NULL REFERENCES movements CHECK (last_movement >= batch),
        checksum TEXT NOT NULL CHECK (length(checksum) = 32)) STRICT)",
    R"(CREATE TRIGGER batch_checksums_never_change BEFORE UPDATE ON batch_checksums
        BEGIN SELECT RAISE(ABORT, 'the checksum of a batch is never changed'); END)",
    R"(CREATE TRIGGER batch_checksums_never_go BEFORE DELETE ON batch_checksums
        BEGIN SELECT RAISE(ABORT, 'the checksum of a batch is never deleted'); END)",
    R"(CREATE TRIGGER batch_checksums_never_replaced BEFORE INSERT ON batch_checksums
        WHEN EXISTS (SELECT 1 FROM batch_checksums WHERE batch = NEW.batch)
        BEGIN SELECT RAISE(ABORT, 'the checksum of a batch is never replaced'); END)"};

} // namespace shimledger::inventory
