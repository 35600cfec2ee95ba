// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/storage/prepared_statement.h"

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace shimledger::inventory {

enum class Access { readWrite, readOnly };

/// One connection to a shop with its prepared statements and its place in a transaction: the door behind
/// which a driver stands (sqlite/ for a file, postgres/ for a database on a server). Statements are run
/// through Query, transactions through the guards of transaction.h. Drivers turn the errors of their library
/// into ours with a sentence for people: ShopFileFault for faults of file, disk, lock or server;
/// std::logic_error for what our own rules should have caught before.
class ShopConnection {
public:
    ShopConnection(std::filesystem::path path, Access access, WallClock clock)
        : m_path(std::move(path)), m_access(access), m_clock(std::move(clock)) {}
    virtual ~ShopConnection() = default;
    ShopConnection(const ShopConnection&) = delete;
    ShopConnection& operator=(const ShopConnection&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return m_path; } ///< or the server's address
    [[nodiscard]] Access access() const { return m_access; }
    [[nodiscard]] const WallClock& clock() const { return m_clock; }

    int write_depth = 0;        ///< kept by WriteTransaction
    bool reading_state = false; ///< kept by ReadTransaction
    /// What was read of its state at one go (whole_state.h); cleared by ReadTransaction.
    std::map<std::string, std::shared_ptr<void>> of_state;

    /// Lends a prepared statement; a second lending of the same text while the first is out makes another.
    [[nodiscard]] std::unique_ptr<PreparedStatement> borrow(std::string_view sql);
    void giveBack(std::string_view sql, std::unique_ptr<PreparedStatement> statement) noexcept;

    /// Runs SQL that returns no rows and takes no values (savepoints, schema).
    virtual void execute(const std::string& sql) = 0;

    [[nodiscard]] virtual bool inTransaction() const = 0; ///< a database ends one by itself after some faults
    /// Waits for this connection's turn to write, so that what it reads from here on cannot be overtaken.
    virtual void beginWriting() = 0;
    virtual void beginReading() = 0; ///< one unchanging state from here on
    virtual void commit() = 0;
    virtual void rollBack() noexcept = 0; ///< all, or `to` a savepoint, which goes too
    virtual void rollBackTo(const std::string& savepoint) noexcept = 0;

    // What the schema needs, see schema/.
    [[nodiscard]] virtual int schemaNumber() = 0;
    virtual void setSchemaNumber(int number) = 0;
    /// Runs one statement of a schema step.
    virtual void define(const std::string& statement) = 0;
    /// References that point nowhere: "a row of X names a row of Y that is not there"; at most `most`.
    [[nodiscard]] virtual std::vector<std::string> brokenReferences(std::size_t most) = 0;
    /// After a step: what it wrote is where programs that open the shop look first.
    virtual void settle() = 0;

protected:
    [[nodiscard]] virtual std::unique_ptr<PreparedStatement> prepare(std::string_view sql) = 0;
    /// Before the database closes: statements end before it.
    void dropStatements() noexcept { m_statements.clear(); }

private:
    struct TextHash {
        using is_transparent = void;
        std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
    };
    std::filesystem::path m_path;
    Access m_access;
    WallClock m_clock;
    std::unordered_map<std::string, std::unique_ptr<PreparedStatement>, TextHash, std::equal_to<>>
        m_statements;
};

} // namespace shimledger::inventory
