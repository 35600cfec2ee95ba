// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "planner/stack/stack_spec.h"
#endif

#include <QObject>
#include <QUndoStack>

#include <optional>
#include <vector>

namespace shimledger::desk {

/// A target stack while it is being edited: what the book has, what has been made of it, and every step
/// between to be undone and redone. Rows are not judged here: half an edit may be no stack at all.
class TargetDraft : public QObject {
    Q_OBJECT

public:
    using Rows = std::vector<planner::DiscRow>;

    explicit TargetDraft(QObject* parent = nullptr);

    /// Begins anew with what the book has; `draft`, where there is one, is one step that can be undone.
    void start(Rows saved, const std::optional<Rows>& draft = {});
    /// The book has come to hold `saved`; the draft stays.
    void setSaved(Rows saved);

    [[nodiscard]] const Rows& rows() const { return m_preview ? *m_preview : m_rows; }
    [[nodiscard]] const Rows& saved() const { return m_saved; }
    [[nodiscard]] bool edited() const { return rows() != m_saved; }
    [[nodiscard]] QUndoStack& history() { return m_history; }

    void insertRow(int place, const planner::DiscRow& row); ///< 0 to the number of rows
    void removeRow(int place);
    void moveRow(int from, int to);
    void setRow(int place, const planner::DiscRow& row);
    void setRows(Rows rows, const QString& what); ///< one step; nothing new is no step
    /// Shows rows as though they were set, without making a step of it; none: back to the last step.
    void preview(std::optional<Rows> rows);

signals:
    /// `place`: the row to look at now, -1: none in particular.
    void changed(int place);

private:
    friend class DraftStep;
    void take(const Rows& rows, int place);
    void push(Rows rows, const QString& what, int place);

    Rows m_saved;
    Rows m_rows;
    std::optional<Rows> m_preview;
    QUndoStack m_history;
};

} // namespace shimledger::desk
