// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/remembered_ways.h"

#include "planner/kit/kit_plan.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <map>
#include <mutex>
#include <random>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

/// Keeps bytes in memory, by key.
class Shelf : public WayMemory {
public:
    std::optional<std::string> read(const std::string& key) noexcept override {
        const std::lock_guard lock(mutex);
        const auto found = kept.find(key);
        if (found == kept.end()) return std::nullopt;
        return found->second;
    }
    void write(const std::string& key, const std::string& bytes) noexcept override {
        const std::lock_guard lock(mutex);
        kept[key] = bytes;
    }
    [[nodiscard]] std::string version() const override { return program; }

    std::mutex mutex;
    std::map<std::string, std::string> kept;
    std::string program = "one";
};

const auto mm = [](double length) { return Length::fromMillimetres(length); };

std::vector<DiscSize> someSizes() {
    std::vector<DiscSize> sizes;
    for (const double od : {24.0, 20.0, 18.0, 16.0, 12.0}) {
        for (const double thickness : {0.10, 0.15, 0.20}) sizes.push_back({mm(od), mm(6), mm(thickness)});
    }
    return sizes;
}

const char* const some_stack = "4 x 24 x 0.15; 1 x 20 x 0.15; 1 x 16 x 0.15; 1 x 12 x 0.20";

std::vector<double> somePrices(std::size_t count, unsigned seed) {
    std::mt19937 random(seed);
    std::vector<double> prices;
    for (std::size_t i = 0; i < count; ++i) prices.push_back(random() % 9 == 0 ? -1 : 10.0 + random() % 50);
    return prices;
}

/// What was answered, to the last bit but for the rows.
std::string told(const std::vector<StackWay>& ways) {
    std::string text;
    for (const StackWay& way : ways) {
        text += std::to_string(std::hash<double>()(way.deviation));
        for (const auto& [size, discs] : way.discs)
            text += " " + std::to_string(size) + "x" + std::to_string(discs);
        text += "\n";
    }
    return text;
}

/// Asks these questions of a StackWays that remembers nothing, and of one that may.
template <class Ways>
std::string askedOf(Ways& ways, const std::vector<unsigned>& seeds, std::size_t sizes) {
    std::string all;
    for (const unsigned seed : seeds)
        all += told(ways.cheapest(somePrices(sizes, seed), 4)) + ways.why() + "|";
    return all;
}

std::string planText(const KitPlan& plan) {
    std::string text = std::to_string(plan.cost) + " " + std::to_string(plan.coverage) + " " +
                       std::to_string(plan.coverage_bound) + " " + std::to_string(plan.fresh.mean) + " " +
                       std::to_string(plan.ways) + "\n";
    for (const KitSizePlan& size : plan.sizes)
        text += std::to_string(size.size) + ": " + std::to_string(size.keep) + " " +
                std::to_string(size.lost_without) + "\n";
    for (const std::string& note : plan.notes) text += note + "\n";
    return text;
}

} // namespace

TEST_CASE("ways that are remembered are those that are made, whatever was asked before and in which order") {
    const std::vector<DiscSize> sizes = someSizes();
    const StackSpec target = test::inUsualValve(some_stack);
    Shelf shelf;
    const std::vector<std::vector<unsigned>> orders{{1, 2, 3},    {1, 2, 3}, {1, 2, 4}, {2, 1},
                                                    {1, 2, 3, 5}, {6},       {1, 2, 4}};
    for (std::size_t i = 0; i < orders.size(); ++i) {
        CAPTURE(i);
        StackWays fresh(target, sizes, {});
        RememberedWays remembered(target, sizes, {}, &shelf);
        CHECK(remembered.ownDiscs() == fresh.ownDiscs());
        CHECK(askedOf(remembered, orders[i], sizes.size()) == askedOf(fresh, orders[i], sizes.size()));
        CHECK(remembered.askedAnew() == (i != 1 && i != 6)); // those two were asked before
        remembered.keep();
    }
    CHECK(shelf.kept.size() == 1);
}

