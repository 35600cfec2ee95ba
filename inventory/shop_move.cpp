// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_move.h"

#include "inventory/inventory_error.h"
#include "inventory/ledger/ledger_chain.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/shop_address.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/file_copy.h"
#include "inventory/storage/postgres/server_shop.h"
#include "inventory/storage/query.h"
#include "inventory/storage/shared_file_lock.h"
#include "inventory/storage/table_copy.h"
#include "inventory/storage/transaction.h"

#include <memory>
#include <system_error>

namespace shimledger::inventory {

namespace {

namespace fs = std::filesystem;

void checkGood(const ShopFile& shop) {
    const VerifyReport report = verifyStock(shop, VerifyDepth::everything);
    if (report.good()) return;
    throw InputError("the shop " + shop.path().string() + " is not moved, as it does not prove true (" +
                     (report.faults.empty() ? report.differences.front().text() : report.faults.front()) +
                     "): see 'shimledger stock verify'");
}

/// Copies all and proves it; inside of a transaction of each.
ShopMove copyAndCompare(ShopConnection& source, ShopConnection& target) {
    ShopMove move;
    for (const std::string& table : tableNames(shopMigrations())) {
        if (!isEmptyTable(target, table)) {
            throw InputError("there is something in " + target.path().string() +
                             " already: a shop moves to where nothing is yet");
        }
    }
    for (const std::string& table : tableNames(shopMigrations())) {
        const std::int64_t rows = copyTable(source, target, table);
        move.tables.push_back({table, rows});
        if (table == "movements") move.movements = rows;
    }
    for (const MovedTable& table : move.tables) {
        if (!sameRows(source, target, table.name)) {
            throw ShopFileFault(
                "the rows of " + table.name +
                " did not arrive as they are: nothing was moved, the shop stays where it was");
        }
    }
    move.checksum = lastChecksum(source);
    return move;
}

void proveArrived(const ShopFile& there, const ShopMove& move) {
    const VerifyReport report = verifyStock(there, VerifyDepth::everything);
    if (report.good() && report.movements == move.movements &&
        lastChecksum(there.connection()) == move.checksum)
        return;
    throw ShopFileFault("what arrived in " + there.path().string() +
                        " does not prove true: nothing was moved, the shop stays where it was");
}

/// A file that is made under another name and gets its own when it is whole.
class NewFile {
public:
    explicit NewFile(fs::path path) : m_path(std::move(path)), m_making(m_path.string() + ".moving") {
        std::error_code error;
        if (fs::exists(fs::symlink_status(m_path, error)))
            throw InputError(m_path.string() +
                             " exists already: a shop moves to a path where nothing is yet");
        if (fs::exists(fs::symlink_status(m_making, error)))
            throw InputError(
                m_making.string() +
                " is left over from a move that was broken off, or one is going on: take it away "
                "where none is");
    }
    ~NewFile() {
        if (!m_done) removeShopFile(m_making);
    }
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;

    [[nodiscard]] const fs::path& making() const { return m_making; }
    void giveName() {
        std::error_code error;
        fs::create_hard_link(m_making, m_path, error); // never over what came there meanwhile
        if (error && error != std::errc::file_exists) fs::rename(m_making, m_path, error);
        if (error)
            throw ShopFileFault(m_path.string() + " cannot be given its name (" + error.message() +
                                "): nothing was moved, the shop stays where it was");
        fs::remove(m_making, error);
        m_done = true;
    }

private:
    fs::path m_path;
    fs::path m_making;
    bool m_done = false;
};

fs::path freeName(const fs::path& path) {
    std::error_code error;
    fs::path name = path.string() + ".moved";
    for (int number = 2; fs::exists(fs::symlink_status(name, error)); ++number)
        name = path.string() + ".moved-" + std::to_string(number);
    return name;
}

void renameOrThrow(const fs::path& from, const fs::path& to) {
    std::error_code error;
    fs::rename(from, to, error);
    if (!error) return;
    throw ShopFileFault(from.string() + " cannot be given the name " + to.string() + " (" + error.message() +
                        "): nothing was moved, the shop stays where it was");
}

/// Nobody writes to the file any more, and its log, which does not go along with its name, is empty.
std::unique_ptr<WriteTransaction> holdWithEmptyLog(const ShopFile& shop) {
    constexpr int most_tries = 10;
    for (int i = 0; i < most_tries; ++i) {
        shop.connection().settle();
        auto hold = std::make_unique<WriteTransaction>(shop.connection());
        std::error_code none;
        const std::uintmax_t log = fs::file_size(shop.path().string() + "-wal", none);
        if (none || log == 0) return hold;
    }
    throw InputError("a program is writing to " + shop.path().string() + ": close it first");
}

ShopMove fromFileToServer(const fs::path& from, const fs::path& to) {
    std::error_code error;
    if (fs::exists(from, error) && isInUse(from)) {
        throw InputError("a program has " + from.string() +
                         " open: close it first, or what it writes would be lost");
    }
    ShopFile source = ShopFile::open(from);
    checkGood(source);
    ShopFile target = ShopFile::open(to);
    const auto nobody_writes = holdWithEmptyLog(source);
    WriteTransaction arriving(target.connection());
    ShopMove move = copyAndCompare(source.connection(), target.connection());
    proveArrived(target, move);
    // From here on a program that opens the file finds none, and one that has it open is told so when it
    // writes.
    move.kept = freeName(from);
    renameOrThrow(from, move.kept);
    try {
        arriving.commit();
    } catch (...) {
        fs::rename(move.kept, from, error);
        throw;
    }
    return move;
}

ShopMove fromServerToFile(const fs::path& from, const fs::path& to) {
    NewFile file(to);
    checkGood(ShopFile::openReadOnly(from));
    const auto connection = openServerShop(from, Access::readWrite, systemClock(), shopMigrations());
    ServerConnection& server = *connection;
    ShopMove move;
    WriteTransaction nobody_writes(server);
    {
        ShopFile target = ShopFile::create(file.making());
        fs::permissions(file.making(), fs::perms::owner_read | fs::perms::owner_write);
        WriteTransaction arriving(target.connection());
        move = copyAndCompare(server, target.connection());
        arriving.commit();
        proveArrived(target, move);
        target.connection().settle();
    }
    markAsMoved(server, fs::absolute(to));
    file.giveName();
    try {
        nobody_writes.commit();
    } catch (...) {
        removeShopFile(to);
        throw;
    }
    return move;
}

} // namespace

ShopMove moveShop(const fs::path& from, const fs::path& to) {
    const bool from_server = isServerAddress(from);
    if (from_server == isServerAddress(to)) {
        throw InputError(from_server ? "both are servers: move the shop into a file first, and from there on"
                                     : "both are files: copy a shop file by 'shimledger backup'");
    }
    return from_server ? fromServerToFile(from, to) : fromFileToServer(from, to);
}

} // namespace shimledger::inventory
