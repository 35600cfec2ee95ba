// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_watch.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/postgres/server_connection.h"
#include "inventory/storage/postgres/server_session.h"

#include <pqxx/nontransaction>
#include <pqxx/notification>

#include <chrono>

namespace shimledger::inventory {

namespace {

class Receiver : public pqxx::notification_receiver {
public:
    Receiver(pqxx::connection_base& connection, const std::string& channel,
             std::atomic<std::int64_t>& changes)
        : pqxx::notification_receiver(connection, channel), m_changes(changes) {}
    void operator()(const std::string& /*payload*/, int /*process*/) override { ++m_changes; }

private:
    std::atomic<std::int64_t>& m_changes;
};

} // namespace

ServerWatch::ServerWatch(std::filesystem::path address)
    : m_address(std::move(address)), m_thread([this] { listen(); }) {}

ServerWatch::~ServerWatch() {
    m_stop = true;
    m_thread.join();
}

std::int64_t ServerWatch::changes() {
    const std::lock_guard lock(m_mutex);
    if (!m_trouble.empty()) throw ShopFileFault(m_trouble);
    return m_changes;
}

void ServerWatch::say(const std::string& trouble) {
    const std::lock_guard lock(m_mutex);
    m_trouble = trouble;
}

void ServerWatch::listenOnce() {
    ServerSession session(m_address);
    pqxx::connection& database = session.database;
    std::string schema;
    {
        pqxx::nontransaction work(database);
        schema = work.exec(schema_of_shop)[0][0].c_str();
    }
    const Receiver receiver(database, changeChannel(schema), m_changes);
    // What was written before we listened was told to nobody.
    ++m_changes;
    say("");
    while (!m_stop) database.await_notification(0, 200'000);
}

void ServerWatch::listen() {
    while (!m_stop) {
        try {
            listenOnce();
        } catch (const ShopFileFault& fault) {
            say(fault.what());
        } catch (const std::exception&) {
            say("the server of the shop " + m_address.string() +
                " does not answer any more: what others do is shown again when it is back");
        }
        for (int i = 0; i < 5 && !m_stop; ++i) std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
}

} // namespace shimledger::inventory