TEST_CASE("remembered ways of other sizes, rules, stacks or programs are not taken") {
    const std::vector<DiscSize> sizes = someSizes();
    const StackSpec target = test::inUsualValve(some_stack);
    Shelf shelf;
    const auto anew = [&](const StackSpec& stack, const std::vector<DiscSize>& of, const WayRules& rules) {
        RememberedWays ways(stack, of, rules, &shelf);
        StackWays fresh(stack, of, rules);
        CHECK(askedOf(ways, {1, 2}, of.size()) == askedOf(fresh, {1, 2}, of.size()));
        ways.keep();
        return ways.askedAnew();
    };
    CHECK(anew(target, sizes, {}));
    CHECK_FALSE(anew(target, sizes, {}));
    WayRules rules;
    rules.within = 0.05000001;
    CHECK(anew(target, sizes, rules));
    rules = {};
    rules.od_step = Length();
    CHECK(anew(target, sizes, rules));
    std::vector<DiscSize> fewer = sizes;
    fewer.pop_back();
    CHECK(anew(target, fewer, {}));
    std::vector<DiscSize> turned = sizes;
    std::swap(turned[0], turned[1]);
    CHECK(anew(target, turned, {}));
    CHECK(anew(test::inUsualValve("5 x 24 x 0.15; 1 x 20 x 0.15; 1 x 16 x 0.15; 1 x 12 x 0.20"), sizes, {}));
    shelf.program = "two";
    CHECK(anew(target, sizes, {}));
    // And where the shelf hands out what was kept under another key, as a name that two keys share would.
    const std::string other = shelf.kept.begin()->second;
    for (auto& [key, bytes] : shelf.kept) bytes = other;
    shelf.program = "one";
    CHECK_FALSE(shelf.kept.empty());
    static_cast<void>(anew(target, sizes, {}));
    static_cast<void>(anew(target, turned, {}));
}

TEST_CASE("remembered ways that were damaged anywhere are as if they were not there") {
    const std::vector<DiscSize> sizes = someSizes();
    const StackSpec target = test::inUsualValve(some_stack);
    Shelf shelf;
    StackWays fresh(target, sizes, {});
    const std::string right = askedOf(fresh, {1}, sizes.size());
    {
        RememberedWays ways(target, sizes, {}, &shelf);
        static_cast<void>(askedOf(ways, {1}, sizes.size()));
        ways.keep();
    }
    const std::string good = shelf.kept.begin()->second;
    std::string& bytes = shelf.kept.begin()->second;
    std::mt19937 random(5);
    int looked_at = 0;
    const auto look = [&] {
        ++looked_at;
        RememberedWays ways(target, sizes, {}, &shelf);
        CHECK(askedOf(ways, {1}, sizes.size()) == right);
        CHECK(ways.askedAnew());
    };
    for (std::size_t place = 0; place < good.size(); place += 1 + good.size() / 40) {
        bytes = good;
        bytes[place] = static_cast<char>(bytes[place] ^ static_cast<char>(1 + random() % 255));
        look();
    }
    for (const std::size_t size :
         {std::size_t{0}, std::size_t{5}, std::size_t{17}, good.size() / 2, good.size() - 1}) {
        bytes = good.substr(0, size);
        look();
    }
    bytes = good + "x";
    look();
    CHECK(looked_at > 40);
}

TEST_CASE("a kit plan is the same without remembered ways, with none yet, and with all of them") {
    KitRequest request;
    request.sizes = someSizes();
    for (std::size_t i = 0; i < request.sizes.size(); ++i) {
        KitStock stock;
        stock.pack_size = 10;
        stock.pack_price = 200 + static_cast<std::int64_t>(10 * i);
        request.stock.push_back(stock);
    }
    for (const char* text : {some_stack, "6 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20",
                             "3 x 24 x 0.10; 1 x 12 x 2.50"}) // the last one has a size that nobody sells
        request.wanted.push_back({text, test::inUsualValve(text), 2, 20, 0});
    request.moves = 600;
    request.bound_rounds = 60;
    request.windows_learned = 10;
    request.windows_judged = 40;
    request.curve = false;
    const std::string without = planText(planKit(request));
    Shelf shelf;
    request.remembered = &shelf;
    CHECK(planText(planKit(request)) == without);
    const auto after_first = shelf.kept;
    CHECK(after_first.size() > 3);
    CHECK(planText(planKit(request)) == without);
    CHECK(shelf.kept == after_first); // nothing had to be made anew
    request.budget = 3000;            // other questions, some of them
    const std::string cheaper = planText(planKit(request));
    request.remembered = nullptr;
    CHECK(planText(planKit(request)) == cheaper);
}
