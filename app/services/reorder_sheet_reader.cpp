// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_sheet_reader.h"

#include "app/services/place_order.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace shimledger::services {

namespace {

constexpr std::size_t most_lines_above = 12;
constexpr std::string_view title_begins = "Order to ";
constexpr std::int64_t most_packs = 100'000;

std::string trimmed(std::string text) {
    text.erase(0, text.find_first_not_of(" \t\n"));
    text.erase(text.find_last_not_of(" \t\n") + 1);
    return text;
}

/// Reads the sheets of the suppliers; those of a workbook that are something else are passed over.
class OrderReader {
public:
    explicit OrderReader(std::string name) : m_name(std::move(name)) {}

    std::vector<SheetOrder> read(const std::vector<RawSheet>& sheets) {
        for (const RawSheet& sheet : sheets) {
            if (const auto first = findHeadings(sheet)) take(sheet, *first);
        }
        if (!m_faults.empty()) throw InputError(m_faults);
        if (m_orders.empty()) {
            throw InputError(m_name + ": this is no reorder sheet: a sheet with a title such as 'Order to "
                                      "Discs' and the columns Part, Packs and Pack of is needed");
        }
        return std::move(m_orders);
    }

private:
    /// The first line below the headings, where the sheet is one of a supplier.
    std::optional<std::size_t> findHeadings(const RawSheet& sheet) {
        m_supplier.clear();
        for (std::size_t i = 0; i < sheet.rows.size() && i <= most_lines_above; ++i) {
            m_columns.clear();
            const std::vector<RawCell>& cells = sheet.rows[i].cells;
            for (std::size_t c = 0; c < cells.size(); ++c) {
                const std::string text = trimmed(cells[c].text);
                if (text.starts_with(title_begins) && m_supplier.empty())
                    m_supplier = text.substr(title_begins.size());
                if (!text.empty()) m_columns.emplace(text, c);
            }
            if (m_columns.contains("Part") && m_columns.contains("Packs") && m_columns.contains("Pack of")) {
                if (!m_supplier.empty()) return i + 1;
                m_faults += fault(sheet, sheet.rows[i].line,
                                  "above these headings the title is missing, which says whom it goes to: "
                                  "'Order to ...'");
                return std::nullopt;
            }
        }
        return std::nullopt;
    }

    [[nodiscard]] std::string fault(const RawSheet& sheet, std::int64_t line,
                                    const std::string& reason) const {
        return (m_faults.empty() ? "" : "\n") + m_name + ", sheet '" + sheet.name + "', line " +
               std::to_string(line) + ": " + reason;
    }

    [[nodiscard]] const RawCell* cell(const RawRow& row, const char* column) const {
        const auto place = m_columns.find(column);
        if (place == m_columns.end() || place->second >= row.cells.size()) return nullptr;
        return &row.cells[place->second];
    }

    [[nodiscard]] std::string text(const RawRow& row, const char* column) const {
        const RawCell* found = cell(row, column);
        return found == nullptr ? std::string() : trimmed(found->text);
    }

    std::optional<std::int64_t> whole(const RawSheet& sheet, const RawRow& row, const char* column,
                                      std::int64_t least, std::int64_t most) {
        const RawCell* found = cell(row, column);
        std::int64_t value = 0;
        const std::string typed = text(row, column);
        const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
        const bool good = error == std::errc() && end == typed.data() + typed.size() && value >= least &&
                          value <= most && (found == nullptr || found->fault.empty());
        if (good) return value;
        const std::string why = found != nullptr && !found->fault.empty() ? found->fault
                                : typed.empty() ? std::string("nothing is written there")
                                                : "'" + typed.substr(0, 40) + "'";
        m_faults += fault(sheet, row.line,
                          fmt::format("{} of {}: {}; write a whole number, {} to {}", column,
                                      text(row, "Part").substr(0, 60), why, least, most));
        return std::nullopt;
    }

