// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/shop_connection.h"

namespace shimledger::inventory {

std::unique_ptr<PreparedStatement> ShopConnection::borrow(std::string_view sql) {
    const auto found = m_statements.find(sql);
    if (found != m_statements.end() && found->second) return std::move(found->second);
    return prepare(sql);
}

void ShopConnection::giveBack(std::string_view sql, std::unique_ptr<PreparedStatement> statement) noexcept {
    try {
        statement->reset();
        const auto found = m_statements.find(sql);
        if (found != m_statements.end()) {
            found->second = std::move(statement);
        } else {
            m_statements.emplace(std::string(sql), std::move(statement));
        }
    } catch (...) {
        statement.reset(); // out of memory: the next borrower prepares it anew
    }
}

} // namespace shimledger::inventory
