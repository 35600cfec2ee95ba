// SPDX-License-Identifier: GPL-3.0-or-later
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
// enough: the search looks at few changes first, and at last at everything, if that can be listed.
constexpr std::array<StagedSearch::Stage, 3> stages{
    {{600, 40, 2, false}, {2000, 40, 3, false}, {1'000'000, 80, 3, true}}};
constexpr int few_shakes = 3, many_shakes = 60;
constexpr std::int64_t soon_through = 5000, no_end_of_stacks = 10'000'000;
constexpr double close_by = 0.01; // where nothing can be proved, looking on has little to gain below
constexpr int longer = 10;        // as many shakes in the most promising set
constexpr int models_for_choices = 5;
constexpr double most_ways_of_readings = 1000;
constexpr std::int64_t few_stacks = 2000; // no bound saves much there
constexpr std::size_t most_benches = 32;  // each has the tables of its plates
constexpr int most_widenings = 6;
constexpr double most_strain =
    0.6; // of a bound, seen on what it excluded: the constants are twice what is known

double secondsSince(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

bool hopeless(const SearchFrame& frame) {
    return std::any_of(frame.choices.begin(), frame.choices.end(),
                       [](const auto& group) { return group->states.empty(); });
}

/// The states of another frame that make the same stack; none where it has other ODs or lacks one.
std::vector<int> sameStack(const SearchFrame& of, const std::vector<int>& state, const SearchFrame& frame) {
    std::vector<int> same;
    for (std::size_t g = 0; g < state.size() && frame.used == of.used; ++g) {
        const std::vector<GroupState>& states = frame.choices[g]->states;
        const std::vector<int>& counts = of.choices[g]->states[static_cast<std::size_t>(state[g])].counts;
        const auto place = std::find_if(states.begin(), states.end(), [&](const GroupState& other) {
            return other.counts == counts && frame.groups[g].od == of.groups[g].od;
        });
        if (place == states.end()) return {};
        same.push_back(static_cast<int>(place - states.begin()));
    }
    return same;
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
    m_wish = !request.rules.wanted.changesNothing();
    if (!m_wish) return;
    // What is no nearer to the wish than the target as it is, is no choice.
    double own = 0;
    for (std::size_t i = 0; i < m_target.lifts_mm.size(); ++i)
        own = std::max(own, m_target.weights[i] * std::abs(1 / m_target.wanted.at(m_target.lifts_mm[i]) - 1));
    m_record.most_choice_deviation = std::min(m_record.most_choice_deviation, own * (1 - 1e-9));
}

bool StagedSearch::buildable() const {
    return std::any_of(m_frames.begin() + m_first_frame, m_frames.end(),
                       [&](const SearchFrame& frame) {
                           return frame.moved_groups == 0 && !hopeless(frame) &&
                                  groupsThatMustChange(frame).empty();
                       }) &&
           m_request.target->discCount() <= m_request.rules.most_discs;
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

/// False, leaving the frames of the stage before, where there are whole lists to be made and they would be
/// cut short.
bool StagedSearch::makeFrames(const Stage& stage) {
    std::vector<SearchFrame> made;
    bool all = true;
    for (const UsableStock& stock : m_stocks) {
        FrameList list = searchFrames(m_request, stock, stage.states_wanted, m_record.may_go_on, m_terms,
                                      stage.whole_or_none && !m_terms);
        if (list.frames.empty()) return false;
        for (SearchFrame& frame : list.frames) made.push_back(std::move(frame));
        all = all && !list.cut_short && !list.more;
    }
    m_first_frame = static_cast<std::ptrdiff_t>(m_frames.size());
    for (SearchFrame& frame : made) m_frames.push_back(std::move(frame));
    m_lists_whole = all;
    m_benches.resize(m_frames.size());
    if (!m_terms) return true;
    double ways = 1;
    for (const auto& group : m_frames.back().choices) ways *= std::max(1, group->own_states_alone);
    m_vary_readings = ways <= most_ways_of_readings;
    return true;
}

void StagedSearch::forEachSet(BoxSearch::Mode mode, int others,
                              const std::function<void(const SearchSet&)>& use) const {
    // Where all groups may change, one look at all of them is enough.
    const bool at_once = mode != BoxSearch::Mode::look || m_wish;
    for (int changed = 0; changed <= others; ++changed) {
        if (at_once && changed > 0 && !m_terms) return; // what more groups may be, fewer may be too
        for (std::size_t f = static_cast<std::size_t>(m_first_frame); f < m_frames.size(); ++f) {
            if (hopeless(m_frames[f])) continue;
            if (m_terms)
                setsOnTerms(f, changed, mode, use);
            else if (!at_once)
                setsOf(f, changed, use);
            else
                setsOf(f, std::min(others, static_cast<int>(optionalGroups(m_frames[f]).size())), use);
        }
    }
}

void StagedSearch::runStage(SearchGoal goal, BoxSearch::Mode mode) {
    // Where the target itself can be built nothing is closer, and nobody asked for a change.
    if (m_terms && mode == BoxSearch::Mode::look) runOwnTarget();
    if (m_own_target) return;
    forEachSet(mode, mostOthers(), [&](const SearchSet& set) {
        if (goal == SearchGoal::closest && m_record.closeEnough()) return;
        boxesOf(set.frame).run(set.active, goal, mode,
                               goal == SearchGoal::closest ? m_models : models_for_choices, set.unchanged);
    });
}

/// Descends in every set, then longer in the one that gave the best. Where a set has few stacks a proof is
/// soon through with them, so once there is a stack at all, descents are for the larger ones.
void StagedSearch::descend(int shakes) {
    SearchSet best;
    bool vast = false;
    forEachSet(BoxSearch::Mode::prove, mostOthers(), [&](const SearchSet& set) {
        if (m_record.closeEnough() || !m_record.may_go_on()) return;
        const double before = m_record.best();
        const std::int64_t stacks = boxesOf(set.frame).stacksOf(set.active, set.unchanged);
        if (stacks < soon_through && !m_record.choices().empty()) return;
        boxesOf(set.frame).descend(set.active, set.unchanged, {}, stacks < no_end_of_stacks ? 0 : shakes,
                                   false);
        if (m_record.best() >= before) return;
        best = set;
        vast = stacks >= no_end_of_stacks;
    });
    if (!vast || m_record.closeEnough()) return;
    const EvaluatedStack* stack = m_record.bestIn(SearchGoal::closest);
    boxesOf(best.frame)
        .descend(best.active, best.unchanged, std::vector<int>(stack->state), longer * shakes, true);
}

int StagedSearch::mostOthers() const {
    // Where the target itself can be built, and its discs' readings do not make it another one, nobody asked
    // for a change.
    const bool content = !m_terms && !m_wish && m_record.closeEnough() && buildable();
    return content ? 0 : mostOtherGroups(m_request.rules);
}

/// Proves that nothing is closer, or finds what is. Each proof by bounds is held against some of what it
/// excluded; where a bound was strained too far, it is widened and the proof begun again.
void StagedSearch::prove() {
    std::int64_t stacks = 0;
    forEachSet(BoxSearch::Mode::every, mostOthers(), [&](const SearchSet& set) {
        if (stacks < few_stacks) stacks += boxesOf(set.frame).stacksOf(set.active, set.unchanged);
    });
    if (stacks < few_stacks) {
        runStage(SearchGoal::closest, BoxSearch::Mode::every);
        m_basis.kind = ProofBasis::Kind::every_stack;
        return;
    }
    m_basis.kind = ProofBasis::Kind::bounds;
    for (m_basis.widened = 0; m_basis.widened <= most_widenings; ++m_basis.widened) {
        m_audit.clear();
        runStage(SearchGoal::closest, BoxSearch::Mode::prove);
        if (m_record.stopped || m_record.closeEnough() || boundsHold()) return;
    }
    m_record.stopped = true;
    m_record.open_bound = 0; // no bound is known to hold
}

/// Evaluates what the proof excluded; false, with wider bounds, where one of them is not to be trusted.
bool StagedSearch::boundsHold() {
    BoundStrain most;
    std::int64_t drawn = 0;
    for (const ExcludedBox& box : m_audit.boxes()) {
        if (!m_record.may_go_on()) {
            m_record.stopped = true;
            m_record.open_bound = 0;
            return true;
        }
        const BoundStrain strain = boxesOf(box.frame).strainOf(box, m_audit.random());
        most.curvature = std::max(most.curvature, strain.curvature);
        most.fall = std::max(most.fall, strain.fall);
        most.friction = std::max(most.friction, strain.friction);
        ++drawn;
    }
    m_basis.drawn += drawn;
    m_basis.strain = std::max({most.curvature, most.fall, most.friction});
    if (m_basis.strain <= most_strain) return true;
    const auto widen = [](double& width, double strain) {
        if (strain > most_strain) width *= std::max(2.0, strain / most_strain);
    };
    widen(m_width.curvature, most.curvature);
    widen(m_width.fall, most.fall);
    widen(m_width.friction, most.friction);
    return false;
}

void StagedSearch::run() {
    for (const Stage& stage : stages) {
        m_models = stage.models;
        if (!makeFrames(stage)) break;
        if (m_terms)
            runStage(SearchGoal::closest, BoxSearch::Mode::look);
        else
            descend(m_lists_whole ? stage.shakes : few_shakes);
        // What is missing from the lists proves nothing.
        if (!m_own_target && !m_record.closeEnough() && m_lists_whole) prove();
        m_proved = m_own_target || m_record.closeEnough() ||
                   (m_lists_whole && !m_record.stopped && m_record.unsolved == 0);
        if (m_proved || m_record.stopped || m_lists_whole) break;
    }
    if (!m_terms && !m_proved && !m_record.stopped && !m_lists_whole) { // there is no end of stacks
        descend(many_shakes);
        if (m_record.best() > close_by) runStage(SearchGoal::closest, BoxSearch::Mode::look);
        m_proved = m_record.closeEnough();
    }
    const bool within_gap = m_record.closeEnough();
    if (m_proved && !m_terms && m_aim == Aim::best && !within_gap) polishBest();
    if (!m_proved)
        m_basis.kind = ProofBasis::Kind::none;
    else if (m_own_target || within_gap)
        m_basis.kind = ProofBasis::Kind::gap;
    if (m_aim != Aim::best) return;
    for (const SearchGoal goal : search_goals) {
        if (goal != SearchGoal::closest && !m_record.choices().empty()) runStage(goal, BoxSearch::Mode::look);
    }
}

/// What is closer by less than the gap is no business of a proof, but costs little to find.
void StagedSearch::polishBest() {
    const EvaluatedStack* found = m_record.bestIn(SearchGoal::closest);
    if (!found) return;
    const EvaluatedStack best = *found;
    forEachSet(BoxSearch::Mode::prove, mostOthers(), [&](const SearchSet& set) {
        const std::vector<int> state = sameStack(m_frames[best.frame], best.state, m_frames[set.frame]);
        if (!state.empty() && m_record.may_go_on())
            boxesOf(set.frame).descend(set.active, set.unchanged, state, 0, true);
    });
}

BoxSearch& StagedSearch::boxesOf(std::size_t f) {
    if (!m_benches[f]) {
        if (m_benches_in_use.size() >= most_benches) {
            m_benches[m_benches_in_use.front()].reset();
            m_benches_in_use.pop_front();
        }
        m_benches_in_use.push_back(f);
        m_benches[f] = std::make_unique<Bench>(m_request, m_groups, m_frames[f], f, m_target, m_record,
                                               m_audit, m_width);
    }
    return m_benches[f]->boxes;
}

/// Groups that may change although they need not.
std::vector<int> StagedSearch::optionalGroups(const SearchFrame& frame) {
    const std::vector<int> must = groupsThatMustChange(frame);
    std::vector<int> may;
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        const bool choice = frame.choices[static_cast<std::size_t>(g)]->states.size() > 1;
        if (choice && std::find(must.begin(), must.end(), g) == must.end()) may.push_back(g);
    }
    return may;
}

/// Every choice of `others` further groups that may change with those that must.
void StagedSearch::setsOf(std::size_t f, int others, const std::function<void(const SearchSet&)>& use) const {
    const SearchFrame& frame = m_frames[f];
    const std::vector<int> must = groupsThatMustChange(frame), may = optionalGroups(frame);
    if (others > static_cast<int>(may.size())) return;
    forEachChoice(may.size(), others, [&](const std::vector<bool>& chosen) {
        SearchSet set{f, must, {}};
        for (std::size_t i = 0; i < may.size(); ++i) {
            if (chosen[i]) set.active.push_back(may[i]);
        }
        // What stays as it is may be had of one reading or another.
        for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
            const bool stays = std::find(set.active.begin(), set.active.end(), g) == set.active.end();
            if (stays && frame.choices[static_cast<std::size_t>(g)]->own_states > 1)
                set.unchanged.push_back(g);
        }
        set.active.insert(set.active.end(), set.unchanged.begin(), set.unchanged.end());
        std::sort(set.active.begin(), set.active.end());
        use(set);
    });
}

