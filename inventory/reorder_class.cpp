// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/reorder_class.h"

#include "inventory/master/change_keeping.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

constexpr const char* columns = "SELECT part_class, service_per_mille, review_days, line_cost, "
                                "holding_percent, cover_months, dead_months FROM reorder_classes ";

ReorderClass read(const Query& row) {
    return {row.text(0),         row.smallInteger(1), row.smallInteger(2), row.integer(3),
            row.smallInteger(4), row.smallInteger(5), row.smallInteger(6)};
}

void within(const ReorderClass& settings, std::string_view column, const char* what, std::int64_t value,
            std::int64_t least, std::int64_t greatest) {
    if (value >= least && value <= greatest) return;
    throw FieldError(column, std::string(what) + " of class " + inQuotes(settings.part_class) + " is " +
                                 std::to_string(value) + ": give " + std::to_string(least) + " to " +
                                 std::to_string(greatest));
}

void check(const ReorderClass& s) {
    checkFreeText(s.part_class, "class", "class");
    // 98 is what somebody writes who means per cent, and would be kept as 9.8 %.
    if (s.service_per_mille >= 50 && s.service_per_mille <= 99) {
        throw FieldError("service_per_mille",
                         "the service level of class " + inQuotes(s.part_class) + " is per mille, and " +
                             std::to_string(s.service_per_mille) + " looks like per cent: write " +
                             std::to_string(10 * s.service_per_mille));
    }
    within(s, "service_per_mille", "the service level per mille", s.service_per_mille, 500, 999);
    within(s, "review_days", "the review period in days", s.review_days, 0, 365);
    within(s, "line_cost", "the cost of an order line in hundredths", s.line_cost, 1, 100'000);
    within(s, "holding_percent", "the holding cost in percent a year", s.holding_percent, 1, 100);
    within(s, "cover_months", "the longest cover in months", s.cover_months, 1, 120);
    within(s, "dead_months", "the months until stock counts as dead", s.dead_months, 1, 120);
}

} // namespace

std::vector<MasterChange> ReorderClasses::set(const ReorderClass& settings) {
    check(settings);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    std::vector<MasterChange> changes;
    if (Query(connection, "SELECT 1 FROM reorder_classes WHERE part_class = ?1", settings.part_class)
            .next()) {
        MasterSubject about;
        about.kind = MasterKind::reorderClass;
        about.part_class = settings.part_class;
        changes = differences(about, of(settings.part_class), settings);
        if (changes.empty()) return changes;
    }
    Query(connection,
          "INSERT INTO reorder_classes (part_class, service_per_mille, review_days, line_cost, "
          "holding_percent, cover_months, dead_months) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) "
          "ON CONFLICT (part_class) DO UPDATE SET service_per_mille = ?2, review_days = ?3, line_cost = ?4, "
          "holding_percent = ?5, cover_months = ?6, dead_months = ?7",
          settings.part_class, settings.service_per_mille, settings.review_days, settings.line_cost,
          settings.holding_percent, settings.cover_months, settings.dead_months)
        .run();
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

ReorderClass ReorderClasses::of(std::string_view part_class) const {
    static const std::string sql =
        std::string(columns) + "WHERE part_class IN (?1, '') ORDER BY part_class = ?1 DESC LIMIT 1";
    Query query(m_shop.connection(), sql, part_class);
    ReorderClass settings = query.next() ? read(query) : ReorderClass{};
    settings.part_class = part_class;
    return settings;
}

std::vector<ReorderClass> ReorderClasses::list() const {
    static const std::string sql = std::string(columns) + "ORDER BY part_class";
    Query query(m_shop.connection(), sql);
    std::vector<ReorderClass> classes;
    while (query.next()) classes.push_back(read(query));
    return classes;
}

} // namespace shimledger::inventory
