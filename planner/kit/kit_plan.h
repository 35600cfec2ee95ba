// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"
#include "planner/kit/remembered_ways.h"
#include "planner/kit/stack_ways.h"
#include "planner/stack/stack_spec.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// A stack that jobs ask for.
struct WantedStack {
    std::string name;
    StackSpec stack;
    int legs = 2;           ///< stacks of one job
    double jobs_a_year = 0; ///< >= 0
    int waiting = 0;        ///< open jobs that still need their discs
};

struct KitRequest {
    std::vector<WantedStack> wanted;
    std::vector<DiscSize> sizes; ///< none twice
    std::vector<KitStock> stock; ///< by size
    WayRules rules;
    std::optional<std::int64_t> budget; ///< hundredths; none: what reorder points for 95 % would cost
    std::optional<int> drawers;
    double window_days = 28;       ///< from one delivery to the next
    std::vector<double> season{1}; ///< by window: demand as a factor on the year's mean
    double clumping = 1;           ///< variance over mean of jobs in a window, >= 1
    double unseen_share = 0.2;     ///< of jobs whose stack nobody has asked for before, 0 to 0.9
    std::uint64_t seed = 1;
    int windows_learned = 150, windows_judged = 400;
    int moves = 60'000; ///< of the search from each start
    int bound_rounds = 1500;
    bool curve = true; ///< coverage over money as well
    int threads = 2;
    WayMemory* remembered = nullptr; ///< ways of earlier runs; changes no plan, only how soon it is there
    double seconds = 600;            ///< then what there is is told
    std::function<bool(const std::string& doing)> progress; ///< false ends it
};

/// A share of jobs with its 95 % interval.
struct CoverageEstimate {
    double mean = 0, low = 0, high = 0;
};

struct KitSizePlan {
    int size = 0;
    std::int64_t keep = 0; ///< discs in the drawer
    int packs_to_buy = 0;
    double jobs = 0;         ///< of the season that take discs of it
    double lost_without = 0; ///< share of jobs that would not be built without it
    std::vector<int> stacks; ///< wanted stacks, asked for before, that take discs of it
};

struct KitCurvePoint {
    std::int64_t budget = 0, cost = 0;
    double coverage = 0;         ///< of the windows it was made from
    double fresh = 0, plain = 0; ///< on fresh windows: this plan, and reorder points for the same money
    int sizes = 0;
};

enum class KitStatus { proved, found_not_proved, nothing_possible };
[[nodiscard]] const char* kitStatusName(KitStatus status);

struct KitPlan {
    KitStatus status = KitStatus::found_not_proved;
    std::int64_t budget = 0, cost = 0;
    double coverage = 0;       ///< share of jobs built in the windows that the plan was made from
    double coverage_bound = 0; ///< no plan exceeds this there, by the ways that were generated
    CoverageEstimate fresh;    ///< on windows never looked at, unseen stacks among them, jobs as they come
    CoverageEstimate fresh_foreseen;         ///< the same where all jobs of a window are known beforehand
    double fresh_seen = 0, fresh_unseen = 0; ///< of jobs by stacks asked for before, and by others
    CoverageEstimate plain; ///< reorder points size by size for the same money, with stand-ins, same windows
    double plain_alone = 0; ///< the same without stand-ins
    std::int64_t plain_cost = 0;
    int plain_sizes = 0;
    bool plain_is_better = false;     ///< then the sizes told are those of the reorder points
    double statistical_gap = 0;       ///< 95 %: no plan covers more than this above `fresh_foreseen`
    std::vector<KitSizePlan> sizes;   ///< with a drawer
    std::vector<int> dead;            ///< sizes that lie there and no job of the season needs
    std::vector<int> spared;          ///< sizes that wanted stacks ask for and the plan does without
    std::vector<KitCurvePoint> curve; ///< by budget
    std::vector<std::string> notes;
    int stacks = 0, ways = 0; ///< wanted stacks (unseen ones too), and ways to build them
    double seconds_ways = 0, seconds_first_plan = 0, seconds = 0;
};

/// Which sizes to keep and how many packs of each, so that most jobs of the season can be built at once from
/// the money: sample-average approximation in two stages (A. J. Kleywegt, A. Shapiro, T. Homem-de-Mello,
/// SIAM J. Optim. 12 (2002) 479). Ways to build are made anew at what discs are worth to the plan. Judged on
/// fresh windows with stacks that the plan has not seen, beside reorder points for the same money; where
/// those do better, they are the plan. The statistical gap is that of W. K. Mak, D. P. Morton, R. K. Wood,
/// Oper. Res. Lett. 24 (1999) 47. The same request gives the same plan, unless time ended it. Throws
/// InputError for figures that make no sense.
[[nodiscard]] KitPlan planKit(const KitRequest& request);

} // namespace shimledger::planner
