// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/ledger_chain.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

constexpr std::size_t digest_bytes = 16;
constexpr std::size_t most_faults = 100;

void insertChecksum(ShopConnection& connection, std::int64_t batch, std::int64_t last,
                    const std::string& sum) {
    Query(connection, "INSERT INTO batch_checksums (batch, last_movement, checksum) VALUES (?1, ?2, ?3)",
          batch, last, sum)
        .run();
}

} // namespace

struct BatchChecksum::State {
    crypto_generichash_state hash;
};

BatchChecksum::BatchChecksum(std::string_view before) : m_state(std::make_unique<State>()) {
    if (sodium_init() < 0 || crypto_generichash_init(&m_state->hash, nullptr, 0, digest_bytes) != 0)
        throw std::logic_error("the library for checksums does not start");
    addBytes(before);
}

BatchChecksum::~BatchChecksum() = default;

void BatchChecksum::addBytes(std::string_view bytes) {
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library counts in unsigned bytes
    crypto_generichash_update(&m_state->hash, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
}

void BatchChecksum::add(const Query& row) {
    m_row.clear();
    row.appendAll(m_row);
    addBytes(m_row);
}

std::string BatchChecksum::text() {
    std::array<unsigned char, digest_bytes> digest{};
    crypto_generichash_final(&m_state->hash, digest.data(), digest.size());
    std::array<char, 2 * digest_bytes + 1> hex{};
    sodium_bin2hex(hex.data(), hex.size(), digest.data(), digest.size());
    return {hex.data(), 2 * digest_bytes};
}

std::string_view movementColumns() {
    return "SELECT movement_id, batch, utc, kind, part_id, bin_id, condition, quantity, on_hand_change, "
           "reserved_change, other_bin_id, moved_from_id, job_id, wanted_part_id, supplier_id, "
           "order_line_id, "
           "reverses_id, reason FROM movements WHERE movement_id >= ?1 ORDER BY movement_id";
}

std::string lastChecksum(ShopConnection& connection) {
    Query query(connection, "SELECT checksum FROM batch_checksums ORDER BY batch DESC LIMIT 1");
    return query.next() ? query.text(0) : std::string();
}

void sealBatch(ShopConnection& connection, std::int64_t batch) {
    BatchChecksum sum(lastChecksum(connection));
    std::int64_t last = batch;
    {
        Query rows(connection, movementColumns(), batch);
        while (rows.next()) {
            sum.add(rows);
            last = rows.integer(0);
        }
    }
    insertChecksum(connection, batch, last, sum.text());
}

void sealWholeLedger(ShopConnection& connection) {
    std::string before;
    std::optional<BatchChecksum> sum;
    std::int64_t batch = 0;
    std::int64_t last = 0;
    const auto close = [&] {
        if (!sum) return;
        before = sum->text();
        insertChecksum(connection, batch, last, before);
        sum.reset();
    };
    const std::string every_movement = std::string(many_rows).append(movementColumns());
    Query rows(connection, every_movement, std::int64_t{0});
    while (rows.next()) {
        if (sum && rows.integer(1) != batch) close();
        if (!sum) sum.emplace(before);
        batch = rows.integer(1);
        last = rows.integer(0);
        sum->add(rows);
    }
    close();
}

ChainCheck::ChainCheck(ShopConnection& connection)
    : m_connection(connection),
      m_every_checksum(std::string(many_rows) +
                       "SELECT batch, last_movement, checksum FROM batch_checksums ORDER BY batch"),
      m_stored(connection, m_every_checksum), m_more(m_stored.next()) {}

/// They are read beside the movements, as asking for each is a way to a server and back for each.
std::optional<ChainCheck::Stored> ChainCheck::storedOf(std::int64_t batch) {
    while (m_more && m_stored.integer(0) < batch) m_more = m_stored.next();
    if (m_more && m_stored.integer(0) == batch) return Stored{m_stored.integer(1), m_stored.text(2)};
    if (batch > m_highest) return std::nullopt;
    // Batches that do not follow one another are none of ours, but may have been sealed all the same.
    Query one(m_connection, "SELECT last_movement, checksum FROM batch_checksums WHERE batch = ?1", batch);
    if (!one.next()) return std::nullopt;
    return Stored{one.integer(0), one.text(1)};
}

void ChainCheck::add(const Query& row) {
    const std::int64_t batch = row.integer(1);
    if (m_sum && batch != m_batch) closeBatch();
    if (!m_sum) m_sum.emplace(m_before);
    m_batch = batch;
    m_last = row.integer(0);
    m_sum->add(row);
}

void ChainCheck::closeBatch() {
    if (!m_sum) return;
    const std::string found = m_sum->text();
    m_sum.reset();
    ++m_batches;
    const std::optional<Stored> stored = storedOf(m_batch);
    m_highest = std::max(m_highest, m_batch);
    // Each batch is judged by itself: it goes on from what was stored, not from what a changed one would
    // give.
    m_before = stored ? stored->checksum : found;
    if (stored && stored->checksum == found && stored->last_movement == m_last) return;
    if (m_faults.size() >= most_faults) return;
    const std::string which = "movements " + std::to_string(m_batch) + " to " + std::to_string(m_last);
    m_faults.push_back(stored ? which + " are not as they were posted: their checksum differs"
                              : which + " have no checksum: this program did not post them");
}

std::vector<std::string> ChainCheck::finish() {
    closeBatch();
    Query stored(m_connection, "SELECT count(*) FROM batch_checksums");
    stored.mustRow();
    if (stored.integer(0) > m_batches)
        m_faults.push_back("the ledger has lost batches: " + std::to_string(m_batches) + " are there, " +
                           std::to_string(stored.integer(0)) + " have checksums");
    return std::move(m_faults);
}

} // namespace shimledger::inventory
