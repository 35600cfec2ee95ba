// SPDX-License-Identifier: GPL-3.0-or-later
// Counts typed by size: where they go, what is made for them.
#include "small_shop.h"

#include "app/services/shim_grid.h"
#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using namespace shimledger::length_literals;
using Catch::Matchers::Contains;

namespace {

struct EmptyShop {
    TemporaryFolder folder;
    inventory::ShopFile shop = inventory::ShopFile::create(folder.shop("shop.db"));

    std::int64_t onHand(Length od, Length thickness) {
        const ShimGrid grid = shimGrid(shop, 6_mm, inventory::Condition::fresh);
        const auto stock = grid.stock.find({od, thickness});
        return stock == grid.stock.end() ? -1 : stock->second.on_hand;
    }
};

ShimGridCounts countsOf(std::map<ShimSize, std::int64_t> counts, const std::string& first_bin = "A01") {
    ShimGridCounts typed;
    typed.bore = 6_mm;
    typed.cabinet = "A";
    typed.first_bin = first_bin;
    typed.counts = std::move(counts);
    return typed;
}

} // namespace

TEST_CASE("in an empty shop sixty sizes get their parts, their drawers in a row, and their counts") {
    EmptyShop empty;
    std::map<ShimSize, std::int64_t> counts;
    for (int od = 11; od <= 30; ++od) {
        for (const Length thickness : {0.10_mm, 0.15_mm, 0.20_mm})
            counts[{Length::fromMicrometres(od * 1000), thickness}] = od;
    }
    const ShimGridBooked booked = countShimGrid(empty.shop, countsOf(counts));
    CHECK(booked.sizes == 60);
    CHECK(booked.new_parts == 60);
    CHECK(booked.new_bins == 60);
    CHECK(empty.onHand(24_mm, 0.15_mm) == 24);
    const auto bins = inventory::BinList(empty.shop).list();
    CHECK(bins.front().code == "A01");
    CHECK(bins.back().code == "A60");
    CHECK(bins.back().cabinet == "A");
    CHECK(inventory::verifyStock(empty.shop).good());
}

TEST_CASE("what lies somewhere is counted there, and new sizes take the next drawers that are free") {
    EmptyShop empty;
    countShimGrid(empty.shop, countsOf({{{24_mm, 0.10_mm}, 12}, {{24_mm, 0.15_mm}, 7}}));
    const ShimGridBooked booked = countShimGrid(
        empty.shop, countsOf({{{24_mm, 0.10_mm}, 9}, {{22_mm, 0.10_mm}, 4}, {{20_mm, 0.10_mm}, 0}}));
    CHECK(booked.sizes == 3);
    CHECK(booked.new_parts == 2);
    CHECK(booked.new_bins == 2);
    CHECK(empty.onHand(24_mm, 0.10_mm) == 9);
    CHECK(empty.onHand(24_mm, 0.15_mm) == 7);
    CHECK(empty.onHand(22_mm, 0.10_mm) == 4);
    const ShimGrid grid = shimGrid(empty.shop, 6_mm, inventory::Condition::fresh);
    CHECK(grid.stock.at({24_mm, 0.10_mm}).bins == std::vector<std::string>{"A01"});
    CHECK(grid.stock.at({22_mm, 0.10_mm}).bins == std::vector<std::string>{"A04"});
    // Used ones of a size lie beside the new ones.
    ShimGridCounts used = countsOf({{{24_mm, 0.10_mm}, 3}});
    used.condition = inventory::Condition::used;
    CHECK(countShimGrid(empty.shop, used).new_bins == 0);
    CHECK(shimGrid(empty.shop, 6_mm, inventory::Condition::used).stock.at({24_mm, 0.10_mm}).bins ==
          std::vector<std::string>{"A01"});
}

TEST_CASE("all in one drawer, where that is said") {
    EmptyShop empty;
    ShimGridCounts counts = countsOf({{{24_mm, 0.10_mm}, 1}, {{22_mm, 0.10_mm}, 2}}, "BOX");
    counts.one_bin_each = false;
    CHECK(countShimGrid(empty.shop, counts).new_bins == 1);
    CHECK(inventory::BinList(empty.shop).list().front().code == "BOX");
}

TEST_CASE("what cannot be is one sentence, and nothing is half in") {
    EmptyShop empty;
    const auto refused = [&](const ShimGridCounts& counts, const std::string& sentence) {
        CHECK_THROWS_WITH(countShimGrid(empty.shop, counts), Contains(sentence));
        CHECK(inventory::PartCatalogue(empty.shop).list().empty());
        CHECK(inventory::BinList(empty.shop).list().empty());
    };
    refused(countsOf({}), "nothing was counted");
    refused(countsOf({{{24_mm, 0.10_mm}, 1}}, ""), "say in which drawer");
    refused(countsOf({{{24_mm, 0.10_mm}, 1}, {{22_mm, 0.10_mm}, 1}}, "left"), "ends in no number");
    refused(countsOf({{{24_mm, 0.10_mm}, 5}, {{5_mm, 0.10_mm}, 5}}), "5.0"); // smaller than its bore
    refused(countsOf({{{24_mm, 0.10_mm}, 5}, {{22_mm, 0.10_mm}, -1}}), "");
    // In two drawers: one number cannot say how many are in which.
    SmallShop small;
    inventory::BinList(small.shop).add({"Z1", "Z", 900, ""});
    inventory::MovementLine move;
    move.kind = inventory::MovementKind::receipt;
    move.part = shimCode("24", "0.12");
    move.bin = "Z1";
    move.quantity = 2;
    small.ledger.post({move});
    ShimGridCounts twice = countsOf({{{24_mm, 0.12_mm}, 5}});
    CHECK_THROWS_WITH(countShimGrid(small.shop, twice), Contains("A2, Z1"));
}

TEST_CASE("the sides of the grid are read as people write them") {
    const auto read = [](const std::string& text, Length step = 1_mm) {
        std::string words;
        for (const Length length : readLengths(text, step)) words += length.text(1) + " ";
        return words;
    };
    CHECK(read("24 22 20") == "20.0 22.0 24.0 ");
    CHECK(read("24, 22, 20") == "20.0 22.0 24.0 ");
    CHECK(read("0,10; 0,15;0,10", 0.05_mm) == "0.1 0.15 ");
    CHECK(read("10..13") == "10.0 11.0 12.0 13.0 ");
    CHECK(read("10..20/5 11") == "10.0 11.0 15.0 20.0 ");
    CHECK(read("0.10..0.20", 0.05_mm) == "0.1 0.15 0.2 ");
    CHECK(read("").empty());
    for (const char* wrong : {"24 x", "-3", "0", "30..10", "1..9999", "1..5/0", "0.0001"})
        CHECK_THROWS_AS(readLengths(wrong, 1_mm), InputError);
}

TEST_CASE("drawers are counted on as they are written") {
    CHECK(inventory::nextBinCode("A01") == "A02");
    CHECK(inventory::nextBinCode("A09") == "A10");
    CHECK(inventory::nextBinCode("A99") == "A100");
    CHECK(inventory::nextBinCode("B9") == "B10");
    CHECK(inventory::nextBinCode("7-3") == "7-4");
    CHECK_THROWS_AS(inventory::nextBinCode("BOX"), InputError);
    CHECK_THROWS_AS(inventory::nextBinCode(""), InputError);
}
