// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/target_editor.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/found_stack.h"
#include "app/services/job_intake.h"
#include "app/services/stock_to_request.h"
#include "app/services/typed_stack.h"
#include "inventory/inventory_error.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "planner/stack/stack_text.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QKeyEvent>
#include <QLabel>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

namespace {

/// Throws InputError on what is no stack, and on what a job's book would not keep.
TargetDraft::Rows keepableRows(const QString& stack_text) {
    return services::plannerRows(services::bookRows(stack_text.toStdString()));
}

} // namespace

QString TargetEditor::topic() const {
    return m_job ? QStringLiteral("target/") + textOf(m_job->code) : QString();
}

QString TargetEditor::problem() const {
    return m_problem->isHidden() ? QString() : m_problem->text();
}

void TargetEditor::setActive(bool active) {
    m_active = active;
    enableActions();
}

void TargetEditor::show(const JobView* view) {
    const bool same_job = view != nullptr && m_job && m_job->code == view->line.job.code;
    if (!same_job) m_unsaved_why.clear();
    m_job = view != nullptr ? std::optional(view->line.job) : std::nullopt;
    m_job_lines = view != nullptr ? view->rows : std::vector<StackLine>();
    m_editable = view != nullptr && !view->ended() && view->reservations == 0;
    m_model->setEditable(m_editable);
    m_model->setSizeUnit(m_settings.choices().size_unit);
    TargetDraft::Rows saved;
    for (const StackLine& line : m_job_lines) {
        saved.push_back(line.row);
    }
    if (!same_job || (!m_draft->edited() && saved != m_draft->saved())) {
        m_table->setCurrentIndex({});
        m_draft->start(std::move(saved), keptDraft());
    } else {
        m_draft->setSaved(std::move(saved));
    }
}

std::optional<TargetDraft::Rows> TargetEditor::keptDraft() {
    const QString kept = m_job && m_editable ? m_settings.drafts().text(topic()) : QString();
    if (kept.isEmpty()) {
        return std::nullopt;
    }
    try {
        return keepableRows(kept);
    } catch (const InputError&) { // somebody has been at the file: what cannot be read is no draft
        m_settings.drafts().keep(topic(), {});
        return std::nullopt;
    }
}

void TargetEditor::refresh(int place) {
    m_problem->hide();
    m_makes_a_stack = true;
    if (m_job && m_draft->edited()) {
        try {
            (void)services::plannerStack(*m_job, services::bookRows(m_draft->rows()));
            // The shop is read again all the time: a sentence on what failed stays until something else is
            // done.
            if (!m_unsaved_why.isEmpty() && m_draft->rows() == m_unsaved) tell(m_unsaved_why);
        } catch (const InputError& problem) {
            tell(QString::fromUtf8(problem.what()));
            m_makes_a_stack = false;
        }
    }
    emit draftChanged(); // the curves are on their way while the drawers are looked up
    readLines();
    if (place >= 0 && m_model->rowCount() > 0) {
        const int column = std::max<int>(StackTableModel::count, m_table->currentIndex().column());
        m_table->setCurrentIndex(m_model->index(std::min(place, m_model->rowCount() - 1), column));
    }
    const bool edited = m_draft->edited();
    m_state->setText(edited ? QString(QChar(0x270E)) + tr(" edited, not saved") : QString());
    keepDraft();
    enableActions();
}

void TargetEditor::readLines() {
    std::vector<StackLine> lines = m_job_lines;
    if (m_job && m_draft->edited()) {
        try {
            lines = readDraftLines(m_session.shop(), *m_job, m_draft->rows());
        } catch (const inventory::ShopFileFault& fault) {
            tell(QString::fromUtf8(fault.what()));
        }
    }
    m_model->setLines(std::move(lines));
    fitTableHeight(*m_table, 3, 11);
    for (int column = 0; column < StackTableModel::bins; ++column) {
        m_table->resizeColumnToContents(column);
    }
}

void TargetEditor::keepDraft() {
    if (!m_job || !m_editable) {
        return;
    }
    const bool worth = m_draft->edited() && !m_draft->rows().empty();
    m_settings.drafts().keep(topic(), worth ? textOf(planner::stackText(m_draft->rows(), "; ")) : QString());
}

std::optional<BenchInput> TargetEditor::draftInput() const {
    if (!m_job || !m_draft->edited()) {
        return std::nullopt;
    }
    try {
        const planner::StackSpec stack = services::plannerStack(*m_job, services::bookRows(m_draft->rows()));
        return BenchInput{{tr("Target as edited"), stack, {}, {}, {}}, {}};
    } catch (const InputError&) {
        return std::nullopt; // told beneath the table
    }
}

bool TargetEditor::tryRows(const TargetDraft::Rows& rows, const QString& what) {
    if (!m_editable) return false;
    m_draft->setRows(rows, what);
    return true;
}

std::vector<int> TargetEditor::savedRowsInDraft() const {
    std::vector<int> places;
    if (!m_draft->edited()) {
        return places;
    }
    auto next = m_draft->rows().begin();
    for (const planner::DiscRow& row : m_draft->saved()) {
        const auto same = std::find(next, m_draft->rows().end(), row);
        const bool there = same != m_draft->rows().end();
        places.push_back(there ? static_cast<int>(same - m_draft->rows().begin()) : -1);
        if (there) next = same + 1;
    }
    return places;
}

planner::DiscRow TargetEditor::newRow() const {
    const int row = m_table->currentIndex().row();
    if (row >= 0 && row < static_cast<int>(m_draft->rows().size())) {
        return m_draft->rows()[static_cast<std::size_t>(row)];
    }
    if (!m_draft->rows().empty()) {
        return m_draft->rows().back();
    }
    // The first disc of a stack covers the ports.
    const Length margin = Length::fromMicrometres(2000);
    return {1, m_job->valve.port_outer_diameter + margin, Length::fromMicrometres(150), {}, {}};
}

