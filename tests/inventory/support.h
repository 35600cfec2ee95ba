// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/supplier.h"
#include "tests/test_server.h"

#include <sqlite3.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <stdexcept>
#include <string>
#include <system_error>
#include <vector>

namespace shimledger::inventory {

/// A folder of its own, gone at the end of the test.
class TemporaryFolder {
public:
    TemporaryFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "shimledger-test-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
        m_path = pattern;
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(m_path, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return m_path / name; }
    /// The place of a shop: a file in this folder, or on the server of the tests.
    [[nodiscard]] std::filesystem::path shop(const std::string& name) const {
        if (!m_server.wanted()) return m_path / name;
        auto [place, is_new] = m_shops.try_emplace(name);
        if (is_new) place->second = m_server.freshSchema();
        return place->second;
    }

private:
    std::filesystem::path m_path;
    mutable TestServer m_server;
    mutable std::map<std::string, std::string> m_shops; // addresses by name
};

inline std::string readBytes(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline void writeBytes(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

/// SQLite without any rule of ours: what a stranger could do to the file.
class RawDatabase {
public:
    explicit RawDatabase(const std::filesystem::path& path) { sqlite3_open(path.c_str(), &m_handle); }
    ~RawDatabase() { sqlite3_close(m_handle); }
    RawDatabase(const RawDatabase&) = delete;
    RawDatabase& operator=(const RawDatabase&) = delete;

    /// "" or SQLite's complaint.
    std::string run(const std::string& sql) {
        char* message = nullptr;
        const int result = sqlite3_exec(m_handle, sql.c_str(), nullptr, nullptr, &message);
        std::string complaint = message != nullptr ? message : "";
        sqlite3_free(message);
        if (result != SQLITE_OK && complaint.empty()) complaint = sqlite3_errstr(result);
        return complaint;
    }
    std::string value(const std::string& sql) {
        sqlite3_stmt* statement = nullptr;
        sqlite3_prepare_v2(m_handle, sql.c_str(), -1, &statement, nullptr);
        std::string text;
        if (sqlite3_step(statement) == SQLITE_ROW && sqlite3_column_bytes(statement, 0) > 0) {
            text = reinterpret_cast<const char*>(sqlite3_column_text(statement, 0));
        }
        sqlite3_finalize(statement);
        return text;
    }

private:
    sqlite3* m_handle = nullptr;
};

inline const UtcTime test_time = UtcTime::parse("2026-03-09T14:05:00Z");

inline Part shimPart(const std::string& code, const std::string& od, const std::string& thickness) {
    Part part;
    part.code = code;
    part.kind = PartKind::shim;
    part.description = "shim " + od + " x 6.0 x " + thickness;
    part.od = Length::parseMillimetres(od);
    part.id = Length::parseMillimetres("6");
    part.thickness = Length::parseMillimetres(thickness);
    return part;
}

inline Job plainJob(const std::string& code) {
    Job job;
    job.code = code;
    job.customer = "Private Person";
    job.model = "FORK";
    job.valve.name = "compression";
    job.valve.clamp_od = Length::parseMillimetres("10");
    job.valve.port_inner_diameter = Length::parseMillimetres("13");
    job.valve.port_outer_diameter = Length::parseMillimetres("20");
    job.valve.shim_id = Length::parseMillimetres("6");
    job.opened = CalendarDate::parse("2026-03-01");
    return job;
}

inline void fillSmallShop(ShopFile& shop) {
    PartCatalogue parts(shop);
    parts.add(shimPart("S24-10", "24", "0.10"));
    parts.add(shimPart("S24-15", "24", "0.15"));
    Part seal;
    seal.code = "SEAL";
    seal.kind = PartKind::oilSeal;
    seal.description = "oil seal, generic";
    seal.id = Length::parseMillimetres("35");
    seal.od = Length::parseMillimetres("48");
    seal.length = Length::parseMillimetres("11");
    parts.add(seal);
    BinList bins(shop);
    bins.add({"A1", "A", 10, ""});
    bins.add({"A2", "A", 20, ""});
    bins.add({"B1", "B", 5, ""});
    SupplierList(shop).add({"Invented Discs", 7, "EUR", {}, {}, {}, ""});
    ComponentModel model;
    model.code = "FORK";
    model.description = "invented fork";
    ComponentModels(shop).add(model);
    JobBook jobs(shop);
    jobs.add(plainJob("J1"));
    jobs.add(plainJob("J2"));
}

inline MovementLine movement(MovementKind kind, const std::string& part, const std::string& bin,
                             std::int64_t quantity, const std::string& job = "") {
    MovementLine line;
    line.kind = kind;
    line.part = part;
    line.bin = bin;
    line.quantity = quantity;
    line.job = job;
    return line;
}

/// So many 24.0 discs of that thickness were found in leg 1 of the job.
inline void findInLeg(ShopFile& shop, const std::string& job, const std::string& thickness,
                      std::int64_t count) {
    JobStack found{StackRole::asFound, 1, {}};
    found.rows.push_back({count, Length::parseMillimetres("24"), Length::parseMillimetres(thickness), {}});
    JobBook(shop).setStack(job, found);
}

/// A shop of three parts, three bins, one model and two jobs, in a file of its own, with the clock stopped.
struct SmallShop {
    TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    StockLedger ledger{shop};

    SmallShop() { fillSmallShop(shop); }

    void receive(const std::string& part, const std::string& bin, std::int64_t quantity) {
        ledger.post({movement(MovementKind::receipt, part, bin, quantity)});
    }
    [[nodiscard]] StockLot lot(const std::string& part, const std::string& bin,
                               Condition condition = Condition::fresh) const {
        for (const StockLot& lot : stockSnapshot(shop).lots) {
            if (lot.part == part && lot.bin == bin && lot.condition == condition) return lot;
        }
        return {};
    }
};

/// The sentence of the InputError (or of what is derived from it) that the action raises; "" if none.
template <class Action>
std::string refusalOf(Action&& action) {
    try {
        action();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

} // namespace shimledger::inventory
