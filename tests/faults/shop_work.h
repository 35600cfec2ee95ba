// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/inventory_error.h"
#include "inventory/shop_backup.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"
#include "tests/inventory/support.h"

#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <thread>
#include <tuple>
#include <vector>

namespace shimledger::inventory {

/// A batch that post() has returned: from then on it must be in the file, whole, whatever happens.
struct Acknowledged {
    std::int64_t batch = 0;
    std::int64_t movements = 0;
};

/// Ordinary work of a shop, drawn at random: deliveries, plans reserved in several lines, pulls, returns,
/// counts and releases. Each batch says in its reason how many ledger rows it has, so that a half one could
/// be told.
class ShopWork {
public:
    ShopWork(ShopFile& shop, std::uint64_t seed) : m_shop(shop), m_random(seed) {}

    /// One entry; none where the drawers did not allow it. Faults of the file go through.
    std::optional<Acknowledged> step() {
        StockLedger ledger(m_shop);
        const std::string job = draw(2) == 0 ? "J1" : "J2";
        const std::string bin = draw(2) == 0 ? "A1" : "A2";
        try {
            switch (draw(6)) {
            case 0:
                return posted(ledger.post({line(MovementKind::receipt, "S24-10", bin, 1 + draw(9), "", 2),
                                           line(MovementKind::receipt, "S24-15", bin, 1 + draw(5), "", 2)}));
            case 1:
            case 2:
                return posted(ledger.post({line(MovementKind::reserve, "S24-10", bin, 1 + draw(3), job, 2),
                                           line(MovementKind::reserve, "S24-15", bin, 1 + draw(2), job, 2)}));
            case 3: {
                const auto held = static_cast<std::int64_t>(ledger.reservationsOf(job).size());
                if (held == 0) return std::nullopt;
                // Another program may have changed what is held by now: then the number in the reason would
                // lie.
                std::optional<PostedBatch> batch;
                m_shop.atomically([&] {
                    const auto now = static_cast<std::int64_t>(ledger.reservationsOf(job).size());
                    if (now > 0) batch = ledger.pullAll(job, "rows=" + std::to_string(now));
                });
                if (!batch) return std::nullopt;
                return posted(*batch);
            }
            case 4: {
                MovementLine move = line(MovementKind::move, "S24-10", bin, 1, "", 2);
                move.to_bin = bin == "A1" ? "A2" : "A1";
                return posted(ledger.post({move}));
            }
            default: {
                // What it takes from jobs it releases in the same batch, so that its rows are not known
                // before.
                MovementLine count = movement(MovementKind::count, "S24-15", bin, 2 + draw(20));
                return posted(ledger.post({count}));
            }
            }
        } catch (const StockRefusal&) {
            return std::nullopt; // the drawers did not allow it, as they may
        }
    }

private:
    int draw(int bound) { return static_cast<int>(m_random() % static_cast<std::uint64_t>(bound)); }
    static MovementLine line(MovementKind kind, const std::string& part, const std::string& bin,
                             std::int64_t quantity, const std::string& job, int rows) {
        MovementLine line = movement(kind, part, bin, quantity, job);
        line.reason = "rows=" + std::to_string(rows);
        return line;
    }
    static Acknowledged posted(const PostedBatch& batch) {
        return {batch.batch, static_cast<std::int64_t>(batch.movements.size())};
    }

    ShopFile& m_shop;
    std::mt19937_64 m_random;
};

/// A process that lives like the window: it keeps one connection and goes on booking with it, while it opens
/// the same file again and again for a look, in the same and in another thread, makes copies, and has
/// libraries that open and close any file to see what it is.
class WindowLife {
public:
    WindowLife(const std::filesystem::path& path, std::uint64_t seed)
        : m_path(path), m_shop(ShopFile::open(path)), m_work(m_shop, seed), m_random(seed + 1) {}

    std::optional<Acknowledged> step() {
        switch (m_random() % 12) {
        case 0:
            static_cast<void>(ShopFile::openReadOnly(m_path).schemaVersion());
            break;
        case 1: {
            ShopFile second = ShopFile::open(m_path);
            return ShopWork(second, m_random()).step();
        }
        case 2: {
            const std::filesystem::path copy = m_path.string() + ".copy-" + std::to_string(::getpid());
            std::filesystem::remove(copy);
            backupShopFile(m_shop, copy);
            std::filesystem::remove(copy);
            break;
        }
        case 3: // nothing of ours: what a file dialog does to find an icon
            std::ifstream(m_path, std::ios::binary).get();
            break;
        case 4:
            std::thread([this] { static_cast<void>(stockSnapshot(ShopFile::openReadOnly(m_path))); }).join();
            break;
        default:
            break;
        }
        return m_work.step();
    }

private:
    std::filesystem::path m_path;
    ShopFile m_shop;
    ShopWork m_work;
    std::mt19937_64 m_random;
};

/// A process that lives like a verb: every entry opens the file, and closes it again.
class VerbLife {
public:
    VerbLife(std::filesystem::path path, std::uint64_t seed) : m_path(std::move(path)), m_random(seed) {}

    std::optional<Acknowledged> step() {
        ShopFile shop = ShopFile::open(m_path);
        return ShopWork(shop, m_random()).step();
    }

private:
    std::filesystem::path m_path;
    std::mt19937_64 m_random;
};

/// Sentences about what is lost, half there or does not add up; empty: all is well.
inline std::vector<std::string>
whatIsWrong(const ShopFile& shop, const std::vector<Acknowledged>& acknowledged, VerifyDepth depth) {
    std::vector<std::string> wrong;
    std::map<std::int64_t, std::int64_t> rows;
    StockHistory(shop).forEach([&](const LedgerEntry& entry) { ++rows[entry.batch]; });
    for (const Acknowledged& batch : acknowledged) {
        const auto found = rows.find(batch.batch);
        if (found == rows.end()) {
            wrong.push_back("acknowledged batch " + std::to_string(batch.batch) + " is lost");
        } else if (found->second != batch.movements) {
            wrong.push_back("acknowledged batch " + std::to_string(batch.batch) + " is half there");
        }
    }
    StockHistory(shop).forEach([&](const LedgerEntry& entry) {
        if (entry.reason.rfind("rows=", 0) == 0 &&
            entry.reason != "rows=" + std::to_string(rows[entry.batch])) {
            wrong.push_back("batch " + std::to_string(entry.batch) + " is half there: " + entry.reason +
                            ", found " + std::to_string(rows[entry.batch]));
        }
    });
    const VerifyReport report = verifyStock(shop, depth);
    for (const std::string& fault : report.faults) wrong.push_back(fault);
    for (const StockDifference& difference : report.differences) wrong.push_back(difference.text());
    // What each drawer calls reserved is what the jobs hold of it, lot by lot.
    std::map<std::tuple<std::string, std::string, Condition>, std::int64_t> unclaimed;
    for (const StockLot& lot : stockSnapshot(shop).lots)
        unclaimed[{lot.part, lot.bin, lot.condition}] += lot.reserved;
    ShopFile reader = ShopFile::openReadOnly(shop.path());
    for (const Reservation& held : StockLedger(reader).reservations())
        unclaimed[{held.part, held.bin, held.condition}] -= held.quantity;
    for (const auto& [lot, quantity] : unclaimed) {
        if (quantity != 0)
            wrong.push_back("reservations of " + std::get<0>(lot) + " in " + std::get<1>(lot) +
                            " do not add up: " + std::to_string(quantity) + " more than the jobs hold");
    }
    return wrong;
}

} // namespace shimledger::inventory
