// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_file.h"

#include "inventory/drive_check.h"
#include "inventory/move_note.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/shop_address.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/postgres/server_shop.h"
#include "inventory/storage/transaction.h"

#include <system_error>

namespace shimledger::inventory {

namespace {

std::unique_ptr<ShopConnection> openShop(const std::filesystem::path& path, Access access, WallClock clock) {
    if (isServerAddress(path)) return openServerShop(path, access, std::move(clock), shopMigrations());
    tellMove(path);
    return openShopFile(path, access, std::move(clock), shopMigrations());
}

} // namespace

ShopFile::ShopFile(std::unique_ptr<ShopConnection> connection) : m_connection(std::move(connection)) {}
ShopFile::ShopFile(ShopFile&&) noexcept = default;
ShopFile& ShopFile::operator=(ShopFile&&) noexcept = default;
ShopFile::~ShopFile() = default;

ShopFile ShopFile::create(const std::filesystem::path& path, WallClock clock) {
    if (isServerAddress(path)) return ShopFile(createServerShop(path, std::move(clock), shopMigrations()));
    return ShopFile(createShopFile(path, std::move(clock), shopMigrations()));
}

ShopFile ShopFile::open(const std::filesystem::path& path, WallClock clock) {
    return ShopFile(openShop(path, Access::readWrite, std::move(clock)));
}

ShopFile ShopFile::openReadOnly(const std::filesystem::path& path, WallClock clock) {
    return ShopFile(openShop(path, Access::readOnly, std::move(clock)));
}

ShopFile ShopFile::openAsAllowed(const std::filesystem::path& path, WallClock clock) {
    if (isServerAddress(path)) {
        auto shop = openServerShop(path, Access::readWrite, clock, shopMigrations());
        if (mayBook(*shop)) return ShopFile(std::move(shop));
        return openReadOnly(path, std::move(clock));
    }
    std::error_code error;
    const bool locked = std::filesystem::exists(path, error) && !mayBeWritten(path);
    return locked ? openReadOnly(path, std::move(clock)) : open(path, std::move(clock));
}

const std::filesystem::path& ShopFile::path() const {
    return m_connection->path();
}
bool ShopFile::readOnly() const {
    return m_connection->access() == Access::readOnly;
}
int ShopFile::schemaVersion() const {
    return schemaNumber(*m_connection);
}
UtcTime ShopFile::now() const {
    return m_connection->clock()();
}
ShopConnection& ShopFile::connection() const {
    return *m_connection;
}

void ShopFile::atomically(const std::function<void()>& work) {
    WriteTransaction transaction(*m_connection);
    work();
    transaction.commit();
}

void ShopFile::consistently(const std::function<void()>& work) const {
    const ReadTransaction transaction(*m_connection);
    work();
}

void removeShopFile(const std::filesystem::path& path) {
    std::error_code ignored;
    for (const char* ending : {"", "-wal", "-shm"}) {
        std::filesystem::path beside = path;
        beside += ending;
        std::filesystem::remove(beside, ignored);
    }
}

} // namespace shimledger::inventory
