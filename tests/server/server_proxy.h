// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <deque>
#include <list>
#include <stdexcept>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace shimledger {

/// A line between programs and the server of the tests (PGHOST, a folder with its socket): as slow as is
/// said, and cut when that is asked for. It counts round trips: how often something goes to the server after
/// something has come from it.
class ServerProxy {
public:
    explicit ServerProxy(std::chrono::microseconds one_way = {}) : m_one_way(one_way) {
        const char* host = std::getenv("PGHOST");
        if (host == nullptr) throw std::runtime_error("run it inside of tests/server/throw-away-server");
        m_server = std::string(host) + "/.s.PGSQL.5432";
        m_listening = ::socket(AF_INET, SOCK_STREAM, 0);
        sockaddr_in place{};
        place.sin_family = AF_INET;
        place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof place;
        if (::bind(m_listening, reinterpret_cast<sockaddr*>(&place), size) != 0 ||
            ::listen(m_listening, 64) != 0 ||
            ::getsockname(m_listening, reinterpret_cast<sockaddr*>(&place), &size) != 0)
            throw std::runtime_error("no port for the proxy");
        m_port = ntohs(place.sin_port);
        m_thread = std::thread([this] { serve(); });
    }
    ~ServerProxy() {
        m_stop = true;
        m_thread.join();
        ::close(m_listening);
    }
    ServerProxy(const ServerProxy&) = delete;
    ServerProxy& operator=(const ServerProxy&) = delete;

    /// The same shop, seen through this line. `address` is one of the tests: postgresql:///database[?...].
    [[nodiscard]] std::string through(const std::string& address) const {
        const std::size_t slash = address.find('/', address.find("://") + 3);
        const bool has_options = address.find('?') != std::string::npos;
        return "postgresql://localhost:" + std::to_string(m_port) + address.substr(slash) +
               (has_options ? "&" : "?") + "sslmode=disable&gssencmode=disable&connect_timeout=2";
    }
    /// Cuts what is connected; until setDown(false) whoever connects is cut at once.
    void setDown(bool down) { m_down = down; }
    void setDelay(std::chrono::microseconds one_way) { m_one_way = one_way; }
    [[nodiscard]] std::int64_t roundTrips() const { return m_round_trips; }

private:
    using Clock = std::chrono::steady_clock;
    struct Way { // bytes on their way, with when they arrive
        std::deque<std::pair<Clock::time_point, std::string>> waiting;
    };
    struct Pair {
        int bench = -1;
        int server = -1;
        Way there, back;
        bool answered = true; ///< the server had the last word
    };

    void take() {
        Pair pair;
        pair.bench = ::accept(m_listening, nullptr, nullptr);
        if (pair.bench < 0) return;
        pair.server = m_down ? -1 : ::socket(AF_UNIX, SOCK_STREAM, 0);
        sockaddr_un place{};
        place.sun_family = AF_UNIX;
        std::strncpy(place.sun_path, m_server.c_str(), sizeof place.sun_path - 1);
        if (m_down || ::connect(pair.server, reinterpret_cast<sockaddr*>(&place), sizeof place) != 0) {
            ::close(pair.bench);
            if (pair.server >= 0) ::close(pair.server);
            return;
        }
        const int on = 1;
        ::setsockopt(pair.bench, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
        m_pairs.push_back(std::move(pair));
    }

    bool read(int from, Way& way) const {
        char bytes[65536];
        const ssize_t count = ::recv(from, bytes, sizeof bytes, 0);
        if (count <= 0) return false;
        way.waiting.emplace_back(Clock::now() + m_one_way.load(),
                                 std::string(bytes, static_cast<std::size_t>(count)));
        return true;
    }

    static bool handOn(Way& way, int to) {
        while (!way.waiting.empty() && way.waiting.front().first <= Clock::now()) {
            const std::string& bytes = way.waiting.front().second;
            for (std::size_t sent = 0; sent < bytes.size();) {
                const ssize_t count = ::send(to, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
                if (count <= 0) return false;
                sent += static_cast<std::size_t>(count);
            }
            way.waiting.pop_front();
        }
        return true;
    }

    [[nodiscard]] timespec untilNext() const {
        auto wait = std::chrono::nanoseconds(std::chrono::milliseconds(5));
        for (const Pair& pair : m_pairs) {
            for (const Way* way : {&pair.there, &pair.back}) {
                if (!way->waiting.empty())
                    wait =
                        std::min<std::chrono::nanoseconds>(wait, way->waiting.front().first - Clock::now());
            }
        }
        return {0, std::max<long>(wait.count(), 0)};
    }

    void serve() {
        while (!m_stop) {
            std::vector<pollfd> waiting{{m_listening, POLLIN, 0}};
            for (const Pair& pair : m_pairs) {
                waiting.push_back({pair.bench, POLLIN, 0});
                waiting.push_back({pair.server, POLLIN, 0});
            }
            const timespec wait = untilNext();
            ::ppoll(waiting.data(), waiting.size(), &wait, nullptr);
            std::size_t i = 1;
            for (auto pair = m_pairs.begin(); pair != m_pairs.end(); i += 2) {
                bool alive = !m_down;
                if (alive && waiting[i].revents != 0) {
                    alive = read(pair->bench, pair->there);
                    if (alive && pair->answered) ++m_round_trips;
                    pair->answered = false;
                }
                if (alive && waiting[i + 1].revents != 0) {
                    alive = read(pair->server, pair->back);
                    pair->answered = true;
                }
                alive = alive && handOn(pair->there, pair->server) && handOn(pair->back, pair->bench);
                if (alive) {
                    ++pair;
                    continue;
                }
                ::close(pair->bench);
                ::close(pair->server);
                pair = m_pairs.erase(pair);
            }
            if (waiting[0].revents != 0) take();
        }
        for (const Pair& pair : m_pairs) {
            ::close(pair.bench);
            ::close(pair.server);
        }
    }

    std::string m_server;
    std::atomic<std::chrono::microseconds> m_one_way;
    int m_listening = -1;
    int m_port = 0;
    std::list<Pair> m_pairs; // of the thread
    std::atomic<bool> m_stop = false;
    std::atomic<bool> m_down = false;
    std::atomic<std::int64_t> m_round_trips = 0;
    std::thread m_thread;
};

} // namespace shimledger
