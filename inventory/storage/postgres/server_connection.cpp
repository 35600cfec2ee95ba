// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_connection.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/postgres/server_fault.h"
#include "inventory/storage/postgres/server_session.h"
#include "inventory/storage/postgres/server_sql.h"
#include "inventory/storage/postgres/server_statement.h"

#include <pqxx/except>
#include <pqxx/nontransaction>
#include <pqxx/prepared_statement>

#include <chrono>
#include <random>
#include <thread>

namespace shimledger::inventory {

namespace {

constexpr int oldest_server = 150000; // as PostgreSQL counts its versions
// How long a lost answer to a COMMIT is sought, on a server that may be starting anew.
constexpr std::chrono::seconds longest_search{30};

constexpr pqxx::result::size_type largest_kept_answer = 300; // rows

std::string questionText(const std::string& sql, const ServerConnection::Values& values) {
    std::string text = sql;
    for (const auto& value : values) {
        text += '\0';
        text += value ? std::to_string(value->size()) + ":" + *value : "-";
    }
    return text;
}

std::string newToken() {
    std::random_device random;
    std::string token;
    for (int i = 0; i < 4; ++i) {
        constexpr std::string_view digits = "0123456789abcdef";
        std::uint32_t bits = random();
        for (int j = 0; j < 8; ++j, bits >>= 4U) token += digits[bits & 15U];
    }
    return token;
}

} // namespace

ServerConnection* asServer(ShopConnection& connection) {
    return dynamic_cast<ServerConnection*>(&connection);
}

std::string changeChannel(const std::string& schema) {
    return "shop_changed_" + schema.substr(0, 40);
}

ServerConnection::ServerConnection(std::filesystem::path address, Access access, WallClock clock)
    : ShopConnection(std::move(address), access, std::move(clock)), m_token(newToken()) {
    connect();
}

ServerConnection::~ServerConnection() {
    dropStatements();
    if (m_written == 0 || gone()) return;
    try {
        if (inTransaction()) rollBack();
        // Not worth waiting for while somebody else writes.
        if (!gone()) say("SET lock_timeout = '50ms'; DELETE FROM shop_turn WHERE token = '" + m_token + "'");
    } catch (const std::exception&) {
        return; // old rows are swept away by those who come later
    }
}

void ServerConnection::connect() {
    drop();
    m_session = std::make_unique<ServerSession>(path());
    try {
        if (m_session->database.server_version() < oldest_server) {
            throw InputError("the server of " + path().string() +
                             " is too old: a shop needs PostgreSQL 15 or newer");
        }
        // A bench whose computer has gone away without a word does not keep the others waiting for ever. All
        // at one go: each question more is a way to the server and back for whoever opens a page.
        const std::string look_only =
            access() == Access::readOnly ? "SET default_transaction_read_only = on; " : "";
        const pqxx::result place = say(
            look_only +
            "SET lock_timeout = '15s'; SET standard_conforming_strings = on; SET synchronous_commit = on; "
            "SET timezone = 'UTC'; SET statement_timeout = 0; SET tcp_keepalives_idle = 5; "
            "SET tcp_keepalives_interval = 5; SET tcp_keepalives_count = 3; SET tcp_user_timeout = 20000; "
            "SELECT (" +
            schema_of_shop +
            "), pg_encoding_to_char(encoding), to_regclass('shop_schema') IS NOT NULL FROM pg_database WHERE "
            "datname = current_database()");
        if (place[0][0].is_null()) {
            throw InputError("the address " + path().string() +
                             " names a schema that is not there, or that this user may not use");
        }
        m_schema = place[0][0].c_str();
        m_has_tables = std::string_view(place[0][2].c_str()) == "t";
        if (std::string_view(place[0][1].c_str()) != "UTF8") {
            throw InputError("the database of " + path().string() + " keeps its texts as " +
                             place[0][1].c_str() + ": a shop needs one in UTF8");
        }
    } catch (...) {
        drop();
        throw;
    }
}

bool ServerConnection::gone() const noexcept {
    return m_session == nullptr || !m_session->database.is_open();
}

void ServerConnection::drop() noexcept {
    m_names.clear();
    m_answers.clear();
    m_session.reset();
    m_place = Place::outside; // the server rolls back what it began
}

ServerSession& ServerConnection::live() {
    if (m_session == nullptr) connect();
    return *m_session;
}

void ServerConnection::throwFault() {
    const bool lost = gone();
    if (lost) drop();
    throwServerFault(path(), lost);
}

pqxx::result ServerConnection::say(const std::string& sql) {
    try {
        pqxx::nontransaction work(live().database);
        return work.exec(sql);
    } catch (const ShopFileFault&) {
        throw;
    } catch (const InputError&) {
        throw;
    } catch (const std::exception&) {
        throwFault();
    }
}

pqxx::result ServerConnection::run(const std::string& sql, const Values& values, bool again) {
    checkNotBroken();
    const bool alone = !inTransaction();
    // The same question within one state has the same answer.
    std::optional<std::string> kept;
    if (again && m_place == Place::reading) {
        kept = questionText(sql, values);
        const auto found = m_answers.find(*kept);
        if (found != m_answers.end()) return found->second;
    }
    std::vector<const char*> texts;
    texts.reserve(values.size());
    for (const auto& value : values) texts.push_back(value ? value->c_str() : nullptr);
    for (bool second = false;; second = true) {
        try {
            pqxx::connection& database = live().database;
            auto [name, is_new] = m_names.try_emplace(sql);
            if (is_new) {
                name->second = "s" + std::to_string(m_names.size());
                database.prepare(name->second, sql);
            }
            pqxx::nontransaction work(database);
            pqxx::result answer = work.exec_prepared(name->second, pqxx::prepare::make_dynamic_params(texts));
            if (kept && answer.size() <= largest_kept_answer) m_answers.emplace(*kept, answer);
            return answer;
        } catch (const ShopFileFault&) {
            throw;
        } catch (const InputError&) {
            throw;
        } catch (const std::exception&) {
            if (!(alone && again && !second && gone())) throwFault();
            drop(); // and once more, on a new connection
        }
    }
}

std::unique_ptr<PreparedStatement> ServerConnection::prepare(std::string_view sql) {
    return std::make_unique<ServerStatement>(*this, sql);
}

void ServerConnection::allowSilence() {
    say("SET LOCAL idle_in_transaction_session_timeout = '2h'");
}

void ServerConnection::closeCursor(const std::string& cursor) noexcept {
    if (!inTransaction() || gone()) return; // it went with its transaction
    try {
        say("CLOSE " + cursor);
    } catch (const std::exception&) {
        return; // in a transaction that has failed there is none any more
    }
}

void ServerConnection::checkNotBroken() const {
    if ((write_depth == 0 && !reading_state) || inTransaction()) return;
    throw ShopFileFault("the connection to the shop " + path().string() +
                        " broke in the middle of an entry: nothing was changed, do it once more");
}

void ServerConnection::execute(const std::string& sql) {
    checkNotBroken();
    if (sql.rfind("CREATE TEMP TABLE", 0) == 0) {
        define(sql);
    } else {
        say(sql);
    }
}

void ServerConnection::define(const std::string& statement) {
    checkNotBroken();
    for (const std::string& sql : definitionForServer(statement)) say(sql);
}

pqxx::result ServerConnection::begin(const std::string& sql, Place place) {
    for (bool second = false;; second = true) {
        const bool is_fresh = m_session == nullptr;
        try {
            pqxx::nontransaction work(live().database);
            pqxx::result answer = work.exec(sql);
            m_place = place;
            return answer;
        } catch (const ShopFileFault&) {
            throw;
        } catch (const InputError&) {
            throw;
        } catch (const std::exception&) {
            // A connection that broke while nobody looked: nothing has been begun yet.
            if (gone() && !second && !is_fresh) {
                drop();
                continue;
            }
            if (!gone()) m_place = place; // begun, and then refused its turn
            const auto refused = std::current_exception();
            if (!gone()) rollBack();
            try {
                std::rethrow_exception(refused);
            } catch (const std::exception&) {
                throwFault();
            }
        }
    }
}

void ServerConnection::beginWriting() {
    const pqxx::result state = begin(
        "BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE; "
        "SET LOCAL idle_in_transaction_session_timeout = '120s'; LOCK TABLE shop_turn IN SHARE ROW EXCLUSIVE "
        "MODE; SELECT max(number), (SELECT max(place) FROM shop_moved) FROM shop_schema",
        Place::writing);
    if (!state[0][1].is_null()) {
        const std::string place = state[0][1].c_str();
        rollBack();
        throw InputError("the shop at " + path().string() + " has moved to " + place + ": open it there");
    }
    const int number = state[0][0].is_null() ? 0 : state[0][0].as<int>();
    if (m_schema_number == 0) m_schema_number = number;
    if (number != m_schema_number) {
        rollBack();
        throw InputError("the shop at " + path().string() + " was brought to schema " +
                         std::to_string(number) +
                         " while it was open here: open it anew, with the newer version of this program");
    }
}

void ServerConnection::beginReading() {
    begin("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY", Place::reading);
}

void ServerConnection::commit() {
    if (m_place != Place::writing) throw std::logic_error("a commit where nothing is written");
    const std::string number = std::to_string(m_written + 1);
    // All at one go. A transaction that the server has given up already fails at the first of them, so that
    // its COMMIT is no silent ROLLBACK.
    const std::string sweep =
        m_written == 0 ? "DELETE FROM shop_turn WHERE at < now() - interval '30 days'; " : "";
    const std::string sql = sweep + "INSERT INTO shop_turn (token, written, at) VALUES ('" + m_token + "', " +
                            number + ", now()) ON CONFLICT (token) DO UPDATE SET written = " + number +
                            ", at = now(); NOTIFY " + live().database.quote_name(changeChannel(m_schema)) +
                            "; COMMIT";
    try {
        pqxx::nontransaction work(live().database);
        work.exec(sql);
    } catch (const std::exception&) {
        if (!gone()) {
            m_place = Place::writing;
            throwFault(); // the server said no; the guard rolls back
        }
        drop();
        const std::optional<bool> booked = wasBooked(number);
        if (!booked) throwOutcomeUnknown(path());
        if (!*booked) {
            throw ShopFileFault(
                "the connection to the shop " + path().string() +
                " broke while the entry was being booked: nothing was changed, do it once more");
        }
    }
    ++m_written;
    m_place = Place::outside;
}

std::optional<bool> ServerConnection::wasBooked(const std::string& number) {
    const auto end = std::chrono::steady_clock::now() + longest_search;
    do {
        try {
            // Who holds the turn knows that the lost transaction has ended, in one way or the other.
            pqxx::nontransaction work(live().database);
            work.exec("BEGIN; LOCK TABLE shop_turn IN SHARE ROW EXCLUSIVE MODE");
            const pqxx::result found =
                work.exec("SELECT 1 FROM shop_turn WHERE token = '" + m_token + "' AND written = " + number);
            work.exec("COMMIT");
            return !found.empty();
        } catch (const std::exception&) {
            drop();
            std::this_thread::sleep_for(std::chrono::milliseconds(200));
        }
    } while (std::chrono::steady_clock::now() < end);
    return std::nullopt;
}

void ServerConnection::rollBack() noexcept {
    m_place = Place::outside;
    m_answers.clear();
    try {
        if (gone()) {
            drop();
            return;
        }
        pqxx::nontransaction work(m_session->database);
        work.exec("ROLLBACK");
    } catch (const std::exception&) {
        drop(); // with its connection the transaction ends
    }
}

void ServerConnection::rollBackTo(const std::string& savepoint) noexcept {
    try {
        if (gone()) {
            drop();
            return;
        }
        pqxx::nontransaction work(m_session->database);
        work.exec("ROLLBACK TO " + savepoint + "; RELEASE " + savepoint);
    } catch (const std::exception&) {
        drop();
    }
}

int ServerConnection::schemaNumber() {
    return state().number;
}

ServerConnection::State ServerConnection::state() {
    static_cast<void>(live());
    if (!m_has_tables) m_has_tables = !say("SELECT to_regclass('shop_schema')")[0][0].is_null();
    if (!m_has_tables) return {};
    const pqxx::result found =
        say("SELECT max(number), (SELECT max(place) FROM shop_moved) FROM shop_schema");
    State state;
    if (!found[0][0].is_null()) state.number = found[0][0].as<int>();
    if (!found[0][1].is_null()) state.moved_to = found[0][1].c_str();
    if (m_schema_number == 0) m_schema_number = state.number;
    return state;
}

void ServerConnection::setSchemaNumber(int number) {
    m_schema_number = number;
    say("INSERT INTO shop_schema (number) VALUES (" + std::to_string(number) + ")");
}

} // namespace shimledger::inventory
