// SPDX-License-Identifier: GPL-3.0-or-later
// server_moves STRIDE [LAST]: a shop moves from a file to a server, and one from a server to a file, in a
// process that is killed (-9) at one of the calls by which it changes anything outside of itself: before or
// just after it sends something to the server, renames, links, unlinks or syncs a file. Every STRIDE-th of
// them is tried, and each of the LAST ones (24). Afterwards never both shops count; where none does, its old
// address says so; and the same move, asked for again, ends it. Runs inside of
// tests/server/throw-away-server.
#include "inventory/shop_address.h"
#include "inventory/shop_move.h"
#include "inventory/shop_server.h"
#include "inventory/stock_verify.h"
#include "server_work.h"

#include <dlfcn.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <set>
#include <string>
#include <string_view>
#include <vector>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

// What libraries and program call comes by here, as a program's own symbols go before those of libraries.
struct Deaths {
    bool watching = false;
    long calls = 0;
    long at = -1; ///< the call that is the last one
    bool after = false;
    char name[16] = "";
    bool sends[4096] = {}; ///< which calls do, where nobody dies
};
Deaths* deaths = nullptr; // shared with the process that dies

template <class Call>
auto mayDie(const char* name, const Call& call) {
    const bool watching = deaths != nullptr && deaths->watching;
    if (watching && deaths->calls < 4096) deaths->sends[deaths->calls] = std::string_view(name) == "send";
    const bool last = watching && deaths->calls++ == deaths->at;
    if (last) std::snprintf(deaths->name, sizeof deaths->name, "%s", name);
    if (last && !deaths->after) std::raise(SIGKILL);
    const auto result = call();
    if (last) std::raise(SIGKILL);
    return result;
}

template <class Function>
Function* real(const char* name) {
    return reinterpret_cast<Function*>(::dlsym(RTLD_NEXT, name));
}

} // namespace

extern "C" {
int rename(const char* from, const char* to) noexcept {
    static auto* const call = real<int(const char*, const char*)>("rename");
    return mayDie("rename", [&] { return call(from, to); });
}
int renameat2(int a, const char* from, int b, const char* to, unsigned flags) noexcept {
    static auto* const call = real<int(int, const char*, int, const char*, unsigned)>("renameat2");
    return mayDie("renameat2", [&] { return call(a, from, b, to, flags); });
}
int link(const char* from, const char* to) noexcept {
    static auto* const call = real<int(const char*, const char*)>("link");
    return mayDie("link", [&] { return call(from, to); });
}
int unlink(const char* path) noexcept {
    static auto* const call = real<int(const char*)>("unlink");
    return mayDie("unlink", [&] { return call(path); });
}
int remove(const char* path) noexcept {
    static auto* const call = real<int(const char*)>("remove");
    return mayDie("remove", [&] { return call(path); });
}
int fsync(int file) {
    static auto* const call = real<int(int)>("fsync");
    return mayDie("fsync", [&] { return call(file); });
}
int fdatasync(int file) {
    static auto* const call = real<int(int)>("fdatasync");
    return mayDie("fdatasync", [&] { return call(file); });
}
ssize_t send(int socket, const void* bytes, size_t count, int flags) {
    static auto* const call = real<ssize_t(int, const void*, size_t, int)>("send");
    return mayDie("send", [&] { return call(socket, bytes, count, flags); });
}
}

namespace {

std::string answerOf(const std::string& address, const std::string& sql) {
    std::FILE* answer = ::popen(("psql -X -qAt -d '" + address + "' -c '" + sql + "'").c_str(), "r");
    if (answer == nullptr) throw std::runtime_error("no psql");
    std::string text;
    char bytes[256];
    while (std::fgets(bytes, sizeof bytes, answer) != nullptr) text += bytes;
    ::pclose(answer);
    text.erase(std::remove(text.begin(), text.end(), '\n'), text.end());
    return text;
}

struct Originals {
    TestServer server;
    TemporaryFolder folder;
    std::string empty = server.freshDatabase();
    std::string full = server.freshDatabase();
    std::int64_t movements = 0;

    Originals() {
        prepareServer(empty);
        prepareServer(full);
        {
            ShopFile shop = ShopFile::create(folder / "shop.db");
            fillSmallShop(shop);
            StockLedger ledger(shop);
            ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 20),
                         movement(MovementKind::receipt, "S24-15", "A2", 9)});
            ledger.post({movement(MovementKind::reserve, "S24-10", "A1", 4, "J1")});
            movements = ledger.revision();
        }
        std::filesystem::copy_file(folder / "shop.db", folder / "goes.db");
        static_cast<void>(moveShop(folder / "goes.db", full));
    }
};

/// One move in a process that dies at that call (-1: it lives). What is wrong afterwards.
class Move {
public:
    Move(Originals& originals, bool to_server) : m_originals(originals), m_to_server(to_server) {
        m_address = m_server.freshDatabase(to_server ? originals.empty : originals.full);
        m_file = m_folder / "shop.db";
        if (to_server) std::filesystem::copy_file(originals.folder / "shop.db", m_file);
    }

    long run(long at, bool after) {
        *deaths = Deaths{};
        deaths->at = at;
        deaths->after = after;
        std::fflush(stdout); // else the child writes it once more
        const pid_t child = ::fork();
        if (child == 0) {
            deaths->watching = true;
            int code = 0;
            try {
                static_cast<void>(moveShop(from(), to()));
            } catch (const std::exception& error) {
                std::printf("%s\n", error.what());
                code = 1;
            }
            deaths->watching = false;
            std::fflush(stdout);
            ::_exit(code);
        }
        int status = 0;
        ::waitpid(child, &status, 0);
        m_died = WIFSIGNALED(status);
        if (!m_died && WEXITSTATUS(status) != 0) m_wrong.emplace_back("the move that was not killed failed");
        return deaths->calls;
    }

