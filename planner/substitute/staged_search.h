// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/box_search.h"
#include "planner/substitute/curve_judge.h"
#include "planner/substitute/proof_audit.h"
#include "planner/substitute/search_frames.h"
#include "planner/substitute/search_record.h"
#include "planner/substitute/substitute_result.h"
#include "planner/substitute/target_curve.h"
#include "planner/substitute/usable_stock.h"

#include <cstddef>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// The whole search: every order of diameters, few changes first, until the closest stack is proved or a
/// limit comes. Same request, same course.
class StagedSearch {
public:
    /// How much is wanted: the closest stack and the other choices, it alone, or to know whether there is any
    /// at all.
    enum class Aim { best, closest, any };

    /// The request must be a good one (request_check.h) and outlive the search, as must the terms, where the
    /// job is one of several. On terms the target itself is taken wherever it can be built.
    StagedSearch(const SubstituteRequest& request, TargetCurve target, Aim aim = Aim::best,
                 const SharedTerms* terms = nullptr);
    StagedSearch(const StagedSearch&) = delete;
    StagedSearch& operator=(const StagedSearch&) = delete;

    /// Before the run: a stack that deviates by this or less ends it, and nothing else is looked for. Then
    /// `proved` says only that there is none as near as that, or that one was found.
    void stopAt(double deviation) { m_record.enough = deviation; }
    void run();

    struct Stage {
        std::size_t states_wanted; ///< of each group
        int models;                ///< to look around with, for each set of groups
        int shakes;                ///< to descend with, where the lists are whole
        bool whole_or_none;        ///< lists that are not whole are of no use
    };

    [[nodiscard]] const SearchRecord& record() const { return m_record; }
    [[nodiscard]] const TargetCurve& target() const { return m_target; }
    [[nodiscard]] const SearchFrame& frame(std::size_t index) const { return m_frames[index]; }
    /// Nothing is closer than the best found; where nothing was found, nothing is possible.
    [[nodiscard]] bool proved() const { return m_proved; }
    /// No stack within the rules deviates less.
    [[nodiscard]] double lowerBound() const;
    /// The target itself can be built.
    [[nodiscard]] bool buildable() const;
    /// On terms: groups that stay as they are were tried with all their readings.
    [[nodiscard]] bool variesReadings() const { return m_vary_readings; }
    /// On terms: what was found is the target itself, of whatever readings.
    [[nodiscard]] bool ownTarget() const { return m_own_target; }
    /// Of the last stage.
    [[nodiscard]] std::vector<SearchFrame> lastFrames() const;
    /// What the proof rests on.
    [[nodiscard]] const ProofBasis& basis() const { return m_basis; }
    [[nodiscard]] double seconds() const;

private:
    /// What a frame needs while it is searched, made when it is first looked at.
    struct Bench {
        CurveJudge judge;
        BoxSearch boxes;
        Bench(const SubstituteRequest& request, const std::vector<TargetGroup>& groups,
              const SearchFrame& frame, std::size_t f, const TargetCurve& target, SearchRecord& record,
              ProofAudit& audit, const BoundWidth& width)
            : judge(request.target->valve(), frame.shapes, request.rules.regime, target),
              boxes(request, groups, frame, f, judge, record, audit, width) {}
    };

    bool mayGoOn();
    [[nodiscard]] bool makeFrames(const Stage& stage);
    /// Groups of one frame that vary together, the others held at the target's own discs.
    struct SearchSet {
        std::size_t frame = 0;
        std::vector<int> active;
        std::vector<int> unchanged; ///< those of them that keep the target's discs, of whatever readings
    };
    /// All sets of the stage; of several where one holds the other, a look takes the smaller one first, and a
    /// proof the larger one alone.
    void forEachSet(BoxSearch::Mode mode, int others, const std::function<void(const SearchSet&)>& use) const;
    void setsOf(std::size_t f, int others, const std::function<void(const SearchSet&)>& use) const;
    [[nodiscard]] SearchSet setOnTerms(std::size_t f, const std::vector<int>& changing) const;
    void setsOnTerms(std::size_t f, int others, BoxSearch::Mode mode,
                     const std::function<void(const SearchSet&)>& use) const;
    [[nodiscard]] static std::vector<int> optionalGroups(const SearchFrame& frame);
    [[nodiscard]] int mostOthers() const;
    void runStage(SearchGoal goal, BoxSearch::Mode mode);
    void runOwnTarget();
    void descend(int shakes);
    void polishBest();
    void prove();
    [[nodiscard]] bool boundsHold();
    BoxSearch& boxesOf(std::size_t f);

    const SubstituteRequest& m_request;
    TargetCurve m_target;
    Aim m_aim;
    const SharedTerms* m_terms;
    bool m_wish = false;          ///< another curve than the target's is wanted
    bool m_vary_readings = false; ///< on terms
    bool m_own_target = false;    ///< on terms: the target itself was found to be possible
    std::vector<TargetGroup> m_groups;
    std::vector<UsableStock> m_stocks;
    std::deque<SearchFrame> m_frames;              ///< of all stages; those of the present one are the last
    std::ptrdiff_t m_first_frame = 0;              ///< of the present stage
    int m_models = 0;                              ///< of the present stage, see BoxSearch::run
    std::vector<std::unique_ptr<Bench>> m_benches; ///< by frame
    std::deque<std::size_t> m_benches_in_use;      ///< the oldest first
    SearchRecord m_record;
    ProofAudit m_audit;
    BoundWidth m_width;
    ProofBasis m_basis;
    bool m_proved = false;
    bool m_lists_whole = false;
    bool m_cancelled = false;
    double m_last_progress = 0;
};

/// Whether the rules and the drawers allow any stack. None where a limit came before the answer.
[[nodiscard]] std::optional<bool> anyStackPossible(const SubstituteRequest& request);

} // namespace shimledger::planner
