// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/stack_ways.h"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// Where bytes are kept from one run to the next, by a key. May lose all or hand out something else at any
/// time: what is read back is not trusted. Called by several threads at once, with different keys.
class WayMemory {
public:
    virtual ~WayMemory() = default;
    [[nodiscard]] virtual std::optional<std::string> read(const std::string& key) noexcept = 0;
    virtual void write(const std::string& key, const std::string& bytes) noexcept = 0;
    /// Which program asks: the ways of another one are not these.
    [[nodiscard]] virtual std::string version() const = 0;
};

/// StackWays that remembers what it answered in earlier runs, question by question: what it says is what
/// StackWays says when it is asked the same questions in the same order, to the last bit. The key holds all
/// else that an answer depends on: stack, sizes, rules and program. What was kept and is damaged, or of
/// something else, is as if it were not there.
class RememberedWays {
public:
    /// `sizes` and `memory` must outlive it; without a memory it asks StackWays alone.
    RememberedWays(const StackSpec& target, const std::vector<DiscSize>& sizes, const WayRules& rules,
                   WayMemory* memory);

    /// As StackWays::cheapest, without the rows.
    [[nodiscard]] std::vector<StackWay> cheapest(std::span<const double> prices, int count);
    [[nodiscard]] const std::string& why(); ///< as StackWays::why, after what was asked last
    [[nodiscard]] const std::vector<std::pair<int, int>>& ownDiscs();
    void keep(); ///< writes what was learned

    [[nodiscard]] bool askedAnew() const { return m_maker != nullptr; } ///< something was not remembered

private:
    /// An answer, and the one that was given before it; answers to different next questions are siblings.
    struct Answer {
        int before = -1;
        std::vector<double> prices;
        int count = 0;
        std::vector<StackWay> ways;
        std::string why;
    };
    void recall();
    [[nodiscard]] StackWays& maker(); ///< asked all that has been asked so far
    void forgetOthers();
    [[nodiscard]] std::string bytes() const;
    [[nodiscard]] bool takeBytes(const std::string& bytes);

    StackSpec m_target;
    const std::vector<DiscSize>* m_sizes;
    WayRules m_rules;
    WayMemory* m_memory;
    std::string m_key;
    std::unique_ptr<StackWays> m_maker;
    std::size_t m_maker_asked = 0; ///< questions of the path that the maker was asked
    std::vector<int> m_path;       ///< answers given so far
    std::vector<Answer> m_answers; ///< the first one is that of the beginning: why, and own discs
    std::vector<std::pair<int, int>> m_own;
    bool m_learned = false;
};

} // namespace shimledger::planner
