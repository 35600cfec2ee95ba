// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/lookup.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/whole_state.h"

#include <functional>
#include <map>
#include <string>

namespace shimledger::inventory {

namespace {

std::optional<std::int64_t> findId(ShopConnection& connection, std::string_view sql, std::string_view code) {
    Query query(connection, sql, code);
    if (!query.next()) return std::nullopt;
    return query.integer(0);
}

using Ids = std::map<std::string, std::int64_t, std::less<>>;

const Ids* allIds(ShopConnection& connection, const std::string& table, std::string_view sql) {
    return wholeState<Ids>(connection, "ids of " + table, [&] {
        Ids ids;
        Query query(connection, sql);
        while (query.next()) ids.emplace(query.text(0), query.integer(1));
        return ids;
    });
}

std::optional<std::int64_t> idIn(const Ids& ids, std::string_view code) {
    const auto found = ids.find(code);
    return found == ids.end() ? std::nullopt : std::optional(found->second);
}

std::int64_t mustExist(std::optional<std::int64_t> id, std::string_view noun, std::string_view code,
                       std::string_view column) {
    if (id) return *id;
    if (code.empty()) throw FieldError(column, "the " + std::string(noun) + " is missing");
    throw FieldError(column, "there is no " + std::string(noun) + " " + inQuotes(code) + " in the shop file");
}

} // namespace

std::optional<std::int64_t> findPartId(ShopConnection& connection, std::string_view code) {
    if (const Ids* all = allIds(connection, "parts", "SELECT code, part_id FROM parts"))
        return idIn(*all, code);
    return findId(connection, "SELECT part_id FROM parts WHERE code = ?1", code);
}

std::optional<std::int64_t> findBinId(ShopConnection& connection, std::string_view code) {
    return findId(connection, "SELECT bin_id FROM bins WHERE code = ?1", code);
}

std::optional<std::int64_t> findSupplierId(ShopConnection& connection, std::string_view name) {
    return findId(connection, "SELECT supplier_id FROM suppliers WHERE name = ?1", name);
}

std::optional<std::int64_t> findModelId(ShopConnection& connection, std::string_view code) {
    return findId(connection, "SELECT model_id FROM component_models WHERE code = ?1", code);
}

std::optional<std::int64_t> findRecipeId(ShopConnection& connection, std::string_view name) {
    return findId(connection, "SELECT recipe_id FROM recipes WHERE name = ?1", name);
}

std::optional<std::int64_t> findJobId(ShopConnection& connection, std::string_view code) {
    if (const Ids* all = allIds(connection, "jobs", "SELECT code, job_id FROM jobs")) return idIn(*all, code);
    return findId(connection, "SELECT job_id FROM jobs WHERE code = ?1", code);
}

std::int64_t partId(ShopConnection& connection, std::string_view code, std::string_view column) {
    return mustExist(findPartId(connection, code), "part", code, column);
}

std::int64_t binId(ShopConnection& connection, std::string_view code, std::string_view column) {
    return mustExist(findBinId(connection, code), "bin", code, column);
}

std::int64_t supplierId(ShopConnection& connection, std::string_view name) {
    return mustExist(findSupplierId(connection, name), "supplier", name, "supplier");
}

std::int64_t modelId(ShopConnection& connection, std::string_view code) {
    return mustExist(findModelId(connection, code), "component model", code, "model");
}

std::int64_t recipeId(ShopConnection& connection, std::string_view name) {
    return mustExist(findRecipeId(connection, name), "recipe", name, "recipe");
}

std::int64_t jobId(ShopConnection& connection, std::string_view code) {
    return mustExist(findJobId(connection, code), "job", code, "job");
}

} // namespace shimledger::inventory
