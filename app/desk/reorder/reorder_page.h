// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/reorder.h"
#endif

#include <QWidget>

#include <optional>
#include <string>

class QLabel;
class QLineEdit;
class QMenu;
class QPushButton;
class QTableView;

namespace shimledger::desk {

class AppSettings;
class CourseView;
class DeskActions;
class ExpectedTableModel;
class MessageStrip;
class PageOneView;
class PlanTableModel;
class ShopSession;
class UserPrompts;
struct PrintJob;

/// The manager's page: what presses, what to buy and why, with packs to type over; mark it as ordered;
/// receive what came.
class ReorderPage : public QWidget {
    Q_OBJECT

public:
    ReorderPage(ShopSession& session, DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
                QWidget* parent = nullptr);

    void setActive(bool active); ///< whether this page is looked at, and keys mean its plan
    /// The shop has changed: plans anew when the page is seen next. A plan that was typed over is kept, with
    /// a word.
    void reload();
    void planAnew();    ///< drops what was typed over
    void stop();        ///< ends the planning, and the solver with it
    void markOrdered(); ///< the order of the picked line's supplier, after a question
    void allCame();     ///< fills in that all of the picked line's order came; books nothing
    void receive();     ///< what was typed in for the picked line's order
    void readSheet();   ///< packs of an edited reorder sheet, as if they were typed over
    void addPart();     ///< of the line edit, to the picked line's supplier

    void pickSupplier(const QString& supplier);

    [[nodiscard]] PrintJob printJob() const; ///< the plan as it was typed over
    /// The same for a sheet; none where the plan is still to be made, or the shop has changed since and
    /// nothing was typed over: a new one is better then.
    [[nodiscard]] std::optional<services::ReorderPlan> planToWrite() const;

    [[nodiscard]] bool busy() const { return m_run.running() || m_course_run.running(); }
    [[nodiscard]] QTableView* planTable() const { return m_plan_table; }
    [[nodiscard]] QTableView* expectedTable() const { return m_expected_table; }
    [[nodiscard]] PlanTableModel& plan() const { return *m_plan; }
    [[nodiscard]] CourseView& chart() const { return *m_chart; }
    [[nodiscard]] PageOneView& pageOne() const { return *m_page_one; }
    [[nodiscard]] QString totals() const;
    [[nodiscard]] QString reason() const; ///< of the picked line
    [[nodiscard]] QPushButton* figures() const { return m_figures; }
    [[nodiscard]] QLineEdit* addEdit() const { return m_add; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

signals:
    void jobAsked(const QString& job); ///< to look at it on its own page
    void partAsked(const QString& part);

protected:
    void showEvent(QShowEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    [[nodiscard]] std::optional<std::string> expectedOrder() const;
    void layOut(DeskActions& actions);
    void fillRowMenu(QMenu& menu, int row);
    void offerPart(QMenu& menu, const std::string& part);
    [[nodiscard]] QString costs() const;
    [[nodiscard]] services::ReorderPlan shownPlan() const; ///< without the lines that were dropped
    [[nodiscard]] bool typing() const;
    void startPlan();
    void readExpected();
    void keepDrafts();
    void showPlan(services::ReorderPlan plan);
    void showTotals();
    void showReason(); ///< of the picked line, in full
    void dressPlan();  ///< headings go over all columns
    void showCourse();
    void enableActions();
    void attempt(const std::function<void()>& step);

    ShopSession& m_session;
    DeskActions& m_actions;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    PlanTableModel* m_plan;
    ExpectedTableModel* m_expected;
    QTableView* m_plan_table;
    QTableView* m_expected_table;
    CourseView* m_chart;
    PageOneView* m_page_one;
    QLabel* m_reason;
    QPushButton* m_figures; ///< whether all that stands behind the reason is told
    QLabel* m_on_order;     ///< caption of what is expected
    QPushButton* m_mark;
    QLineEdit* m_add;
    MessageStrip* m_strip;
    BackgroundRun m_run;
    BackgroundRun m_course_run;
    bool m_stale = true;
    bool m_planned = false;  ///< a plan of this shop has come
    bool m_restored = false; ///< what was kept of the shop's open orders is shown
    bool m_forgetting = false;
    std::optional<bool> m_stop_was_on; ///< Stop, before the planning that is under way made it so
};

} // namespace shimledger::desk