void TargetEditor::insertRow() {
    if (!m_job) {
        return;
    }
    const int rows = static_cast<int>(m_draft->rows().size());
    const int row = m_table->currentIndex().row();
    planner::DiscRow fresh = newRow();
    fresh.count = 1;
    m_draft->insertRow(row < 0 ? rows : std::min(row + 1, rows), fresh);
    m_table->setFocus(Qt::OtherFocusReason);
}

void TargetEditor::moveRow(int by) {
    const int from = m_table->currentIndex().row();
    const int to = from + by;
    if (from >= 0 && to >= 0 && to < m_model->rowCount()) {
        m_draft->moveRow(from, to);
    }
}

void TargetEditor::pasteStack() {
    try {
        const std::string pasted = QGuiApplication::clipboard()->text().toStdString();
        const std::string in_mm = services::stackInMillimetres(pasted, m_settings.choices().size_unit);
        m_draft->setRows(keepableRows(textOf(in_mm)), tr("paste a stack"));
    } catch (const InputError& problem) {
        tell(QString::fromUtf8(problem.what()));
    }
}

void TargetEditor::takeFound() {
    if (!m_job) {
        return;
    }
    services::FoundStack found;
    if (const auto problem =
            problemOf([&] { found = services::foundStack(m_session.shop(), m_job->code); })) {
        tell(*problem);
        return;
    }
    m_draft->setRows(services::plannerRows(found.rows), tr("as found"));
    const QString leg = tr("As leg %1 was found").arg(found.leg);
    emit noted(found.legs_differ ? tr("%1; the legs differ, see its strip (Ctrl+6). Not saved yet.").arg(leg)
                                 : tr("%1. Not saved yet (Ctrl+S).").arg(leg));
    m_table->setFocus(Qt::OtherFocusReason);
}

std::optional<inventory::Part> TargetEditor::partWanted() {
    if (!m_job || m_draft->rows().empty()) return std::nullopt;
    const inventory::PartCatalogue catalogue(m_session.shop());
    const auto known = [&](const planner::DiscRow& row) {
        return catalogue.findShim(row.od, m_job->valve.shim_id, row.thickness).has_value();
    };
    const auto& rows = m_draft->rows();
    const int picked = m_table->currentIndex().row();
    auto row = std::find_if_not(rows.begin(), rows.end(), known);
    if (picked >= 0 && picked < static_cast<int>(rows.size()) &&
        (row == rows.end() || !known(rows[static_cast<std::size_t>(picked)])))
        row = rows.begin() + picked;
    inventory::Part wanted;
    wanted.kind = inventory::PartKind::shim;
    wanted.id = m_job->valve.shim_id;
    wanted.od = row->od;
    wanted.thickness = row->thickness;
    return wanted;
}

void TargetEditor::takePart(const QString& /*code*/) {
    readLines(); // the row finds it by its size
    m_table->setFocus(Qt::OtherFocusReason);
}

void TargetEditor::save() {
    if (!m_job || !m_draft->edited()) {
        return;
    }
    if (const auto problem = problemOf([&] {
            const std::vector<inventory::StackRow> rows = services::bookRows(m_draft->rows());
            (void)services::plannerStack(*m_job, rows);
            inventory::JobBook(m_session.shop())
                .setStack(m_job->code, {inventory::StackRole::target, 0, rows});
        })) {
        tell(*problem);
        m_unsaved_why = *problem;
        m_unsaved = m_draft->rows();
        return;
    }
    m_unsaved_why.clear();
    const QString job = textOf(m_job->code);
    m_session.announceChange();
    emit saved(tr("The target of %1 is saved as it was edited.").arg(job));
}

void TargetEditor::tell(const QString& sentence) {
    QPalette ink = palette();
    ink.setColor(QPalette::WindowText, DeskColours::of(palette()).bad);
    m_problem->setPalette(ink);
    m_problem->setText(withProblemMark(sentence));
    m_problem->show();
}

void TargetEditor::enableActions() {
    const int row = m_table->currentIndex().row();
    const int rows = m_model->rowCount();
    const bool meant = m_editable && m_active;
    const auto enable = [&](ActionId id, bool on) { m_actions[id]->setEnabled(on && meant); };
    m_draft->history().setActive(meant);
    enable(ActionId::insert_row, m_job.has_value());
    enable(ActionId::target_as_found, m_job.has_value());
    enable(ActionId::delete_row, row >= 0);
    enable(ActionId::row_up, row > 0);
    enable(ActionId::row_down, row >= 0 && row + 1 < rows);
    enable(ActionId::discard_target, m_draft->edited());
    enable(ActionId::save_target, m_draft->edited() && m_makes_a_stack);
}

/// Return edits the cell; a whole stack is copied and pasted in the trade's notation.
bool TargetEditor::eventFilter(QObject* watched, QEvent* event) {
    if (watched != m_table || event->type() != QEvent::KeyPress) {
        return QWidget::eventFilter(watched, event);
    }
    auto* key = static_cast<QKeyEvent*>(event);
    if (key->matches(QKeySequence::Copy)) {
        QGuiApplication::clipboard()->setText(textOf(planner::stackText(m_draft->rows())));
        return true;
    }
    if (key->matches(QKeySequence::Paste) && m_editable) {
        guard(this, [this] { pasteStack(); });
        return true;
    }
    const bool enter = key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter;
    if (enter && m_table->hasFocus() && m_table->currentIndex().flags().testFlag(Qt::ItemIsEditable)) {
        m_table->edit(m_table->currentIndex());
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

} // namespace shimledger::desk
