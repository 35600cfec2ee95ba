// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/units/near_name.h"

#include <catch2/catch.hpp>

using namespace shimledger;

TEST_CASE("a mistyped name finds the one that it was meant to be") {
    const std::vector<std::string> verbs{"demo", "lift", "substitute", "reserve", "stock", "job", "reorder"};
    CHECK(nearName("stok", verbs) == "stock");
    CHECK(nearName("STOCK", verbs) == "stock");
    CHECK(nearName("reodrer", verbs) == "reorder"); // two letters swapped are one mistake
    CHECK(nearName("substitude", verbs) == "substitute");
    CHECK(nearName("jo", verbs) == "job");
    CHECK(nearName("JOB-1O01", {"JOB-1001", "JOB-1002"}) == "JOB-1001");
    CHECK(nearName("jobs", {"bins", "job_stacks", "jobs"}) == "jobs");
}

TEST_CASE("nothing is near a name that is another word, or none, or endless") {
    const std::vector<std::string> verbs{"demo", "lift", "stock", "A1"};
    CHECK(nearName("banana", verbs).empty());
    CHECK(nearName("", verbs).empty());
    CHECK(nearName("B7", verbs).empty()); // of two letters both differ
    CHECK(nearName(std::string(100'000, 'x'), {std::string(100'000, 'x')}).empty());
    CHECK(nearName("stok", {}).empty());
    CHECK(nearName("x", {"", "y"}).empty());
}

TEST_CASE("the near name is told as a question, else what was to be said otherwise") {
    CHECK(nearNameText("stok", {"stock"}, "see the help") == ": did you mean 'stock'?");
    CHECK(nearNameText("banana", {"stock"}, "see the help") == ": see the help");
    CHECK(nearNameText("banana", {"stock"}, "").empty());
}
