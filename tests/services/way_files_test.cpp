// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kit_plan.h"
#include "app/services/way_files.h"
#include "tests/services/small_shop.h"

#include <catch2/catch.hpp>

#include <thread>

using namespace shimledger;
using namespace shimledger::services;

namespace {

std::string planned(SmallShop& small, planner::WayMemory* remembered) {
    KitOptions options;
    options.budget = 4000;
    options.curve = false;
    options.orders = false;
    options.remembered = remembered;
    std::string text;
    const KitResult kit = kitPlan(small.shop, options);
    for (const KitSize& line : kit.lines)
        text += discSizeText(line.size) + " " + std::to_string(line.keep) + "\n";
    return text + std::to_string(kit.plan.fresh.mean);
}

std::size_t filesIn(const std::filesystem::path& folder) {
    std::size_t count = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        count += entry.is_regular_file() ? 1 : 0;
    return count;
}

} // namespace

TEST_CASE("ways are kept as files, and a folder that is damaged, gone or not ours changes no plan") {
    SmallShop small;
    const std::string right = planned(small, nullptr);
    const std::filesystem::path folder = small.folder / "cache/ways";
    WayFiles files(folder);
    CHECK_FALSE(files.version().empty());
    CHECK(planned(small, &files) == right);
    REQUIRE(filesIn(folder) > 0);
    CHECK(planned(small, &files) == right);
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        std::string bytes = readBytes(entry.path());
        bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 4);
        std::ofstream(entry.path(), std::ios::binary) << bytes;
    }
    CHECK(planned(small, &files) == right);
    for (const auto& entry : std::filesystem::directory_iterator(folder)) std::ofstream(entry.path()).close();
    CHECK(planned(small, &files) == right);
    WayFiles nowhere("/proc/no/such/folder");
    CHECK(planned(small, &nowhere) == right);
    WayFiles a_file(small.shop.path() / "below a file");
    CHECK(planned(small, &a_file) == right);
    files.tidy();
    CHECK(filesIn(folder) > 0);
}

TEST_CASE("programs that write the same ways at once leave whole files") {
    const TemporaryFolder folder;
    const std::string one(300'000, 'a'), other(200'000, 'b');
    std::vector<std::thread> threads;
    std::atomic<int> torn{0};
    for (const std::string* bytes : {&one, &other, &one, &other}) {
        threads.emplace_back([&folder, bytes, &torn, &one, &other] {
            WayFiles files(folder / "ways");
            for (int i = 0; i < 60; ++i) {
                files.write("key", *bytes);
                const auto read = files.read("key");
                if (!read || (*read != one && *read != other)) ++torn;
            }
        });
    }
    for (std::thread& thread : threads) thread.join();
    CHECK(torn == 0);
    CHECK(filesIn(folder / "ways") == 1);
}
