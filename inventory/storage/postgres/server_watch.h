// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <mutex>
#include <string>
#include <thread>

namespace shimledger::inventory {

/// Listens on a connection of its own, in a thread of its own, to what a shop's server tells of changes
/// (LISTEN and NOTIFY). Where the connection breaks it is made anew as soon as the server is back.
class ServerWatch {
public:
    explicit ServerWatch(std::filesystem::path address);
    ~ServerWatch();
    ServerWatch(const ServerWatch&) = delete;
    ServerWatch& operator=(const ServerWatch&) = delete;

    /// How many have been told; one more after a break, in which some may have gone by. Throws ShopFileFault
    /// while there is no connection.
    [[nodiscard]] std::int64_t changes();

private:
    void listen();
    void listenOnce();
    void say(const std::string& trouble);

    std::filesystem::path m_address;
    std::atomic<bool> m_stop = false;
    std::atomic<std::int64_t> m_changes = 0;
    std::mutex m_mutex;
    std::string m_trouble; // empty: connected, or not tried yet
    std::thread m_thread;  // last: it uses the others
};

} // namespace shimledger::inventory
