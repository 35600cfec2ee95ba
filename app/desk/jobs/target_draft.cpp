// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/target_draft.h"

#include <QUndoCommand>

#include <utility>

namespace shimledger::desk {

/// A step holds both ends; stacks are short, and no step can then go wrong on its way back.
class DraftStep : public QUndoCommand {
public:
    DraftStep(TargetDraft& draft, TargetDraft::Rows after, const QString& what, int place)
        : QUndoCommand(what), m_draft(draft), m_before(draft.m_rows), m_after(std::move(after)),
          m_place(place) {}

    void undo() override { m_draft.take(m_before, m_place); }
    void redo() override { m_draft.take(m_after, m_place); }

private:
    TargetDraft& m_draft;
    TargetDraft::Rows m_before;
    TargetDraft::Rows m_after;
    int m_place;
};

TargetDraft::TargetDraft(QObject* parent) : QObject(parent) {}

void TargetDraft::start(Rows saved, const std::optional<Rows>& draft) {
    m_preview.reset();
    m_saved = std::move(saved);
    m_rows = m_saved;
    m_history.clear();
    if (draft && *draft != m_saved) {
        m_history.push(new DraftStep(*this, *draft, tr("earlier edits"), -1));
    } else {
        emit changed(-1);
    }
}

void TargetDraft::setSaved(Rows saved) {
    m_saved = std::move(saved);
    emit changed(-1);
}

void TargetDraft::insertRow(int place, const planner::DiscRow& row) {
    Rows after = m_rows;
    after.insert(after.begin() + place, row);
    push(std::move(after), tr("insert row %1").arg(place + 1), place);
}

void TargetDraft::removeRow(int place) {
    Rows after = m_rows;
    after.erase(after.begin() + place);
    push(std::move(after), tr("delete row %1").arg(place + 1), place);
}

void TargetDraft::moveRow(int from, int to) {
    Rows after = m_rows;
    const planner::DiscRow row = after.at(static_cast<std::size_t>(from));
    after.erase(after.begin() + from);
    after.insert(after.begin() + to, row);
    push(std::move(after), tr("move row %1").arg(from + 1), to);
}

void TargetDraft::setRow(int place, const planner::DiscRow& row) {
    Rows after = m_rows;
    after.at(static_cast<std::size_t>(place)) = row;
    push(std::move(after), tr("change row %1").arg(place + 1), place);
}

void TargetDraft::setRows(Rows rows, const QString& what) {
    push(std::move(rows), what, -1);
}

void TargetDraft::preview(std::optional<Rows> rows) {
    if (m_preview == rows) {
        return;
    }
    m_preview = std::move(rows);
    emit changed(-1);
}

void TargetDraft::push(Rows rows, const QString& what, int place) {
    if (rows == m_rows) {
        preview(std::nullopt);
        return;
    }
    m_history.push(new DraftStep(*this, std::move(rows), what, place));
}

void TargetDraft::take(const Rows& rows, int place) {
    m_preview.reset();
    m_rows = rows;
    emit changed(place);
}

} // namespace shimledger::desk
