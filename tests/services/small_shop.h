// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/purchase_orders.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"
#include "inventory/supplier.h"
#include "inventory/thickness_reading.h"
#include "tests/test_server.h"

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <stdexcept>
#include <string>
#include <system_error>

namespace shimledger::services {

/// A folder of its own, gone at the end of the test.
class TemporaryFolder {
public:
    TemporaryFolder() {
        std::string pattern =
            (std::filesystem::temp_directory_path() / "shimledger-services-XXXXXX").string();
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
    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }

private:
    std::filesystem::path m_path;
    mutable TestServer m_server;
    mutable std::map<std::string, std::string> m_shops; // addresses by name
};

inline std::string readBytes(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

inline const inventory::UtcTime small_shop_time = inventory::UtcTime::parse("2026-03-09T14:05:00Z");

inline Length mm(const std::string& text) {
    return Length::parseMillimetres(text);
}

inline std::string shimCode(const std::string& od, const std::string& thickness) {
    return "S" + od + "-" + thickness;
}

/// Wanted by J1 and J2 alike, per leg: 2 x 24 x 0.10, 1 x 18 x 0.15, 1 x 10 x 0.30; two legs.
/// Held: 3 x 24 x 0.10 (4 wanted), 12 x 24 x 0.12 and 8 of it used (they read 0.118), plenty of the rest.
struct SmallShop {
    TemporaryFolder folder;
    inventory::ShopFile shop =
        inventory::ShopFile::create(folder.shop("shop.db"), inventory::fixedClock(small_shop_time));
    inventory::StockLedger ledger{shop};

    SmallShop() {
        addParts();
        inventory::BinList bins(shop);
        bins.add({"A1", "A", 10, ""});
        bins.add({"A2", "A", 20, ""});
        bins.add({"B1", "B", 5, ""});
        bins.add({"F1", "F", 90, ""});
        receive(shimCode("24", "0.10"), "A1", 3);
        receive(shimCode("24", "0.12"), "A2", 12);
        receive(shimCode("24", "0.12"), "F1", 8, inventory::Condition::used);
        receive(shimCode("18", "0.15"), "A1", 20);
        receive(shimCode("10", "0.30"), "A1", 20);
        receive("SEAL", "B1", 3);
        inventory::addReading(
            shop, {shimCode("24", "0.12"), "F1", inventory::Condition::used, mm("0.118"), small_shop_time});
        addSuppliers();
        inventory::ComponentModel model;
        model.code = "FORK";
        model.description = "invented fork";
        inventory::ComponentModels(shop).add(model);
        addJob("J1", 5);
        addJob("J2", 3);
    }

    void receive(const std::string& part, const std::string& bin, std::int64_t quantity,
                 inventory::Condition condition = inventory::Condition::fresh) {
        inventory::MovementLine line;
        line.kind = inventory::MovementKind::receipt;
        line.part = part;
        line.bin = bin;
        line.condition = condition;
        line.quantity = quantity;
        ledger.post({line});
    }

    /// PO-1 is on its way from then on.
    void order(const std::string& supplier, const inventory::OrderLine& line) {
        inventory::PurchaseOrder order;
        order.code = "PO-1";
        order.supplier = supplier;
        order.ordered = small_shop_time;
        order.lines.push_back(line);
        (void)inventory::PurchaseOrders(shop).place(order);
    }

    void addPart(const std::string& code, const std::string& od, const std::string& thickness,
                 std::optional<std::int64_t> reorder_point) {
        inventory::Part part;
        part.code = code;
        part.kind = inventory::PartKind::shim;
        part.description = "shim " + od + " x 6.0 x " + thickness;
        part.od = mm(od);
        part.id = mm("6");
        part.thickness = mm(thickness);
        part.reorder_point = reorder_point;
        inventory::PartCatalogue(shop).add(part);
    }

private:
    void addParts() {
        addPart(shimCode("24", "0.10"), "24", "0.10", 6);
        addPart(shimCode("24", "0.12"), "24", "0.12", 4);
        addPart(shimCode("18", "0.15"), "18", "0.15", 4);
        addPart(shimCode("10", "0.30"), "10", "0.30", {});
        inventory::Part seal;
        seal.code = "SEAL";
        seal.kind = inventory::PartKind::oilSeal;
        seal.description = "oil seal, generic";
        seal.id = mm("35");
        seal.od = mm("48");
        seal.length = mm("11");
        seal.reorder_point = 2;
        inventory::PartCatalogue(shop).add(seal);
    }

    void addSuppliers() {
        inventory::SupplierList suppliers(shop);
        suppliers.add({"Invented Discs", 7, "EUR", {}, 6000, {}, ""});
        suppliers.add({"Invented Corner Shop", 1, "EUR", {}, {}, {}, ""});
        suppliers.addOffer({"Invented Discs", shimCode("24", "0.10"), 10, 810, "D1", {}});
        suppliers.addOffer({"Invented Corner Shop", shimCode("24", "0.10"), 5, 567, "C1", {}});
        suppliers.addOffer({"Invented Discs", shimCode("24", "0.12"), 10, 820, "D2", {}});
    }

    void addJob(const std::string& code, int priority) {
        inventory::Job job;
        job.code = code;
        job.customer = "Private Person";
        job.model = "FORK";
        job.valve.name = "compression";
        job.valve.clamp_od = mm("10");
        job.valve.port_inner_diameter = mm("13");
        job.valve.port_outer_diameter = mm("20");
        job.valve.shim_id = mm("6");
        job.opened = inventory::CalendarDate::parse("2026-03-01");
        job.legs = 2;
        job.priority = priority;
        inventory::JobBook book(shop);
        book.add(job);
        inventory::JobStack target;
        target.rows = {
            {2, mm("24"), mm("0.10"), {}}, {1, mm("18"), mm("0.15"), {}}, {1, mm("10"), mm("0.30"), {}}};
        book.setStack(code, target);
        book.setConsumables(code, {{"SEAL", 2, "lip worn"}});
    }
};

} // namespace shimledger::services
