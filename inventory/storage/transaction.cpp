// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/transaction.h"

#include "inventory/inventory_error.h"

#include <stdexcept>

namespace shimledger::inventory {

WriteTransaction::WriteTransaction(ShopConnection& connection) : m_connection(connection) {
    if (connection.access() == Access::readOnly) {
        throw InputError("the shop file " + connection.path().string() +
                         " is open for reading only: nothing can be booked in it here");
    }
    if (connection.reading_state) {
        throw std::logic_error("a write was begun inside a read transaction");
    }
    if (connection.write_depth == 0) {
        connection.beginWriting();
    } else {
        // After a full disk or an I/O error the database has rolled the whole transaction back by itself;
        // going on would write outside of any.
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
    if (m_savepoint.empty()) {
        m_connection.rollBack();
    } else {
        m_connection.rollBackTo(m_savepoint);
    }
}

void WriteTransaction::commit() {
    if (!m_connection.inTransaction()) {
        throw ShopFileFault(
            "an earlier fault of the disk has ended this entry as a whole: nothing was changed");
    }
    if (m_savepoint.empty()) {
        m_connection.commit();
    } else {
        m_connection.execute("RELEASE " + m_savepoint);
    }
    m_open = false;
    --m_connection.write_depth;
}

ReadTransaction::ReadTransaction(ShopConnection& connection)
    : m_connection(connection), m_outermost(!connection.reading_state && connection.write_depth == 0) {
    if (!m_outermost) return;
    connection.beginReading();
    connection.reading_state = true;
}

ReadTransaction::~ReadTransaction() {
    if (!m_outermost) return;
    m_connection.reading_state = false;
    m_connection.of_state.clear();
    if (m_connection.inTransaction()) m_connection.rollBack();
}

} // namespace shimledger::inventory
