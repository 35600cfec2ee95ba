// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/master/change_check.h"

#include "inventory/component_model.h"
#include "inventory/master/field_column.h"
#include "inventory/master_fields.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <map>
#include <optional>
#include <tuple>

namespace shimledger::inventory {

namespace {

/// What was changed: one field of one thing.
using Place = std::tuple<MasterKind, std::string, std::string, std::string, std::string, std::int64_t,
                         std::string, std::string, std::string, std::string>;

Place placeOf(const MasterChange& change) {
    const MasterSubject& about = change.about;
    return {about.kind,
            about.part,
            about.bin,
            about.supplier,
            about.model,
            about.pack_size,
            about.part_class,
            about.recipe,
            change.field,
            about.kind == MasterKind::part ? std::string() : change.item}; // of a part it names the step
}

struct Column {
    std::string name;
    FieldContent content = FieldContent::text;
};

template <class Thing>
std::optional<Column> columnOf(std::string_view field) {
    for (const MasterField<Thing>& known : fieldsOf<Thing>()) {
        if (known.name == field) return Column{columnOfField(field, known.content), known.content};
    }
    return std::nullopt;
}

/// Of a valve's flow, which changes name with their model and, as the item, the valve.
std::optional<Column> flowColumnOf(const MasterChange& change) {
    if (change.about.kind != MasterKind::model || change.item.empty()) return std::nullopt;
    return columnOf<ModelFlow>(change.field);
}

std::optional<Column> columnOf(const MasterChange& change) {
    switch (change.about.kind) {
    case MasterKind::part:
        return columnOf<Part>(change.field);
    case MasterKind::bin:
        return columnOf<Bin>(change.field);
    case MasterKind::supplier:
        return columnOf<Supplier>(change.field);
    case MasterKind::offer:
        return columnOf<SupplierPart>(change.field);
    case MasterKind::model:
        return columnOf<ComponentModel>(change.field);
    case MasterKind::reorderClass:
        return columnOf<ReorderClass>(change.field);
    case MasterKind::recipe:
        return columnOf<Recipe>(change.field);
    }
    return std::nullopt;
}

/// What the row says now, as a change would write it; none: there is no such row.
std::optional<std::string> rowSays(Query& query, FieldContent content) {
    if (!query.next()) return std::nullopt;
    return textOfColumn(query, 0, content);
}

bool sameText(const std::string& kept, const std::string& now, FieldContent content) {
    if (content != FieldContent::millimetres || kept.empty() || now.empty()) return kept == now;
    return Length::parseMillimetres(kept) == Length::parseMillimetres(now); // "0.10" and "0.1"
}

std::optional<std::string> breakNow(ShopConnection& connection, const MasterChange& change) {
    Query query(connection,
                "SELECT b.pack_price FROM price_breaks b JOIN suppliers s USING (supplier_id) "
                "JOIN parts p USING (part_id) WHERE s.name = ?1 AND p.code = ?2 AND b.pack_size = ?3 AND "
                "CAST(b.from_packs AS TEXT) = ?4",
                change.about.supplier, change.about.part, change.about.pack_size, change.item);
    return rowSays(query, FieldContent::money).value_or("");
}

std::optional<std::string> wearPartNow(ShopConnection& connection, const MasterChange& change) {
    Query query(connection,
                "SELECT c.quantity_per_leg || ' per leg' || CASE c.note WHEN '' THEN '' ELSE ' (' || c.note "
                "|| ')' END FROM model_consumables c JOIN component_models m USING (model_id) "
                "JOIN parts p USING (part_id) WHERE m.code = ?1 AND p.code = ?2",
                change.about.model, change.about.part);
    return rowSays(query, FieldContent::text).value_or("");
}

std::optional<std::string> valveNow(ShopConnection& connection, const MasterChange& change) {
    Query query(connection,
                "SELECT v.name, v.clamp_od_um, v.port_inner_diameter_um, v.port_outer_diameter_um, "
                "v.shim_id_um, v.seat_diameter_um, v.preload_um FROM model_valves v "
                "JOIN component_models m USING (model_id) WHERE m.code = ?1 AND v.name = ?2",
                change.about.model, change.item);
    if (!query.next()) return "";
    return valveText({query.text(0), query.length(1), query.length(2), query.length(3), query.length(4),
                      query.optionalLength(5), query.optionalLength(6)});
}

std::optional<std::string> flowNow(ShopConnection& connection, const MasterChange& change,
                                   const Column& column) {
    const std::string sql =
        "SELECT f." + column.name +
        " FROM model_flows f JOIN component_models m USING (model_id) WHERE m.code = ?1 AND "
        "f.valve = ?2";
    Query query(connection, sql, change.about.model, change.item);
    return rowSays(query, column.content).value_or("");
}

/// What stands there now; none: the thing itself is not there.
std::optional<std::string> nowOf(ShopConnection& connection, const MasterChange& change) {
    if (change.field == price_break_field) return breakNow(connection, change);
    if (change.field == wear_part_field) return wearPartNow(connection, change);
    if (change.field == valve_field) return valveNow(connection, change);
    if (const auto column = flowColumnOf(change)) return flowNow(connection, change, *column);
    const std::optional<Column> column = columnOf(change);
    if (!column) return std::nullopt;
    const auto oneOf = [&](const std::string& rest, const std::string& code) {
        const std::string sql = "SELECT t." + column->name + " FROM " + rest;
        Query query(connection, sql, code);
        return rowSays(query, column->content);
    };
    const MasterSubject& about = change.about;
    switch (about.kind) {
    case MasterKind::part:
        return oneOf("parts t WHERE t.code = ?1", about.part);
    case MasterKind::bin:
        return oneOf("bins t WHERE t.code = ?1", about.bin);
    case MasterKind::supplier:
        return oneOf("suppliers t WHERE t.name = ?1", about.supplier);
    case MasterKind::model:
        return oneOf("component_models t WHERE t.code = ?1", about.model);
    case MasterKind::reorderClass:
        return oneOf("reorder_classes t WHERE t.part_class = ?1", about.part_class);
    case MasterKind::recipe:
        if (change.field == "model") {
            Query query(connection,
                        "SELECT m.code FROM recipes t LEFT JOIN component_models m USING (model_id) "
                        "WHERE t.name = ?1",
                        about.recipe);
            return rowSays(query, column->content);
        }
        return oneOf("recipes t WHERE t.name = ?1", about.recipe);
    case MasterKind::offer: {
        const std::string sql = "SELECT t." + column->name +
                                " FROM supplier_parts t JOIN suppliers s USING (supplier_id) "
                                "JOIN parts p USING (part_id) WHERE s.name = ?1 AND p.code = ?2 AND "
                                "t.pack_size = ?3";
        Query query(connection, sql, about.supplier, about.part, about.pack_size);
        return rowSays(query, column->content);
    }
    }
    return std::nullopt;
}

std::string whatOf(const MasterChange& change) {
    std::string text = "change " + std::to_string(change.number) + " of ";
    text += masterKindName(change.about.kind);
    for (const std::string& code : {change.about.supplier, change.about.part, change.about.bin,
                                    change.about.model, change.about.part_class, change.about.recipe}) {
        if (!code.empty()) text += " " + inQuotes(code);
    }
    return text + " (" + change.field + ")";
}

void checkChanges(const ShopFile& shop, std::size_t most, std::vector<std::string>& faults) {
    std::map<Place, MasterChange> last;
    std::int64_t number = 0;
    MasterHistory(shop).forEach([&](const MasterChange& change) {
        if (faults.size() >= most) return;
        if (change.number != ++number) {
            faults.push_back("change " + std::to_string(number) + " of master data is missing");
            number = change.number;
        }
        const auto [before, is_first] = last.try_emplace(placeOf(change), change);
        if (!is_first) {
            if (before->second.after != change.before) {
                faults.push_back(whatOf(change) + " begins at " + inQuotes(change.before) + ", but change " +
                                 std::to_string(before->second.number) + " left " +
                                 inQuotes(before->second.after));
            }
            before->second = change;
        }
    });
    for (const auto& [place, change] : last) {
        if (faults.size() >= most) break;
        const auto now = nowOf(shop.connection(), change);
        const auto of_flow = flowColumnOf(change);
        const auto column = of_flow ? of_flow : columnOf(change);
        if (now && sameText(change.after, *now, column ? column->content : FieldContent::text)) continue;
        faults.push_back(whatOf(change) + " left " + inQuotes(change.after) + ", but " +
                         (now ? inQuotes(*now) + " stands there now" : std::string("nothing is there")));
    }
}

} // namespace

std::vector<std::string> changeFaults(const ShopFile& shop, std::size_t most) {
    std::vector<std::string> faults;
    try {
        checkChanges(shop, most, faults);
    } catch (const InputError& error) {
        faults.push_back(std::string("a kept change of master data cannot be read: ") + error.what());
    }
    return faults;
}

} // namespace shimledger::inventory
