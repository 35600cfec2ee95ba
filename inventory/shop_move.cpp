// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_move.h"

#include "inventory/inventory_error.h"
#include "inventory/ledger/ledger_chain.h"
#include "inventory/move_note.h"
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
#include <optional>
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
    const std::vector<std::string> tables = tableNames(shopMigrations());
    const std::vector<std::int64_t> rows = copyTables(source, target, tables);
    for (std::size_t i = 0; i < tables.size(); ++i) {
        move.tables.push_back({tables[i], rows[i]});
        if (tables[i] == "movements") move.movements = rows[i];
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

/// A file that is made under another name and gets its own when it is whole and counts.
class NewFile {
public:
    explicit NewFile(fs::path path) : m_path(std::move(path)), m_making(pathOfArriving(m_path)) {
        std::error_code error;
        if (fs::exists(fs::symlink_status(m_path, error)))
            throw InputError(m_path.string() +
                             " exists already: a shop moves to a path where nothing is yet");
    }
    ~NewFile() {
        if (m_ours && !m_kept) removeShopFile(m_making);
    }
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;

    [[nodiscard]] const fs::path& making() const { return m_making; }
    /// To be called before it is made: takes away what an earlier move left that was broken off before it
    /// counted.
    void clear() {
        std::error_code error;
        if (fs::exists(fs::symlink_status(m_making, error))) {
            if (isInUse(m_making))
                throw InputError(m_making.string() + " is in use: another move to " + m_path.string() +
                                 " is going on");
            removeShopFile(m_making);
        }
        m_ours = true;
    }
    void keep() { m_kept = true; } ///< it is the shop from now on, whatever comes
    void giveName() {
        keep();
        std::error_code error;
        fs::create_hard_link(m_making, m_path, error); // never over what came there meanwhile
        if (error && error != std::errc::file_exists) fs::rename(m_making, m_path, error);
        if (error)
            throw ShopFileFault(m_path.string() + " cannot be given its name (" + error.message() +
                                "): the shop is in " + m_making.string() + ", give it that name");
        fs::remove(m_making, error);
        removeMoveNote(m_path); // it is back
        syncFolderOf(m_path);
    }

private:
    fs::path m_path;
    fs::path m_making;
    bool m_ours = false;
    bool m_kept = false;
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

/// What is there, of a move that was done before and is only ended now.
ShopMove asItIs(ShopConnection& shop) {
    ShopMove move;
    move.was_broken_off = true;
    for (const std::string& table : tableNames(shopMigrations())) {
        const std::string sql = "SELECT count(*) FROM " + table;
        Query count(shop, sql);
        count.mustRow();
        move.tables.push_back({table, count.integer(0)});
        if (table == "movements") move.movements = count.integer(0);
    }
    move.checksum = lastChecksum(shop);
    return move;
}

/// Whether the shop of the note is what the server holds; it may have gone on there since. Waits for what is
/// being booked there at this moment: it might be that very move.
bool hasArrived(ShopFile& server, const MoveNote& note) {
    const WriteTransaction turn(server.connection());
    bool empty = true;
    for (const std::string& table : tableNames(shopMigrations()))
        empty = empty && isEmptyTable(server.connection(), table);
    if (empty) return false;
    const std::string sql = "SELECT 1 FROM batch_checksums WHERE checksum = ?1";
    if (note.movements == 0 || Query(server.connection(), sql, note.last_checksum).next()) return true;
    throw InputError("there is another shop in " + note.to +
                     " than the one that was on its way there, which is kept as " + note.kept.string() +
                     ": move it to another database, after giving it its old name");
}

/// Of a file that is not there any more: a move that ended, or was broken off in its last steps. None where
/// the file is back at its place and is to be moved anew.
std::optional<ShopMove> endOfMove(const fs::path& from, const fs::path& to) {
    std::error_code error;
    if (fs::exists(fs::symlink_status(from, error))) return std::nullopt;
    auto note = readMoveNote(from);
    if (!note) return std::nullopt;
    if (note->arrived || note->to != to.string()) tellMove(from);
    ShopFile server = ShopFile::open(to);
    if (hasArrived(server, *note)) {
        ShopMove move = asItIs(server.connection());
        move.kept = note->kept;
        note->arrived = true;
        writeMoveNote(from, *note);
        return move;
    }
    fs::create_hard_link(note->kept, from, error); // never over what came there meanwhile
    if (error && error != std::errc::file_exists) fs::rename(note->kept, from, error);
    if (error)
        throw ShopFileFault("the shop did not arrive in " + note->to + ", and its file " +
                            note->kept.string() + " cannot be given its old name (" + error.message() +
                            "): give it that name");
    fs::remove(note->kept, error);
    removeMoveNote(from);
    syncFolderOf(from);
    return std::nullopt;
}

ShopMove fromFileToServer(const fs::path& from, const fs::path& to) {
    checkServer(to);
    if (auto ended = endOfMove(from, to)) return *ended;
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
    asServer(target.connection())->allowSilence();
    ShopMove move = copyAndCompare(source.connection(), target.connection());
    proveArrived(target, move);
    move.kept = freeName(from);
    MoveNote note{to.string(), move.kept, move.movements, move.checksum, false};
    writeMoveNote(from, note);
    // From here on a program that opens the file finds none, and one that has it open is told so when it
    // writes. The name goes before the server books: at no moment do both count.
    renameOrThrow(from, move.kept);
    try {
        syncFolderOf(from);
        arriving.commit();
    } catch (const OutcomeUnknown&) {
        // It may be there: nothing is taken back.
        throw OutcomeUnknown(
            "the server of " + to.string() +
            " did not say whether the shop arrived, and does not answer: the old file is kept as " +
            move.kept.string() + "; when the server is back, 'shimledger move " + from.string() + " " +
            to.string() + "' finds out and ends it");
    } catch (...) {
        fs::rename(move.kept, from, error);
        if (!error) removeMoveNote(from);
        throw;
    }
    note.arrived = true;
    writeMoveNote(from, note);
    return move;
}

/// Of a server whose shop has gone to that path, without having got its name there.
std::optional<ShopMove> endOfMoveToFile(const fs::path& from, const fs::path& to) {
    checkServer(from);
    ServerConnection server(from, Access::readOnly, systemClock());
    const auto place = server.state().moved_to;
    std::error_code error;
    if (!place) return std::nullopt;
    const bool here = *place == fs::absolute(to).string();
    if (here && fs::equivalent(to, pathOfArriving(to), error)) // broken off between its two names
        fs::remove(pathOfArriving(to), error);
    if (!here || fs::exists(fs::symlink_status(to, error)))
        throw InputError("the shop at " + from.string() + " has moved to " + *place + ": open it there");
    const fs::path making = pathOfArriving(to);
    if (!fs::exists(making, error))
        throw InputError("the shop at " + from.string() + " has moved to " + *place +
                         ", where it is no more");
    NewFile file(to);
    file.keep();
    ShopMove move;
    {
        const ShopFile arrived = ShopFile::open(making); // one that only reads leaves a log beside it
        if (!verifyStock(arrived).good() || lastChecksum(arrived.connection()) != lastChecksum(server))
            throw ShopFileFault(making.string() + " is not what the server at " + from.string() + " held");
        move = asItIs(arrived.connection());
    }
    file.giveName();
    return move;
}

ShopMove fromServerToFile(const fs::path& from, const fs::path& to) {
    if (auto ended = endOfMoveToFile(from, to)) return *ended;
    NewFile file(to);
    checkGood(ShopFile::openReadOnly(from));
    const auto connection = openServerShop(from, Access::readWrite, systemClock(), shopMigrations());
    ServerConnection& server = *connection;
    ShopMove move;
    WriteTransaction nobody_writes(server);
    server.allowSilence();
    file.clear();
    {
        ShopFile target = ShopFile::create(file.making());
        fs::permissions(file.making(), fs::perms::owner_read | fs::perms::owner_write);
        WriteTransaction arriving(target.connection());
        move = copyAndCompare(server, target.connection());
        arriving.commit();
        proveArrived(target, move);
        target.connection().settle();
    }
    syncFolderOf(file.making());
    markAsMoved(server, fs::absolute(to));
    // The server lets go before the file gets its name: at no moment do both count.
    try {
        nobody_writes.commit();
    } catch (const OutcomeUnknown&) {
        file.keep(); // the server may have let go
        throw OutcomeUnknown("the server of " + from.string() +
                             " did not say whether it let the shop go, and does not answer: when it is back, "
                             "'shimledger move " +
                             from.string() + " " + to.string() + "' finds out and ends it");
    }
    file.giveName();
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
