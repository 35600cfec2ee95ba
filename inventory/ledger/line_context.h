// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/ledger/movement_writer.h"
#include "inventory/stock_movement.h"
#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <optional>
#include <string>
#include <unordered_map>

namespace shimledger::inventory {

/// A movement line with its codes looked up, and the words for its sentences.
struct LineContext {
    const MovementLine* line = nullptr;
    LotKey lot;
    std::optional<std::int64_t> job;
    std::optional<std::int64_t> to_bin;
    std::optional<std::int64_t> wanted_part; ///< none: the part itself
    std::optional<std::int64_t> supplier;
    bool job_is_alive = false; ///< known from a line before: need not be looked up again

    /// "part 'S-24' (used) in bin 'A3'"
    [[nodiscard]] std::string where() const;
    /// " for job 'J-1'", or nothing
    [[nodiscard]] std::string forJob() const;
};

/// What the lines of one batch share, so that each code is looked up once. Valid within one write
/// transaction.
struct BatchMemory {
    std::string job_code; ///< mostly all are of one job
    std::int64_t job = 0;
    bool job_is_alive = false;
    std::unordered_map<std::string, std::int64_t> parts, bins; ///< by code
};

/// Looks everything up and checks what can be said of the line alone: known codes, a whole quantity in range,
/// only the fields that its kind takes. Throws FieldError.
[[nodiscard]] LineContext resolveLine(ShopConnection& connection, const MovementLine& line,
                                      BatchMemory* memory = nullptr);

/// Throws InputError if the job is closed or cancelled.
void checkJobAlive(ShopConnection& connection, std::int64_t job);

} // namespace shimledger::inventory
