// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN
#include "planner/substitute/single_steps.h"
#endif

#include <QWidget>

#include <optional>
#include <string>

class QLabel;
class QTableView;

namespace shimledger::desk {

class ShopSession;
class StepTableModel;

/// What each single step from a job's target does to its curve, in numbers and as bars, and whether the
/// drawers have what it takes. A picked step is laid out beside the target; Return makes it the edited
/// target.
class StepsPanel : public QWidget {
    Q_OBJECT

public:
    explicit StepsPanel(ShopSession& session, QWidget* parent = nullptr);
    ~StepsPanel() override;

    /// Computes it anew, off the window's thread; none: there is no target to step from.
    void follow(const std::optional<std::string>& job, double working_lift_mm);
    [[nodiscard]] bool computing() const { return m_run.running(); }
    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QString sentence() const;

signals:
    void stepPicked(const planner::SingleStep& step);
    void stepTaken(const planner::SingleStep& step);

private:
    StepTableModel* m_steps;
    QTableView* m_table;
    QLabel* m_sentence;
    ShopSession& m_session;
    BackgroundRun m_run;
};

} // namespace shimledger::desk