/// Groups that stay as the target has them may have any of their readings, as long as that gives no end of
/// stacks; else they are held at what is nearest to the target, and only those that draw on the same discs
/// share other readings out.
StagedSearch::SearchSet StagedSearch::setOnTerms(std::size_t f, const std::vector<int>& changing) const {
    const SearchFrame& frame = m_frames[f];
    SearchSet set{f, changing, {}};
    for (const std::vector<int>& unit : unitsOf(frame)) {
        const int first = unit.front();
        if (std::find(changing.begin(), changing.end(), first) != changing.end()) continue;
        const bool several = std::any_of(unit.begin(), unit.end(), [&](int g) {
            return frame.choices[static_cast<std::size_t>(g)]->own_states_alone > 1;
        });
        if (unit.size() > 1 || (m_vary_readings && several)) {
            set.active.insert(set.active.end(), unit.begin(), unit.end());
            set.unchanged.insert(set.unchanged.end(), unit.begin(), unit.end());
        }
    }
    std::sort(set.active.begin(), set.active.end());
    return set;
}

/// The target's own discs in every group.
void StagedSearch::runOwnTarget() {
    for (std::size_t f = static_cast<std::size_t>(m_first_frame); f < m_frames.size(); ++f) {
        const SearchFrame& frame = m_frames[f];
        const bool has_all = std::all_of(frame.choices.begin(), frame.choices.end(),
                                         [](const auto& group) { return group->base >= 0; });
        if (frame.moved_groups > 0 || !has_all) continue;
        const std::size_t before = m_record.choices().size();
        const SearchSet set = setOnTerms(f, {});
        boxesOf(f).run(set.active, SearchGoal::closest, BoxSearch::Mode::look, m_models, set.unchanged);
        m_own_target = m_own_target || m_record.choices().size() > before;
    }
}

/// Groups of one frame on terms: what is contested may change anyway; what another job took from counts among
/// the others; the rest keeps the target's discs.
void StagedSearch::setsOnTerms(std::size_t f, int others, BoxSearch::Mode mode,
                               const std::function<void(const SearchSet&)>& use) const {
    const SearchFrame& frame = m_frames[f];
    const auto at = [](int g) { return static_cast<std::size_t>(g); };
    const auto anyOf = [](const std::vector<int>& unit, auto test) {
        return std::any_of(unit.begin(), unit.end(), test);
    };
    std::vector<int> must, always; // active in every set
    std::vector<std::vector<int>> may;
    int forced = 0;
    for (const std::vector<int>& unit : unitsOf(frame)) {
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
        use(setOnTerms(f, must));
    forEachChoice(may.size(), further, [&](const std::vector<bool>& chosen) {
        std::vector<int> changing = always;
        for (std::size_t i = 0; i < may.size(); ++i) {
            if (chosen[i]) changing.insert(changing.end(), may[i].begin(), may[i].end());
        }
        use(setOnTerms(f, changing));
    });
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
