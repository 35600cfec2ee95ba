// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/schema/schema_migrations.h"

#include "inventory/inventory_error.h"
#include "inventory/ledger/ledger_chain.h"
#include "inventory/schema/schema_1.h"
#include "inventory/schema/schema_2.h"
#include "inventory/schema/schema_3.h"
#include "inventory/schema/schema_4.h"
#include "inventory/schema/schema_5.h"
#include "inventory/schema/schema_6.h"
#include "inventory/schema/schema_7.h"
#include "inventory/schema/schema_8.h"
#include "inventory/storage/transaction.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace shimledger::inventory {

namespace {

void apply(ShopConnection& connection, const Migration& step) {
    WriteTransaction transaction(connection);
    // Another program may have done the step while this one waited for the write lock.
    if (schemaNumber(connection) >= step.number) return;
    for (const char* statement : step.statements) connection.define(statement);
    if (step.fill != nullptr) step.fill(connection);
    if (!connection.brokenReferences(1).empty()) {
        throw ShopFileFault("the shop file " + connection.path().string() +
                            " could not be brought up to date: it holds broken references");
    }
    connection.setSchemaNumber(step.number);
    transaction.commit();
}

} // namespace

std::span<const Migration> shopMigrations() {
    static constexpr std::array<Migration, 8> migrations{
        Migration{1, schema_1}, Migration{2, schema_2},
        Migration{3, schema_3}, Migration{4, schema_4, &sealWholeLedger},
        Migration{5, schema_5}, Migration{6, schema_6},
        Migration{7, schema_7}, Migration{8, schema_8}};
    return migrations;
}

int currentSchemaNumber() {
    return shopMigrations().back().number;
}

std::span<const Migration> stepsUpTo(std::span<const Migration> migrations, int number) {
    const auto end = std::find_if(migrations.begin(), migrations.end(),
                                  [&](const Migration& step) { return step.number > number; });
    return migrations.first(static_cast<std::size_t>(end - migrations.begin()));
}

std::vector<std::string> tableNames(std::span<const Migration> migrations) {
    constexpr std::string_view beginning = "CREATE TABLE ";
    std::vector<std::string> names;
    for (const Migration& step : migrations) {
        for (const std::string_view statement : step.statements) {
            if (statement.substr(0, beginning.size()) != beginning) continue;
            const std::string_view rest = statement.substr(beginning.size());
            const std::string name(rest.substr(0, rest.find(' ')));
            std::erase(names, name); // one that is made anew comes behind what it refers to
            names.push_back(name);
        }
    }
    return names;
}

int schemaNumber(ShopConnection& connection) {
    return connection.schemaNumber();
}

void migrate(ShopConnection& connection, std::span<const Migration> migrations) {
    if (schemaNumber(connection) >= migrations.back().number) return;
    for (const Migration& step : migrations) {
        if (schemaNumber(connection) < step.number) apply(connection, step);
    }
    connection.settle();
}

} // namespace shimledger::inventory
