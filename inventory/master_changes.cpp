// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/master_changes.h"

#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

struct KindWord {
    MasterKind kind;
    std::string_view name;
};
constexpr std::array<KindWord, 7> kind_words{{{MasterKind::part, "part"},
                                              {MasterKind::bin, "bin"},
                                              {MasterKind::supplier, "supplier"},
                                              {MasterKind::offer, "offer"},
                                              {MasterKind::model, "model"},
                                              {MasterKind::reorderClass, "class"},
                                              {MasterKind::recipe, "recipe"}}};

std::string changesWhere(std::string_view condition) {
    return "SELECT c.change_id, c.utc, c.kind, p.code, b.code, s.name, m.code, c.pack_size, c.part_class, "
           "c.field, c.item, c.before, c.after, r.name FROM master_changes c LEFT JOIN parts p USING "
           "(part_id) "
           "LEFT JOIN bins b USING (bin_id) LEFT JOIN suppliers s USING (supplier_id) "
           "LEFT JOIN component_models m USING (model_id) LEFT JOIN recipes r USING (recipe_id) WHERE " +
           std::string(condition) + " ORDER BY c.change_id";
}

MasterChange readChange(const Query& row) {
    MasterChange change;
    change.number = row.integer(0);
    change.utc = row.utc(1);
    change.about.kind = parseMasterKind(row.text(2));
    change.about.part = row.textOrEmpty(3);
    change.about.bin = row.textOrEmpty(4);
    change.about.supplier = row.textOrEmpty(5);
    change.about.model = row.textOrEmpty(6);
    change.about.pack_size = row.optionalInteger(7).value_or(0);
    change.about.part_class = row.textOrEmpty(8);
    change.field = row.text(9);
    change.item = row.text(10);
    change.before = row.text(11);
    change.after = row.text(12);
    change.about.recipe = row.textOrEmpty(13);
    return change;
}

std::vector<MasterChange> readAll(Query& query) {
    std::vector<MasterChange> changes;
    while (query.next()) changes.push_back(readChange(query));
    return changes;
}

} // namespace

std::string_view masterKindName(MasterKind kind) {
    for (const KindWord& word : kind_words) {
        if (word.kind == kind) return word.name;
    }
    throw std::logic_error("a kind of master data is missing in the table of kinds");
}

MasterKind parseMasterKind(std::string_view text) {
    for (const KindWord& word : kind_words) {
        if (word.name == text) return word.kind;
    }
    throw InputError(inQuotes(text) +
                     " is no kind of master data: write part, bin, supplier, offer, model, class or "
                     "recipe");
}

std::vector<MasterChange> MasterHistory::ofPart(std::string_view code) const {
    static const std::string sql = changesWhere("c.part_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, partId(connection, code));
    return readAll(query);
}

std::vector<MasterChange> MasterHistory::ofBin(std::string_view code) const {
    static const std::string sql = changesWhere("c.bin_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, binId(connection, code));
    return readAll(query);
}

std::vector<MasterChange> MasterHistory::ofSupplier(std::string_view name) const {
    static const std::string sql = changesWhere("c.supplier_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, supplierId(connection, name));
    return readAll(query);
}

std::vector<MasterChange> MasterHistory::ofModel(std::string_view code) const {
    static const std::string sql = changesWhere("c.model_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, modelId(connection, code));
    return readAll(query);
}

std::vector<MasterChange> MasterHistory::ofClass(std::string_view part_class) const {
    static const std::string sql = changesWhere("c.part_class = ?1");
    Query query(m_shop.connection(), sql, part_class);
    return readAll(query);
}

std::vector<MasterChange> MasterHistory::ofRecipe(std::string_view name) const {
    static const std::string sql = changesWhere("c.recipe_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, recipeId(connection, name));
    return readAll(query);
}

void MasterHistory::forEach(const std::function<void(const MasterChange&)>& visit) const {
    static const std::string sql = changesWhere("TRUE");
    Query query(m_shop.connection(), sql);
    while (query.next()) visit(readChange(query));
}

} // namespace shimledger::inventory
