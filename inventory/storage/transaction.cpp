// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/transaction.h"

#include "inventory/inventory_error.h"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <stdexcept>

namespace shimledger::inventory {

namespace {

// Something else, or nothing, stands at the path by now: what is written would be lost with the last
// connection.
bool fileHasMoved(ShopConnection& connection) {
    int moved = 0;
    const int asked =
        sqlite3_file_control(connection.database().getHandle(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    return asked == SQLITE_OK && moved != 0;
}

} // namespace

WriteTransaction::WriteTransaction(ShopConnection& connection) : m_connection(connection) {
    if (connection.access() == Access::readOnly) {
        throw InputError("the shop file " + connection.path().string() +
                         " is open for reading only: nothing can be booked in it here");
    }
    if (connection.reading_state) {
        throw std::logic_error("a write was begun inside a read transaction");
    }
    if (connection.write_depth == 0) {
        if (fileHasMoved(connection)) {
            throw ShopFileFault("the shop file " + connection.path().string() +
                                " was moved or removed while it was open: nothing was changed, open it anew");
        }
        connection.execute("BEGIN IMMEDIATE");
    } else {
        // After a full disk or an I/O error SQLite has rolled the whole transaction back by itself; going on
        // would write outside of any.
        if (!connection.inTransaction()) {
            throw ShopFileFault(
                "an earlier fault of the disk has ended this entry as a whole: nothing was changed");
        }
        m_savepoint = "level_" + std::to_string(connection.write_depth);
        connection.execute("SAVEPOINT " + m_savepoint);
    }
    ++connection.write_depth;
}

WriteTransaction::~WriteTransaction() {
    if (!m_open) return;
    --m_connection.write_depth;
    if (!m_connection.inTransaction()) return;
    try {
        if (m_savepoint.empty()) {
            m_connection.database().exec("ROLLBACK");
        } else {
            m_connection.database().exec("ROLLBACK TO " + m_savepoint);
            m_connection.database().exec("RELEASE " + m_savepoint);
        }
    } catch (const SQLite::Exception&) {
        // The file is safe all the same: what is not committed does not exist for anybody else, and SQLite
        // drops it when the connection closes.
        return;
    }
}

void WriteTransaction::commit() {
    if (!m_connection.inTransaction()) {
        throw ShopFileFault(
            "an earlier fault of the disk has ended this entry as a whole: nothing was changed");
    }
    m_connection.execute(m_savepoint.empty() ? "COMMIT" : "RELEASE " + m_savepoint);
    m_open = false;
    --m_connection.write_depth;
}

ReadTransaction::ReadTransaction(ShopConnection& connection)
    : m_connection(connection), m_outermost(!connection.reading_state && connection.write_depth == 0) {
    if (!m_outermost) return;
    connection.execute("BEGIN");
    connection.reading_state = true;
}

ReadTransaction::~ReadTransaction() {
    if (!m_outermost) return;
    m_connection.reading_state = false;
    try {
        if (m_connection.inTransaction()) m_connection.database().exec("ROLLBACK");
    } catch (const SQLite::Exception&) {
        return; // nothing was written
    }
}

} // namespace shimledger::inventory
