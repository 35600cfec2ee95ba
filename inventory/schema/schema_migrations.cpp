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
#include "inventory/storage/query.h"
#include "inventory/storage/transaction.h"

#include <array>
#include <string>

namespace shimledger::inventory {

namespace {

void apply(ShopConnection& connection, const Migration& step) {
    WriteTransaction transaction(connection);
    // Another program may have done the step while this one waited for the write lock.
    if (schemaNumber(connection) >= step.number) return;
    for (const char* statement : step.statements) connection.execute(statement);
    if (step.fill != nullptr) step.fill(connection);
    if (Query(connection, "PRAGMA foreign_key_check").next()) {
        throw ShopFileFault("the shop file " + connection.path().string() +
                            " could not be brought up to date: it holds broken references");
    }
    connection.execute("PRAGMA application_id = " + std::to_string(shop_application_id));
    connection.execute("PRAGMA user_version = " + std::to_string(step.number));
    transaction.commit();
}

} // namespace

std::span<const Migration> shopMigrations() {
    static constexpr std::array<Migration, 7> migrations{
        Migration{1, schema_1}, Migration{2, schema_2},
        Migration{3, schema_3}, Migration{4, schema_4, &sealWholeLedger},
        Migration{5, schema_5}, Migration{6, schema_6},
        Migration{7, schema_7}};
    return migrations;
}

int currentSchemaNumber() {
    return shopMigrations().back().number;
}

int schemaNumber(ShopConnection& connection) {
    Query query(connection, "PRAGMA user_version");
    query.mustRow();
    return query.smallInteger(0);
}

void migrate(ShopConnection& connection, std::span<const Migration> migrations) {
    if (schemaNumber(connection) >= migrations.back().number) return;
    for (const Migration& step : migrations) {
        if (schemaNumber(connection) < step.number) apply(connection, step);
    }
    // So that the header of the file itself, not only its write-ahead log, carries the new numbers: an older
    // program then turns the file down after one look.
    Query checkpoint(connection, "PRAGMA wal_checkpoint(TRUNCATE)");
    checkpoint.mustRow();
}

} // namespace shimledger::inventory
