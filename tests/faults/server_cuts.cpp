// SPDX-License-Identifier: GPL-3.0-or-later
// server_cuts STRIDE: an entry is booked through a proxy that cuts the connection after so many bytes, in
// either direction, for every STRIDE-th number of bytes. What the bench is told must be so. Runs inside of
// tests/server/throw-away-server.
#include "server_work.h"

#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <thread>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

/// Hands bytes on between one who asks on a port of this computer and the server's socket. The first
/// connection is cut once so many bytes have gone to the server, or come from it; those after it live.
class Proxy {
public:
    Proxy(std::string server, std::int64_t to_server, std::int64_t from_server)
        : m_server(std::move(server)), m_to_server(to_server), m_from_server(from_server) {
        m_listening = ::socket(AF_INET, SOCK_STREAM, 0);
        sockaddr_in place{};
        place.sin_family = AF_INET;
        place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof place;
        if (::bind(m_listening, reinterpret_cast<sockaddr*>(&place), size) != 0 ||
            ::listen(m_listening, 8) != 0 ||
            ::getsockname(m_listening, reinterpret_cast<sockaddr*>(&place), &size) != 0)
            throw std::runtime_error("no port for the proxy");
        m_port = ntohs(place.sin_port);
        m_thread = std::thread([this] { serve(); });
    }
    ~Proxy() {
        m_stop = true;
        m_thread.join();
        ::close(m_listening);
    }
    Proxy(const Proxy&) = delete;
    Proxy& operator=(const Proxy&) = delete;

    [[nodiscard]] int port() const { return m_port; }
    /// Of the first connection, while nothing was cut.
    [[nodiscard]] std::int64_t sent() const { return m_sent; }
    [[nodiscard]] std::int64_t received() const { return m_received; }

private:
    struct Pair {
        int bench, server;
        bool first;
    };

    void serve() {
        std::vector<Pair> pairs;
        bool first = true;
        while (!m_stop) {
            std::vector<pollfd> waiting{{m_listening, POLLIN, 0}};
            for (const Pair& pair : pairs) {
                waiting.push_back({pair.bench, POLLIN, 0});
                waiting.push_back({pair.server, POLLIN, 0});
            }
            if (::poll(waiting.data(), waiting.size(), 20) <= 0) continue;
            for (std::size_t i = pairs.size(); i-- > 0;) {
                if (waiting[1 + 2 * i].revents == 0 && waiting[2 + 2 * i].revents == 0) continue;
                const bool alive = (waiting[1 + 2 * i].revents == 0 || handOn(pairs[i], true)) &&
                                   (waiting[2 + 2 * i].revents == 0 || handOn(pairs[i], false));
                if (alive) continue;
                ::close(pairs[i].bench);
                ::close(pairs[i].server);
                pairs.erase(pairs.begin() + static_cast<std::ptrdiff_t>(i));
            }
            if (waiting[0].revents != 0) {
                const int bench = ::accept(m_listening, nullptr, nullptr);
                const int server = ::socket(AF_UNIX, SOCK_STREAM, 0);
                sockaddr_un place{};
                place.sun_family = AF_UNIX;
                std::strncpy(place.sun_path, m_server.c_str(), sizeof place.sun_path - 1);
                if (::connect(server, reinterpret_cast<sockaddr*>(&place), sizeof place) != 0)
                    throw std::runtime_error("the proxy does not reach the server");
                pairs.push_back({bench, server, first});
                first = false;
            }
        }
        for (const Pair& pair : pairs) {
            ::close(pair.bench);
            ::close(pair.server);
        }
    }

    bool handOn(const Pair& pair, bool to_server) {
        char bytes[4096];
        const ssize_t count = ::recv(to_server ? pair.bench : pair.server, bytes, sizeof bytes, 0);
        if (count <= 0) return false;
        std::atomic<std::int64_t>& passed = to_server ? m_sent : m_received;
        const std::int64_t limit = to_server ? m_to_server : m_from_server;
        ssize_t on = count;
        if (pair.first && limit >= 0) on = std::min<ssize_t>(count, static_cast<ssize_t>(limit - passed));
        if (on > 0)
            ::send(to_server ? pair.server : pair.bench, bytes, static_cast<std::size_t>(on), MSG_NOSIGNAL);
        if (pair.first) passed += on;
        return on == count;
    }

    std::string m_server;
    std::int64_t m_to_server, m_from_server; // -1: never
    int m_listening = -1;
    int m_port = 0;
    std::atomic<bool> m_stop = false;
    std::atomic<std::int64_t> m_sent = 0, m_received = 0;
    std::thread m_thread;
};

std::string throughProxy(const Proxy& proxy, const std::string& address) {
    return "postgresql://localhost:" + std::to_string(proxy.port()) + "/shop" +
           address.substr(address.find('?')) + "&sslmode=disable&gssencmode=disable";
}

} // namespace

int main(int count, char** arguments) {
    std::signal(SIGPIPE, SIG_IGN);
    const std::int64_t stride = count > 1 ? std::atoll(arguments[1]) : 97;
    const TemporaryFolder folder;
    const std::string address = folder.shop("shop").string();
    const char* host = std::getenv("PGHOST");
    if (!isServerAddress(address) || host == nullptr || stride < 1) {
        std::fprintf(stderr, "run it inside of tests/server/throw-away-server\n");
        return 2;
    }
    const std::string socket = std::string(host) + "/.s.PGSQL.5432";
    ShopFile shop = ShopFile::create(address);
    fillSmallShop(shop);
    StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 100'000),
                            movement(MovementKind::receipt, "S24-15", "A1", 100'000)});
    std::int64_t all_sent = 0;
    std::int64_t all_received = 0;
    std::map<std::string, Told> told;
    std::map<Told, int> tally;
    const auto bookOne = [&](const std::string& name, std::int64_t to_server, std::int64_t from_server) {
        Proxy proxy(socket, to_server, from_server);
        {
            ServerBench bench(throughProxy(proxy, address), name, 5);
            bench.step();
            for (const auto& [reason, outcome] : bench.told()) {
                told[reason] = outcome;
                ++tally[outcome];
            }
        }
        all_sent = std::max<std::int64_t>(all_sent, proxy.sent());
        all_received = std::max<std::int64_t>(all_received, proxy.received());
    };
    bookOne("whole", -1, -1);
    if (told.begin()->second != Told::booked) {
        std::printf("the proxy hands nothing on\n");
        return 1;
    }
    const std::int64_t sent = all_sent;
    const std::int64_t received = all_received;
    for (std::int64_t bytes = 0; bytes < sent; bytes += stride)
        bookOne("to" + std::to_string(bytes), bytes, -1);
    for (std::int64_t bytes = 0; bytes < received; bytes += stride)
        bookOne("from" + std::to_string(bytes), -1, bytes);
    const std::vector<std::string> wrong = whatWasToldWrongly(shop, told);
    for (std::size_t i = 0; i < wrong.size() && i < 20; ++i) std::printf("WRONG: %s\n", wrong[i].c_str());
    std::printf(
        "cut at every %lldth of %lld bytes there and %lld back: %d entries acknowledged, %d called not "
        "booked, %d of unknown outcome; %s\n",
        static_cast<long long>(stride), static_cast<long long>(sent), static_cast<long long>(received),
        tally[Told::booked], tally[Told::notBooked], tally[Told::unknown],
        wrong.empty() ? "all as was told" : "NOT as was told");
    return wrong.empty() && tally[Told::booked] > 1 && tally[Told::unknown] == 0 ? 0 : 1;
}