    void take(const RawSheet& sheet, std::size_t first) {
        SheetOrder order{sheet.name, m_supplier, {}, {}};
        std::set<std::pair<std::string, std::int64_t>> seen;
        for (std::size_t i = first; i < sheet.rows.size(); ++i) {
            const RawRow& row = sheet.rows[i];
            SheetOrderLine line;
            line.line = row.line;
            line.part = text(row, "Part");
            const RawCell* packs_cell = cell(row, "Packs");
            const bool no_packs =
                text(row, "Packs").empty() && (packs_cell == nullptr || packs_cell->fault.empty());
            // The totals, notes and blank lines beneath have neither.
            if (line.part.empty() ? no_packs : no_packs && text(row, "Pack of").empty()) continue;
            if (line.part.empty()) {
                m_faults += fault(sheet, row.line, "packs without a part: write the part's code");
                continue;
            }
            // A number of packs that was wiped out is one that is not wanted.
            const auto packs =
                no_packs ? std::optional<std::int64_t>(0) : whole(sheet, row, "Packs", 0, most_packs);
            const auto pack_size = whole(sheet, row, "Pack of", 1, 1'000'000'000);
            if (!packs || !pack_size) continue;
            line.packs = *packs;
            line.pack_size = *pack_size;
            const std::string price = text(row, "Last price of a pack");
            double value = 0;
            const auto [end, error] = std::from_chars(price.data(), price.data() + price.size(), value);
            if (error == std::errc() && end == price.data() + price.size()) line.pack_price = value;
            if (order.number.empty()) order.number = text(row, "Order number");
            if (!seen.insert({line.part, line.pack_size}).second) {
                m_faults += fault(sheet, row.line,
                                  fmt::format("{} in packs of {} stands there twice: leave one line",
                                              line.part, line.pack_size));
                continue;
            }
            order.lines.push_back(std::move(line));
        }
        for (const SheetOrder& other : m_orders) {
            if (other.supplier != order.supplier) continue;
            m_faults += fault(sheet, 1,
                              fmt::format("an order to {} stands in sheet '{}' too: leave one of them",
                                          order.supplier, other.sheet));
        }
        m_orders.push_back(std::move(order));
    }

    std::string m_name;
    std::string m_supplier;
    std::map<std::string, std::size_t> m_columns;
    std::vector<SheetOrder> m_orders;
    std::string m_faults;
};

const SupplierOrder* orderOf(const ReorderPlan& plan, const std::string& supplier) {
    for (const SupplierOrder& order : plan.orders) {
        if (order.supplier.name == supplier) return &order;
    }
    return nullptr;
}

const ReorderLine* lineOf(const SupplierOrder* order, const std::string& part, std::int64_t pack_size) {
    if (order == nullptr) return nullptr;
    for (const ReorderLine& line : order->lines) {
        if (line.part == part && line.pack_size == pack_size) return &line;
    }
    return nullptr;
}

std::string packsText(std::int64_t packs, const std::string& part, std::int64_t pack_size) {
    return fmt::format("{} pack{} of {} {}", packs, packs == 1 ? "" : "s", pack_size, part);
}

/// Drops what the sheet has not.
void dropMissing(inventory::ShopFile& shop, SheetPlan& result, const SheetOrder& sheet,
                 const ReorderPlan& plan) {
    const SupplierOrder* before = orderOf(plan, sheet.supplier);
    if (before == nullptr) return;
    for (const ReorderLine& line : before->lines) {
        const bool there =
            std::any_of(sheet.lines.begin(), sheet.lines.end(), [&](const SheetOrderLine& kept) {
                return kept.part == line.part && kept.pack_size == line.pack_size;
            });
        if (there) continue;
        setPacks(shop, result.plan, sheet.supplier, line.part, 0, line.pack_size);
        result.changes.push_back(fmt::format("{}: {} is in the plan and not in the sheet: not ordered",
                                             sheet.supplier,
                                             packsText(line.packs, line.part, line.pack_size)));
    }
}

void tellChange(SheetPlan& result, const SheetOrder& sheet, const SheetOrderLine& line,
                const ReorderLine* before) {
    const std::int64_t planned = before != nullptr ? before->packs : 0;
    if (planned == line.packs) return;
    result.changes.push_back(
        line.packs == 0
            ? fmt::format("{}: {} is dropped", sheet.supplier, packsText(planned, line.part, line.pack_size))
            : fmt::format("{}: {}, planned {}", sheet.supplier,
                          packsText(line.packs, line.part, line.pack_size), planned));
}

void tellPrice(SheetPlan& result, const SheetOrder& sheet, const SheetOrderLine& line) {
    const ReorderLine* now = lineOf(orderOf(result.plan, sheet.supplier), line.part, line.pack_size);
    if (now == nullptr || !line.pack_price) return;
    const double price = static_cast<double>(now->price()) / 100;
    constexpr double half_a_hundredth = 0.005;
    if (std::abs(*line.pack_price - price) < half_a_hundredth) return;
    result.notes.push_back(fmt::format(
        "{}: the sheet says {:.2f} for a pack of {} {}, the shop {}: change the "
        "offer if the sheet is right",
        sheet.supplier, *line.pack_price, line.pack_size, line.part, inventory::moneyText(now->price())));
}

/// The same packs of the same parts, whatever they cost.
bool isSame(const inventory::PurchaseOrder& placed, const SupplierOrder& order) {
    using Line = std::tuple<std::string, std::int64_t, std::int64_t>;
    std::vector<Line> a, b;
    for (const auto& line : placed.lines) a.emplace_back(line.part, line.pack_size, line.packs);
    for (const auto& line : order.lines) {
        if (line.packs > 0) b.emplace_back(line.part, line.pack_size, line.packs);
    }
    std::sort(a.begin(), a.end());
    std::sort(b.begin(), b.end());
    return a == b;
}

} // namespace

std::vector<SheetOrder> readReorderSheet(const std::filesystem::path& file) {
    return OrderReader(file.filename().string()).read(readRawSheets(file));
}

SheetPlan applyReorderSheet(inventory::ShopFile& shop, const ReorderPlan& plan,
                            const std::vector<SheetOrder>& sheets) {
    SheetPlan result{plan, {}, {}};
    std::string faults;
    shop.consistently([&] {
        const auto on_order = inventory::PurchaseOrders(shop).onOrder();
        for (const SheetOrder& sheet : sheets) {
            dropMissing(shop, result, sheet, plan);
            for (const SheetOrderLine& line : sheet.lines) {
                const ReorderLine* before = lineOf(orderOf(plan, sheet.supplier), line.part, line.pack_size);
                if (line.packs == 0 && before == nullptr) continue;
                try {
                    setPacks(shop, result.plan, sheet.supplier, line.part, line.packs, line.pack_size);
                } catch (const InputError& error) {
                    faults += fmt::format("{}sheet '{}', line {}: {}", faults.empty() ? "" : "\n",
                                          sheet.sheet, line.line, error.what());
                    continue;
                }
                tellChange(result, sheet, line, before);
                if (line.packs == 0) continue;
                tellPrice(result, sheet, line);
                if (const auto coming = on_order.find(line.part); coming != on_order.end()) {
                    result.notes.push_back(
                        fmt::format("{} of {} are on order already", coming->second, line.part));
                }
            }
        }
    });
    if (!faults.empty()) throw InputError(faults);
    std::erase_if(result.plan.orders, [](const SupplierOrder& order) { return order.lines.empty(); });
    return result;
}

std::vector<inventory::PurchaseOrder> placeReorderSheet(inventory::ShopFile& shop,
                                                        const std::vector<SheetOrder>& sheets,
                                                        std::string_view supplier, bool again) {
    std::vector<SheetOrder> wanted;
    for (const SheetOrder& sheet : sheets) {
        if (supplier.empty() || sheet.supplier == supplier) wanted.push_back(sheet);
    }
    if (wanted.empty()) throw InputError("the workbook has no order to " + std::string(supplier));
    std::vector<inventory::PurchaseOrder> placed;
    shop.atomically([&] {
        const SheetPlan plan = applyReorderSheet(shop, {}, wanted);
        const auto known = inventory::PurchaseOrders(shop).list();
        for (const SupplierOrder& order : plan.plan.orders) {
            for (const auto& other : known) {
                if (again || other.closed || other.supplier != order.supplier.name || !isSame(other, order))
                    continue;
                throw InputError(
                    fmt::format("just that is on order from {} already, as {}: say that it is meant "
                                "again, or change the sheet",
                                other.supplier, other.code));
            }
            const auto sheet = std::find_if(wanted.begin(), wanted.end(), [&](const SheetOrder& one) {
                return one.supplier == order.supplier.name;
            });
            const std::string note = sheet->number.empty() ? std::string() : "Order number " + sheet->number;
            placed.push_back(placeOrder(shop, order, {}, note));
        }
        if (placed.empty())
            throw InputError("there is nothing to order in the sheets: every line has 0 packs");
    });
    return placed;
}

} // namespace shimledger::services
