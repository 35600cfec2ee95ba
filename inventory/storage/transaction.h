// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <string>

namespace shimledger::inventory {

/// Everything written until commit() stands or falls together; without commit() it is rolled back. The
/// outermost guard takes the shop's turn to write at once, so that what it reads cannot be overtaken; inner
/// guards are savepoints. Throws InputError when the file was opened for reading only.
class WriteTransaction {
public:
    explicit WriteTransaction(ShopConnection& connection);
    ~WriteTransaction();
    WriteTransaction(const WriteTransaction&) = delete;
    WriteTransaction& operator=(const WriteTransaction&) = delete;

    void commit();

private:
    ShopConnection& m_connection;
    std::string m_savepoint; // empty: the outermost
    bool m_open = true;
};

/// Keeps one state of the shop in view for several reads. Nothing to do inside another transaction.
class ReadTransaction {
public:
    explicit ReadTransaction(ShopConnection& connection);
    ~ReadTransaction();
    ReadTransaction(const ReadTransaction&) = delete;
    ReadTransaction& operator=(const ReadTransaction&) = delete;

private:
    ShopConnection& m_connection;
    bool m_outermost;
};

} // namespace shimledger::inventory
