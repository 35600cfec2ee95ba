#include "planner/substitute/staged_search.h"

#include "planner/mechanics/lift_curve.h"
#include "planner/substitute/frame_groups.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double progress_seconds = 0.05;
// Full drawers fill a group in tens of thousands of ways, and what changes little is nearly always close
// enough: the search looks at few changes first.
struct Stage {
    std::size_t states_wanted; ///< of each group
    int models;                ///< to look around with, for each set of groups
};
constexpr std::array<Stage, 3> stages{{{250, 40}, {2000, 40}, {1'000'000, 80}}};
constexpr int models_for_choices = 5;
constexpr double most_ways_of_readings = 1000;

double secondsSince(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

bool hopeless(const SearchFrame& frame) {
    return std::any_of(frame.choices.begin(), frame.choices.end(),
                       [](const auto& group) { return group->states.empty(); });
}

/// Every way to choose `many` of so many.
void forEachChoice(std::size_t of, int many, const std::function<void(const std::vector<bool>&)>& use) {
    std::vector<bool> chosen(of, false);
    std::fill(chosen.begin(), chosen.begin() + many, true);
    do {
        use(chosen);
    } while (std::prev_permutation(chosen.begin(), chosen.end()));
}

} // namespace

StagedSearch::StagedSearch(const SubstituteRequest& request, TargetCurve target, Aim aim,
                           const SharedTerms* terms)
    : m_request(request), m_target(std::move(target)), m_aim(aim), m_terms(terms),
      m_groups(targetGroups(*request.target)), m_stocks(usableStocks(request, terms)) {
    m_record.may_go_on = [this] { return mayGoOn(); };
    m_record.gap = request.limits.gap;
    m_record.most_choice_deviation = request.rules.most_choice_deviation;
}

/// A spacer under the clamp may stand in for another one, but not so that the rules on the whole are broken.
bool StagedSearch::baseWithinRules(const SearchFrame& frame) const {
    Length off;
    int discs = 0;
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        const GroupChoices& group = *frame.choices[g];
        const GroupState& base = group.states[static_cast<std::size_t>(group.base)];
        discs += base.discs;
        if (!frame.groups[g].ring) off += base.thickness - frame.groups[g].thickness;
    }
    return discs <= m_request.rules.most_discs &&
           std::abs(off.micrometres()) <= m_request.rules.height_tolerance.micrometres();
}

bool StagedSearch::buildable() const {
    return std::any_of(m_frames.begin() + m_first_frame, m_frames.end(), [&](const SearchFrame& frame) {
        return frame.moved_groups == 0 && !hopeless(frame) && groupsThatMustChange(frame).empty() &&
               baseWithinRules(frame);
    });
}

std::vector<SearchFrame> StagedSearch::lastFrames() const {
    return {m_frames.begin() + m_first_frame, m_frames.end()};
}

double StagedSearch::lowerBound() const {
    const double reached = std::max(0.0, m_record.best() - m_record.gap);
    if (m_proved) return reached;
    return !m_lists_whole || m_record.unsolved > 0 ? 0 : std::min(reached, m_record.open_bound);
}

double StagedSearch::seconds() const {
    return secondsSince(m_record.start);
}

bool StagedSearch::mayGoOn() {
    if (m_aim == Aim::any && !m_record.choices().empty()) return false;
    if (m_cancelled || m_record.examined >= m_request.limits.candidates) return false;
    const double seconds = secondsSince(m_record.start);
    if (seconds > m_request.limits.seconds) return false;
    if (m_request.progress && seconds > m_last_progress + progress_seconds) {
        m_last_progress = seconds;
        m_cancelled = !m_request.progress({m_record.examined, m_record.best(), 0, seconds});
    }
    return !m_cancelled;
}

