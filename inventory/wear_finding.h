// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

enum class WearDecision { replace, defer, keep };      ///< keep: nothing wrong with it
enum class WearState { notSaid, good, worn, damaged }; ///< of a seal's lip, an O-ring, a chromed surface

/// A bushing is worn out when two thirds of its surface are worn through (common practice, no source).
[[nodiscard]] constexpr bool wornOut(int worn_percent) {
    return 3 * worn_percent >= 200;
}

/// What the inspection found of one part or one place of a component.
struct WearFinding {
    std::string job;
    int leg = 0;       ///< 1, 2, ...; 0: not of one leg
    std::string part;  ///< catalogue part, as listed for the model; empty: a place, such as a chromed tube
    std::string place; ///< "slider", "chrome"; needed where there is no part
    std::optional<int> worn_percent; ///< bushings: of the surface worn through, 0 to 100
    WearState state = WearState::notSaid;
    WearDecision decision = WearDecision::keep;
    std::int64_t quantity = 1; ///< pieces that the decision is about, 1 or more
    std::string reason;        ///< needed to replace and to defer
    std::string note;          ///< "scratch of 20 mm below the travel mark"
    UtcTime utc{};             ///< when it was found; now where it is not given

    bool operator==(const WearFinding&) const = default;
};

[[nodiscard]] std::string_view wearDecisionName(WearDecision decision); ///< "replace", "defer", "keep"
[[nodiscard]] WearDecision parseWearDecision(std::string_view text);
[[nodiscard]] std::string_view wearStateName(WearState state); ///< "", "good", "worn", "damaged"
[[nodiscard]] WearState parseWearState(std::string_view text);

/// Parts that inspections have put off: they will be asked for.
struct DeferredPart {
    std::string part;
    std::int64_t quantity = 0;
    std::vector<std::string> jobs; ///< whose inspections put it off

    bool operator==(const DeferredPart&) const = default;
};

/// The inspections of the jobs. Two jobs are of one component when they carry the same component mark, or,
/// where none is given, the same customer and model. The ShopFile must outlive it.
class WearBook {
public:
    explicit WearBook(ShopFile& shop) : m_shop(shop) {}

    /// Writes a finding down, in place of an earlier one of the same job, leg, part and place. Throws
    /// InputError: unknown job, leg or part, a job that has ended, a worn percentage of what is no bushing, a
    /// bushing worn out that is to stay, neither part nor place, no reason.
    void record(const WearFinding& finding);
    [[nodiscard]] std::vector<WearFinding>
    ofJob(std::string_view job) const; ///< by leg, in order of recording
    /// Findings of earlier jobs of the same component, the latest first.
    [[nodiscard]] std::vector<WearFinding> earlier(std::string_view job) const;
    /// By part code: what the latest inspection of each component put off and no later one has dealt with.
    [[nodiscard]] std::vector<DeferredPart> deferred() const;

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