    std::vector<std::string> wrong() {
        look("after its death");
        if (m_file_counts && m_server_counts) m_wrong.emplace_back("both count");
        if (!m_file_counts && !m_server_counts) {
            ++none_counted;
            const std::string sentence = openingOf(m_file);
            if (sentence.find("broken off") == std::string::npos)
                m_wrong.push_back("none counts and the path says: " + sentence);
            if (!m_to_server && openingOf(m_address).find("has moved to") == std::string::npos)
                m_wrong.push_back("none counts and the address says: " + openingOf(m_address));
        }
        try {
            static_cast<void>(moveShop(from(), to()));
        } catch (const std::exception& error) {
            if (std::string(error.what()).find("has moved to") == std::string::npos)
                m_wrong.push_back(std::string("the same move again: ") + error.what());
        }
        look("after the second move");
        if (m_to_server ? m_file_counts || !m_server_counts : !m_file_counts || m_server_counts)
            m_wrong.emplace_back("the second move did not end it");
        if (openingOf(from()).find("has moved to") == std::string::npos)
            m_wrong.push_back("the old place says: " + openingOf(from()));
        for (const char* ending : {".moving", ".moving-wal"}) {
            if (std::filesystem::exists(m_file.string() + ending))
                m_wrong.push_back(std::string("left: ") + ending);
        }
        return m_wrong;
    }

    inline static int none_counted = 0;

private:
    [[nodiscard]] std::filesystem::path from() const {
        return m_to_server ? m_file : std::filesystem::path(m_address);
    }
    [[nodiscard]] std::filesystem::path to() const {
        return m_to_server ? std::filesystem::path(m_address) : m_file;
    }
    static std::string openingOf(const std::filesystem::path& shop) {
        return refusalOf([&] { static_cast<void>(ShopFile::open(shop)); });
    }
    /// What counts: by the database's own word, after what was under way there; and by opening the path.
    void look(const std::string& when) {
        const std::string said = answerOf(
            m_address, "BEGIN; LOCK TABLE shop_turn IN SHARE ROW EXCLUSIVE MODE; SELECT count(*) FROM "
                       "movements; SELECT count(*) FROM shop_moved; COMMIT");
        const std::string all = std::to_string(m_originals.movements);
        m_server_counts = said == all + "0";
        if (said != all + "0" && said != all + "1" && said != "00")
            m_wrong.push_back(when + " the server holds part of the shop: " + said);
        m_file_counts = std::filesystem::exists(m_file);
        if (!m_file_counts) return;
        const VerifyReport report = verifyStock(ShopFile::openReadOnly(m_file));
        if (!report.good() || report.movements != m_originals.movements)
            m_wrong.push_back(when + " the file is not the shop");
    }

    Originals& m_originals;
    bool m_to_server;
    TestServer m_server;
    TemporaryFolder m_folder;
    std::string m_address;
    std::filesystem::path m_file;
    bool m_died = false, m_file_counts = false, m_server_counts = false;
    std::vector<std::string> m_wrong;
};

} // namespace

int main(int count, char** arguments) {
    const long stride = count > 1 ? std::atol(arguments[1]) : 1;
    const long last_ones = count > 2 ? std::atol(arguments[2]) : 24;
    if (!TestServer().wanted() || stride < 1) {
        std::fprintf(stderr, "run it inside of tests/server/throw-away-server\n");
        return 2;
    }
    deaths = static_cast<Deaths*>(
        ::mmap(nullptr, sizeof(Deaths), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0));
    *deaths = Deaths{};
    Originals originals;
    bool good = true;
    for (const bool to_server : {true, false}) {
        const long calls = Move(originals, to_server).run(-1, false);
        const std::vector<bool> sends(deaths->sends, deaths->sends + 4096);
        int tried = 0;
        Move::none_counted = 0;
        std::set<std::string> names;
        for (long at = 0; at < calls; ++at) {
            if (at % stride != 0 && at < calls - last_ones) continue;
            for (const bool after : {false, true}) {
                // After any other call is before the next one; what was sent goes on without us.
                if (after &&
                    (at < calls - last_ones || !sends[static_cast<std::size_t>(std::min(at, 4095L))]))
                    continue;
                Move move(originals, to_server);
                static_cast<void>(move.run(at, after));
                names.insert(deaths->name);
                ++tried;
                for (const std::string& sentence : move.wrong()) {
                    good = false;
                    std::printf("WRONG: killed %s call %ld of %ld (%s): %s\n", after ? "after" : "before", at,
                                calls, deaths->name, sentence.c_str());
                }
            }
        }
        std::string all;
        for (const std::string& name : names) all += (all.empty() ? "" : ", ") + name;
        std::printf("%s: %d deaths at %ld calls (%s); after %d of them no shop counted until the move was "
                    "ended; %s\n",
                    to_server ? "to the server" : "to a file", tried, calls, all.c_str(), Move::none_counted,
                    good ? "never two, all ended well" : "NOT as promised");
        if (names.count("send") == 0 || Move::none_counted == 0) {
            std::printf("WRONG: the step between the two was not met\n");
            good = false;
        }
    }
    return good ? 0 : 1;
}
