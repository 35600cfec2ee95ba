// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/faults/fault_vfs.h"
#include "tests/faults/worked_shop.h"

#include <catch2/catch.hpp>

#include <sys/wait.h>

#include <csignal>

using namespace shimledger::faults;
using namespace shimledger::inventory;

namespace {

constexpr int entries = 12;

/// A process's life: the nth write of its SQLite, counted from the opening on, is done by half and kills it.
/// It ends with code 0 where there were fewer writes.
[[noreturn]] void workUntilTheNthWrite(const std::filesystem::path& path, std::int64_t nth, int pipe_end) {
    planFault(Fault::killed, nth, 1);
    try {
        ShopFile shop = ShopFile::open(path, fixedClock(test_time));
        ShopWork work(shop, 7);
        for (int i = 0; i < entries; ++i) {
            const auto done = work.step();
            if (done && ::write(pipe_end, &*done, sizeof *done) != sizeof *done) ::_exit(3);
        }
    } catch (const std::exception&) {
        ::_exit(4);
    }
    // The last writes are those of closing the file, which are counted as well.
    ::_exit(0);
}

struct Death {
    int status = 0;
    std::vector<Acknowledged> acknowledged;
};

Death liveAndDie(const std::filesystem::path& path, std::int64_t nth) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        ::close(ends[0]);
        workUntilTheNthWrite(path, nth, ends[1]);
    }
    ::close(ends[1]);
    Death death;
    Acknowledged record;
    while (::read(ends[0], &record, sizeof record) == sizeof record) death.acknowledged.push_back(record);
    ::close(ends[0]);
    ::waitpid(child, &death.status, 0);
    return death;
}

// What a worker leaves behind is opened by the next program as any file, and nothing that it had acknowledged
// is missing or half there.
void killInEvery(int stride) {
    installFaultVfs();
    const TemporaryFolder folder;
    const auto start = workedShop(folder);
    const auto path = folder / "shop.db";
    int deaths = 0;
    std::size_t most_acknowledged = 0;
    for (std::int64_t nth = 1;; nth += stride) {
        freshCopy(start, path);
        const Death death = liveAndDie(path, nth);
        INFO("killed in write " << nth);
        const ShopFile shop = ShopFile::open(path, fixedClock(test_time));
        CHECK(whatIsWrong(shop, death.acknowledged, VerifyDepth::everything) == std::vector<std::string>{});
        if (WIFEXITED(death.status)) {
            CHECK(WEXITSTATUS(death.status) == 0);
            break;
        }
        REQUIRE(WTERMSIG(death.status) == SIGKILL);
        ++deaths;
        most_acknowledged = std::max(most_acknowledged, death.acknowledged.size());
    }
    CHECK(deaths > 3);
    CHECK(most_acknowledged > 1); // deaths between entries were among them, not only those of the opening
}

} // namespace

// The long form dies in every single write; the short one in every seventh.
TEST_CASE("a process killed in the middle of any write of its file loses nothing that it had acknowledged",
          "[.long]") {
    killInEvery(1);
}
TEST_CASE("a process killed in the middle of every seventh write loses nothing that it had acknowledged") {
    killInEvery(7);
}