void StagedSearch::makeFrames(std::size_t states_wanted) {
    m_first_frame = static_cast<std::ptrdiff_t>(m_frames.size());
    bool all = true;
    for (const UsableStock& stock : m_stocks) {
        FrameList list = searchFrames(m_request, stock, states_wanted, m_record.may_go_on, m_terms);
        for (SearchFrame& frame : list.frames) m_frames.push_back(std::move(frame));
        all = all && !list.cut_short && !list.more;
    }
    m_lists_whole = all;
    m_benches.resize(m_frames.size());
    if (!m_terms) return;
    double ways = 1;
    for (const auto& group : m_frames.back().choices) ways *= std::max(1, group->own_states_alone);
    m_vary_readings = ways <= most_ways_of_readings;
}

void StagedSearch::runStage(SearchGoal goal, BoxSearch::Mode mode) {
    // Where the target itself can be built nothing is closer, and nobody asked for a change.
    if (m_terms && mode == BoxSearch::Mode::look) runOwnTarget();
    if (m_own_target) return;
    const int others = !m_terms && buildable() ? 0 : m_request.rules.most_other_groups_changed;
    for (int changed = 0; changed <= others; ++changed) {
        for (std::size_t f = static_cast<std::size_t>(m_first_frame); f < m_frames.size(); ++f) {
            if (m_terms)
                runFrameOnTerms(f, changed, mode);
            else
                runFrame(f, changed, goal, mode);
        }
    }
}

void StagedSearch::run() {
    for (const Stage& stage : stages) {
        m_models = stage.models;
        makeFrames(stage.states_wanted);
        runStage(SearchGoal::closest, BoxSearch::Mode::look);
        // What is missing from the lists proves nothing: until they are whole, a look must do.
        if (!m_own_target && m_record.best() > m_record.gap && m_lists_whole)
            runStage(SearchGoal::closest, BoxSearch::Mode::prove);
        m_proved = m_own_target || m_record.best() <= m_record.gap ||
                   (m_lists_whole && !m_record.stopped && m_record.unsolved == 0);
        if (m_proved || m_record.stopped || m_lists_whole) break;
    }
    if (m_aim != Aim::best) return;
    for (const SearchGoal goal : search_goals) {
        if (goal != SearchGoal::closest && !m_record.choices().empty()) runStage(goal, BoxSearch::Mode::look);
    }
}

BoxSearch& StagedSearch::boxesOf(std::size_t f) {
    if (!m_benches[f])
        m_benches[f] = std::make_unique<Bench>(m_request, m_groups, m_frames[f], f, m_target, m_record);
    return m_benches[f]->boxes;
}

/// Every choice of `others` further groups that may change with those that must.
void StagedSearch::runFrame(std::size_t f, int others, SearchGoal goal, BoxSearch::Mode mode) {
    const SearchFrame& frame = m_frames[f];
    if (hopeless(frame)) return;
    const std::vector<int> must = groupsThatMustChange(frame);
    std::vector<int> may;
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        const bool choice = frame.choices[static_cast<std::size_t>(g)]->states.size() > 1;
        if (choice && std::find(must.begin(), must.end(), g) == must.end()) may.push_back(g);
    }
    if (others > static_cast<int>(may.size())) return;
    forEachChoice(may.size(), others, [&](const std::vector<bool>& chosen) {
        std::vector<int> active = must;
        for (std::size_t i = 0; i < may.size(); ++i) {
            if (chosen[i]) active.push_back(may[i]);
        }
        std::sort(active.begin(), active.end());
        boxesOf(f).run(active, goal, mode, goal == SearchGoal::closest ? m_models : models_for_choices);
    });
}

/// Groups that stay as the target has them may have any of their readings, as long as that gives no end of
/// stacks; else they are held at what is nearest to the target, and only those that draw on the same discs
/// share other readings out.
void StagedSearch::runOnTerms(std::size_t f, const std::vector<int>& changing, BoxSearch::Mode mode) {
    const SearchFrame& frame = m_frames[f];
    std::vector<int> active = changing, unchanged;
    for (const std::vector<int>& unit : unitsOf(frame)) {
        const int first = unit.front();
        if (std::find(changing.begin(), changing.end(), first) != changing.end()) continue;
        const bool several = std::any_of(unit.begin(), unit.end(), [&](int g) {
            return frame.choices[static_cast<std::size_t>(g)]->own_states_alone > 1;
        });
        if (unit.size() > 1 || (m_vary_readings && several)) {
            active.insert(active.end(), unit.begin(), unit.end());
            unchanged.insert(unchanged.end(), unit.begin(), unit.end());
        }
    }
    std::sort(active.begin(), active.end());
    boxesOf(f).run(active, SearchGoal::closest, mode, m_models, unchanged);
}

