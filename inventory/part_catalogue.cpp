// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/part_catalogue.h"

#include "inventory/inventory_error.h"
#include "inventory/master/change_keeping.h"
#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"
#include "inventory/storage/whole_state.h"

#include <algorithm>
#include <functional>
#include <map>
#include <tuple>

namespace shimledger::inventory {

namespace {

constexpr std::string_view all_columns =
    "SELECT code, kind, description, od_um, id_um, thickness_um, section_um, length_um, size_code, material, "
    "hardness, coating, unit, part_class, reorder_point, shelf_life_months, note, retired FROM parts ";

// The texts are literals joined once, as a Query keeps only a view of its SQL.
const std::string& selectWhere(int which) {
    static const std::string by_code = std::string(all_columns) + "WHERE code = ?1";
    static const std::string by_size =
        std::string(all_columns) +
        "WHERE kind = 'shim' AND od_um = ?1 AND id_um = ?2 AND thickness_um = ?3 AND retired = 0 "
        "ORDER BY code";
    static const std::string in_order = std::string(all_columns) +
                                        "WHERE (?1 IS NULL OR kind = ?1) AND retired <= ?2 ORDER BY kind, "
                                        "id_um NULLS FIRST, od_um NULLS FIRST, thickness_um NULLS FIRST, "
                                        "section_um NULLS FIRST, length_um NULLS FIRST, code";
    return which == 0 ? by_code : which == 1 ? by_size : in_order;
}

Part readPart(const Query& row) {
    Part part;
    part.code = row.text(0);
    part.kind = parsePartKind(row.text(1));
    part.description = row.text(2);
    part.od = row.optionalLength(3);
    part.id = row.optionalLength(4);
    part.thickness = row.optionalLength(5);
    part.section = row.optionalLength(6);
    part.length = row.optionalLength(7);
    part.size_code = row.text(8);
    part.material = row.text(9);
    part.hardness = row.text(10);
    part.coating = row.text(11);
    part.unit = parseQuantityUnit(row.text(12));
    part.part_class = row.text(13);
    part.reorder_point = row.optionalInteger(14);
    if (!row.isNull(15)) part.shelf_life_months = row.smallInteger(15);
    part.note = row.text(16);
    part.retired = row.integer(17) != 0;
    return part;
}

std::vector<Part> readParts(ShopConnection& connection, std::optional<std::string_view> kind,
                            Retired retired) {
    std::vector<Part> parts;
    Query query(connection, selectWhere(2), kind, retired == Retired::included ? 1 : 0);
    while (query.next()) parts.push_back(readPart(query));
    return parts;
}

/// Of a server, where many are asked for; sorted by their codes.
using Parts = std::map<std::string, Part, std::less<>>;
const Parts* allParts(ShopConnection& connection) {
    return wholeState<Parts>(connection, "parts", [&] {
        Parts parts;
        for (Part& part : readParts(connection, std::nullopt, Retired::included)) {
            std::string code = part.code;
            parts.emplace(std::move(code), std::move(part));
        }
        return parts;
    });
}

/// Their codes by size, in order.
using ShimCodes = std::map<std::tuple<Length, Length, Length>, std::vector<std::string>>;
const ShimCodes* allShimCodes(ShopConnection& connection) {
    return wholeState<ShimCodes>(connection, "shims by size", [&] {
        ShimCodes codes;
        for (const Part& part : readParts(connection, partKindName(PartKind::shim), Retired::leftOut))
            codes[{part.od.value_or(Length()), part.id.value_or(Length()), part.thickness.value_or(Length())}]
                .push_back(part.code);
        for (auto& [size, of_size] : codes) std::sort(of_size.begin(), of_size.end());
        return codes;
    });
}

bool sameIdentity(const Part& a, const Part& b) {
    return a.kind == b.kind && a.unit == b.unit && a.od == b.od && a.id == b.id &&
           a.thickness == b.thickness && a.section == b.section && a.length == b.length;
}

/// Anything that was booked, ordered, measured or found under it.
bool hasHistory(ShopConnection& connection, std::int64_t part) {
    for (const char* sql : {"SELECT 1 FROM movements WHERE part_id = ?1 LIMIT 1",
                            "SELECT 1 FROM order_lines WHERE part_id = ?1 LIMIT 1",
                            "SELECT 1 FROM readings WHERE part_id = ?1 LIMIT 1",
                            "SELECT 1 FROM strip_rows WHERE part_id = ?1 LIMIT 1",
                            "SELECT 1 FROM wear_findings WHERE part_id = ?1 LIMIT 1",
                            "SELECT 1 FROM movements WHERE wanted_part_id = ?1 LIMIT 1"}) {
        if (Query(connection, sql, part).next()) return true;
    }
    return false;
}

MasterSubject subjectOf(const Part& part) {
    MasterSubject about;
    about.kind = MasterKind::part;
    about.part = part.code;
    return about;
}

std::string nameOf(std::string_view code) {
    return "part " + inQuotes(code);
}

} // namespace

void PartCatalogue::add(const Part& part) {
    checkPart(part);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (const auto there = find(part.code)) {
        throw FieldError("part",
                         nameOf(part.code) + " is in the catalogue already" + orBringBack(there->retired));
    }
    Query(connection,
          "INSERT INTO parts (code, kind, description, od_um, id_um, thickness_um, section_um, length_um, "
          "size_code, material, hardness, coating, unit, part_class, reorder_point, shelf_life_months, note, "
          "retired) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, "
          "?18)",
          part.code, partKindName(part.kind), part.description, part.od, part.id, part.thickness,
          part.section, part.length, part.size_code, part.material, part.hardness, part.coating,
          quantityUnitName(part.unit), part.part_class, part.reorder_point, part.shelf_life_months, part.note,
          part.retired ? 1 : 0)
        .run();
    transaction.commit();
}

std::vector<MasterChange> PartCatalogue::update(const Part& part, const std::optional<Part>& seen,
                                                const std::string& step) {
    checkPart(part);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = partId(connection, part.code);
    const Part before = get(part.code);
    mustBeAsSeen(nameOf(part.code), before, seen);
    std::vector<MasterChange> changes = differences(subjectOf(part), before, part);
    if (changes.empty()) return changes;
    if (!sameIdentity(before, part) && hasHistory(connection, id)) {
        throw FieldError("part", nameOf(part.code) +
                                     " keeps its kind, unit and sizes, as what was booked under it rests on "
                                     "them: retire it and add the right part");
    }
    Query(connection,
          "UPDATE parts SET kind = ?2, description = ?3, od_um = ?4, id_um = ?5, thickness_um = ?6, "
          "section_um = ?7, length_um = ?8, size_code = ?9, material = ?10, hardness = ?11, coating = ?12, "
          "unit = ?13, part_class = ?14, reorder_point = ?15, shelf_life_months = ?16, note = ?17, "
          "retired = ?18 WHERE part_id = ?1",
          id, partKindName(part.kind), part.description, part.od, part.id, part.thickness, part.section,
          part.length, part.size_code, part.material, part.hardness, part.coating,
          quantityUnitName(part.unit), part.part_class, part.reorder_point, part.shelf_life_months, part.note,
          part.retired ? 1 : 0)
        .run();
    for (MasterChange& change : changes) change.item = step;
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange PartCatalogue::setRetired(std::string_view code, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    MasterChange change = update(markedRetired(get(code), retired, nameOf(code))).front();
    transaction.commit();
    return change;
}

std::optional<Part> PartCatalogue::find(std::string_view code) const {
    if (const Parts* all = allParts(m_shop.connection())) {
        const auto found = all->find(code);
        return found == all->end() ? std::nullopt : std::optional(found->second);
    }
    Query query(m_shop.connection(), selectWhere(0), code);
    if (!query.next()) return std::nullopt;
    return readPart(query);
}

Part PartCatalogue::get(std::string_view code) const {
    if (auto part = find(code)) return *part;
    throw FieldError("part", "there is no part " + inQuotes(code) + " in the catalogue");
}

std::optional<Part> PartCatalogue::findShim(Length od, Length id, Length thickness) const {
    if (const ShimCodes* all = allShimCodes(m_shop.connection())) {
        const auto found = all->find({od, id, thickness});
        if (found == all->end()) return std::nullopt;
        if (found->second.size() == 1) return find(found->second.front()); // else as below
    }
    Query query(m_shop.connection(), selectWhere(1), od, id, thickness);
    if (!query.next()) return std::nullopt;
    Part part = readPart(query);
    if (query.next()) {
        throw InputError("the shim " + partSizeText(part) + " is in the catalogue more than once (" +
                         inQuotes(part.code) + ", " + inQuotes(query.text(0)) +
                         "): say which by its part code");
    }
    return part;
}

std::vector<Part> PartCatalogue::listShims(Length od, Length id, Length thickness) const {
    std::vector<Part> parts;
    Query query(m_shop.connection(), selectWhere(1), od, id, thickness);
    while (query.next()) parts.push_back(readPart(query));
    return parts;
}

std::vector<Part> PartCatalogue::list(Retired retired) const {
    return readParts(m_shop.connection(), std::nullopt, retired);
}

std::vector<Part> PartCatalogue::listKind(PartKind kind, Retired retired) const {
    return readParts(m_shop.connection(), partKindName(kind), retired);
}

} // namespace shimledger::inventory
