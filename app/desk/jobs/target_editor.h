// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/jobs/target_draft.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/jobs/job_view.h"
#include "app/desk/own_data/part_seeker.h"
#endif

#include <QWidget>

#include <optional>
#include <string>

class QLabel;
class QTableView;

namespace shimledger::desk {

class AppSettings;
class DeskActions;
class ShopSession;
class StackTableModel;

/// The rows of a job's target against the drawers, edited where they stand. Edits are a draft with undo and
/// redo until they are saved to the job; a draft outlives the window. What is no stack is told beneath it.
class TargetEditor : public QWidget, public PartSeeker {
    Q_OBJECT

public:
    TargetEditor(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                 QWidget* parent = nullptr);

    void setActive(bool active);    ///< whether the page is looked at, and keys mean this target
    void show(const JobView* view); ///< null: no job; the draft of the same job stays

    /// A shim of the picked row, else of the first row of which there is no such part.
    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;
    /// The edited stack as it is laid out beside the target; none while nothing is edited or it is no stack.
    [[nodiscard]] std::optional<BenchInput> draftInput() const;
    /// By row of the target as saved: the same row in the draft, -1 where it is gone; empty: nothing is
    /// edited.
    [[nodiscard]] std::vector<int> savedRowsInDraft() const;
    /// The rows become a step of the draft; false where the target cannot be edited now.
    bool tryRows(const TargetDraft::Rows& rows, const QString& what);
    [[nodiscard]] TargetDraft& draft() const { return *m_draft; }
    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QString problem() const;  ///< what is shown beneath the table
    [[nodiscard]] int wantedHeight() const; ///< in pixels, to show every row

signals:
    void draftChanged(); ///< the draft, or whether there is one
    void rowPicked(int row);
    void saved(const QString& sentence);
    void noted(const QString& sentence); ///< about a step that was made

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void connectActions();
    QWidget* makeButtons();
    void refresh(int place);
    void readLines();
    void enableActions();
    void insertRow();
    void moveRow(int by);
    void save();
    void pasteStack();
    void takeFound(); ///< what the strip found becomes a step of the draft
    void tell(const QString& sentence);
    void keepDraft();
    [[nodiscard]] std::optional<TargetDraft::Rows> keptDraft(); ///< what an earlier window left unsaved
    [[nodiscard]] QString topic() const;
    [[nodiscard]] planner::DiscRow newRow() const;

    ShopSession& m_session;
    const DeskActions& m_actions;
    AppSettings& m_settings;
    TargetDraft* m_draft;
    StackTableModel* m_model;
    QTableView* m_table;
    QLabel* m_state;
    QLabel* m_problem;
    QString m_unsaved_why;       ///< what kept m_unsaved from being saved; empty: nothing did
    TargetDraft::Rows m_unsaved; ///< as long as these stand there, that is told
    bool m_active = false;
    bool m_makes_a_stack = true; ///< what is edited does
    std::optional<inventory::Job> m_job;
    std::vector<StackLine> m_job_lines; ///< of the target as saved, with what stands in for it
    bool m_editable = false;
};

} // namespace shimledger::desk