/// The target's own discs in every group.
void StagedSearch::runOwnTarget() {
    for (std::size_t f = static_cast<std::size_t>(m_first_frame); f < m_frames.size(); ++f) {
        const SearchFrame& frame = m_frames[f];
        const bool has_all = std::all_of(frame.choices.begin(), frame.choices.end(),
                                         [](const auto& group) { return group->base >= 0; });
        if (frame.moved_groups > 0 || !has_all) continue;
        const std::size_t before = m_record.choices().size();
        runOnTerms(f, {}, BoxSearch::Mode::look);
        m_own_target = m_own_target || m_record.choices().size() > before;
    }
}

/// Groups of one frame on terms: what is contested may change anyway; what another job took from counts among
/// the others; the rest keeps the target's discs.
void StagedSearch::runFrameOnTerms(std::size_t f, int others, BoxSearch::Mode mode) {
    const SearchFrame& frame = m_frames[f];
    if (hopeless(frame)) return;
    const auto at = [](int g) { return static_cast<std::size_t>(g); };
    const auto anyOf = [](const std::vector<int>& unit, auto test) {
        return std::any_of(unit.begin(), unit.end(), test);
    };
    std::vector<int> must, always; // active in every set
    std::vector<std::vector<int>> may;
    int forced = 0;
    for (const std::vector<int>& unit : unitsOf(frame)) {
        if (frame.under_clamp[at(unit.front())]) continue;
        const bool free = anyOf(unit, [&](int g) { return frame.free[at(g)]; });
        const bool lacking = anyOf(unit, [&](int g) { return frame.choices[at(g)]->base < 0; });
        if (lacking) must.insert(must.end(), unit.begin(), unit.end());
        if (free || lacking) {
            always.insert(always.end(), unit.begin(), unit.end());
            forced += !free;
        } else {
            may.push_back(unit);
        }
    }
    const int further = others - forced;
    if (further < 0 || further > static_cast<int>(may.size())) return;
    // The fewest groups first: close enough as a rule, and soon looked through.
    if (further == 0 && mode == BoxSearch::Mode::look && must.size() < always.size())
        runOnTerms(f, must, mode);
    forEachChoice(may.size(), further, [&](const std::vector<bool>& chosen) {
        std::vector<int> changing = always;
        for (std::size_t i = 0; i < may.size(); ++i) {
            if (chosen[i]) changing.insert(changing.end(), may[i].begin(), may[i].end());
        }
        runOnTerms(f, changing, mode);
    });
}

TargetCurveOrReason computeTargetCurve(const SubstituteRequest& request) {
    std::vector<double> lifts = comparisonLifts(request.rules.working_lift_mm);
    const GroupedStack grouped = groupStack(*request.target);
    const LiftModel model(request.target->valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> target(lifts.size());
    const SolveReport solve =
        model.pressuresAtLifts(grouped.sums, lifts, request.rules.regime, workspace, target);
    if (!solve.converged) return {std::nullopt, solve.reason};
    return {targetCurve(request.rules, std::move(lifts), std::move(target)), {}};
}

std::optional<bool> anyStackPossible(const SubstituteRequest& request) {
    TargetCurveOrReason target = computeTargetCurve(request);
    if (!target.curve) return std::nullopt;
    StagedSearch search(request, std::move(*target.curve), StagedSearch::Aim::any);
    search.run();
    if (!search.record().choices().empty()) return true;
    if (search.proved()) return false;
    return std::nullopt;
}

} // namespace shimledger::planner
