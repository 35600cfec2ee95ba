// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/query.h"
#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The checksum of a batch of movements: BLAKE2b (RFC 7693) of 16 bytes, in hexadecimal, over the checksum of
/// the batch before it and all that is stored of its movements, in their order. It finds what a fault of the
/// disk, a program without our rules or a careless hand changes; it is no seal against somebody who computes
/// it anew.
class BatchChecksum {
public:
    /// `before`: the checksum of the batch before; "" for the first.
    explicit BatchChecksum(std::string_view before);
    /// The row must have been read by movementColumns().
    void add(const Query& row);
    [[nodiscard]] std::string text();

    ~BatchChecksum();
    BatchChecksum(const BatchChecksum&) = delete;
    BatchChecksum& operator=(const BatchChecksum&) = delete;

private:
    struct State; // the library's
    void addBytes(std::string_view bytes);
    std::unique_ptr<State> m_state;
    std::string m_row;
};

/// Every column of `movements`, in the order in which they are summed: number, batch, moment, kind, part,
/// bin, condition, quantity, changes of on hand (8) and reserved (9), and so on.
[[nodiscard]] std::string_view movementColumns();

/// The last checksum of the ledger, "" where it is empty.
[[nodiscard]] std::string lastChecksum(ShopConnection& connection);

/// Stores the checksum of a batch that was just written, and is the last one. Needs an open write
/// transaction.
void sealBatch(ShopConnection& connection, std::int64_t batch);

/// Stores the checksums of a ledger that has none yet, batch by batch.
void sealWholeLedger(ShopConnection& connection);

/// Follows the ledger movement by movement and holds every batch against its stored checksum.
class ChainCheck {
public:
    explicit ChainCheck(ShopConnection& connection);
    /// To be called with every row of the ledger in order (movementColumns).
    void add(const Query& row);
    /// To be called last. One sentence for each batch that is not as it was posted or has no checksum; at
    /// most 100.
    [[nodiscard]] std::vector<std::string> finish();

private:
    struct Stored {
        std::int64_t last_movement;
        std::string checksum;
    };
    void closeBatch();
    [[nodiscard]] std::optional<Stored> storedOf(std::int64_t batch);

    ShopConnection& m_connection;
    std::string m_every_checksum; // what is read next to the movements
    Query m_stored;
    bool m_more;
    std::int64_t m_highest = 0; // batch that was closed
    std::string m_before;
    std::optional<BatchChecksum> m_sum;
    std::int64_t m_batch = 0, m_last = 0;
    std::int64_t m_batches = 0;
    std::vector<std::string> m_faults;
};

} // namespace shimledger::inventory
