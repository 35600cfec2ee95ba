// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <pqxx/result>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace shimledger::inventory {

struct ServerSession;

/// A shop in a PostgreSQL database. What is committed is on the server's disk, and is known to everybody who
/// listens (server_watch.h).
///
/// Writing: all who write take turns (a lock on the table shop_turn), so that numbers have no gaps and nobody
/// promises what another has just promised; nothing has to be tried twice for that. Reading: REPEATABLE READ.
///
/// A connection that breaks: outside of a transaction it is made anew and the work goes on. Inside of one the
/// work ends with a ShopFileFault, and nothing was changed. Where the answer to a COMMIT was lost, the
/// outcome is found out: every transaction leaves its number in the row that this connection has in
/// shop_turn, and whoever holds the turn sees whether it is there. Nothing is sent a second time.
class ServerConnection final : public ShopConnection {
public:
    /// Connects; throws ShopFileFault where the server does not answer or does not let this user in.
    ServerConnection(std::filesystem::path address, Access access, WallClock clock);
    ~ServerConnection() override;
    ServerConnection(const ServerConnection&) = delete;
    ServerConnection& operator=(const ServerConnection&) = delete;

    void execute(const std::string& sql) override;
    [[nodiscard]] bool inTransaction() const override { return m_place != Place::outside; }
    void beginWriting() override;
    void beginReading() override;
    void commit() override;
    void rollBack() noexcept override;
    void rollBackTo(const std::string& savepoint) noexcept override;

    [[nodiscard]] int schemaNumber() override; ///< 0 where no shop is
    void setSchemaNumber(int number) override;
    void define(const std::string& statement) override;
    [[nodiscard]] std::vector<std::string> brokenReferences(std::size_t) override {
        return {};
    } // it has none
    void settle() override {}

    using Values = std::vector<std::optional<std::string>>;
    /// Runs a statement in the server's own SQL, prepared at its first run. `again`: it only reads, and may
    /// be run once more on a new connection where no transaction ends with the old one.
    [[nodiscard]] pqxx::result run(const std::string& sql, const Values& values, bool again);
    /// Plain text, also several statements; the answer to the last.
    pqxx::result say(const std::string& sql);

    struct State {
        int number = 0;                      ///< of the schema; 0 where no shop is
        std::optional<std::string> moved_to; ///< where the shop that was here has gone
    };
    [[nodiscard]] State state();

    /// In the write transaction that is going on: the other side of a large shop may take minutes in which
    /// the server hears nothing of us.
    void allowSilence();

    /// Of a statement that is read in parts; ends with its transaction at the latest.
    [[nodiscard]] std::string newCursor() { return "part_" + std::to_string(++m_cursors); }
    void closeCursor(const std::string& cursor) noexcept;

    /// "schema" where the tables of this shop are.
    [[nodiscard]] const std::string& schema() const { return m_schema; }

private:
    enum class Place { outside, reading, writing };

    [[nodiscard]] std::unique_ptr<PreparedStatement> prepare(std::string_view sql) override;
    void connect();
    [[nodiscard]] ServerSession& live();
    /// Says what is in flight in words for people; a connection that is gone is dropped first.
    [[noreturn]] void throwFault();
    [[nodiscard]] bool gone() const noexcept;
    void checkNotBroken() const; ///< a transaction that was begun must still be there
    void drop() noexcept;
    pqxx::result begin(const std::string& sql, Place place);
    /// Whether the transaction that ended without an answer is there; none where the server does not say.
    [[nodiscard]] std::optional<bool> wasBooked(const std::string& number);

    std::unique_ptr<ServerSession> m_session;
    std::unordered_map<std::string, std::string> m_names;    // of what is prepared, in this session
    std::unordered_map<std::string, pqxx::result> m_answers; // in the state that is being read
    std::string m_schema;
    std::string m_token;        // this connection's own, in the table shop_turn
    std::int64_t m_written = 0; // transactions, in that row
    bool m_has_tables = false;  // seen; else it is looked again
    std::int64_t m_cursors = 0; // ever opened
    int m_schema_number = 0;    // as it was first seen, or made by us; 0: never looked
    Place m_place = Place::outside;
};

/// Null of a file.
[[nodiscard]] ServerConnection* asServer(ShopConnection& connection);

/// Where the shop is that this user's search path comes to; where none is, where one would be made.
inline constexpr const char* schema_of_shop =
    "SELECT coalesce((SELECT relnamespace::regnamespace::text FROM pg_class WHERE oid = "
    "to_regclass('shop_schema')), current_schema())";

/// The name under which PostgreSQL tells that a shop of this schema has changed.
[[nodiscard]] std::string changeChannel(const std::string& schema);

} // namespace shimledger::inventory
