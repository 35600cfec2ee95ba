#include "app/desk/jobs/target_editor.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/typing_delegate.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/stock_to_request.h"
#include "inventory/inventory_error.h"
#include "inventory/job_book.h"
#include "planner/stack/stack_text.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

TargetEditor::TargetEditor(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                           QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_settings(settings),
      m_draft(new TargetDraft(this)), m_model(new StackTableModel(this)), m_table(new QTableView),
      m_state(new QLabel), m_problem(new QLabel) {
    auto* title = new QLabel(tr("Target stack, from the piston face to the clamp"));
    title->setBuddy(m_table);
    m_table->setModel(m_model);
    m_table->setAccessibleName(title->text());
    dressTable(*m_table);
    m_table->setSelectionBehavior(QAbstractItemView::SelectItems); // which cell is typed into must be seen
    m_table->setEditTriggers(QAbstractItemView::AnyKeyPressed | QAbstractItemView::EditKeyPressed |
                             QAbstractItemView::DoubleClicked);
    auto* delegate = new TypingDelegate(m_table);
    m_table->setItemDelegate(delegate);
    m_table->installEventFilter(this);
    for (QLabel* label : {m_state, m_problem}) {
        label->setWordWrap(true);
        label->setTextFormat(Qt::PlainText);
        label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    }
    m_problem->setAccessibleName(tr("What is wrong with the edited stack"));
    m_problem->hide();
    auto* heading = new QHBoxLayout;
    heading->addWidget(title);
    heading->addStretch();
    heading->addWidget(m_state);
    m_state->setWordWrap(false);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(5);
    layout->addLayout(heading);
    layout->addWidget(m_table);
    layout->addWidget(m_problem);
    layout->addWidget(makeButtons());
    connectActions();

    connect(m_draft, &TargetDraft::changed, this, &TargetEditor::refresh);
    // A step counts only after it has been made, and so after changed(). Queued, since the history also tells
    // of its end while this widget is being destroyed.
    connect(&m_draft->history(), &QUndoStack::indexChanged, this, &TargetEditor::enableActions,
            Qt::QueuedConnection);
    connect(m_model, &StackTableModel::rowTyped, m_draft, &TargetDraft::setRow);
    connect(m_model, &StackTableModel::typingRefused, this, &TargetEditor::tell);
    connect(delegate, &TypingDelegate::typed, this, [this](const QModelIndex& index, const QString& text) {
        try {
            TargetDraft::Rows rows = m_draft->rows();
            rows.at(static_cast<std::size_t>(index.row())) = m_model->typedRow(index, text);
            m_draft->preview(std::move(rows));
        } catch (const InputError&) {
            m_draft->preview(std::nullopt); // half a number: the next key may complete it
        }
    });
    connect(delegate, &QAbstractItemDelegate::closeEditor, this, [this] { m_draft->preview(std::nullopt); });
    connect(m_table->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& current) {
                emit rowPicked(current.row());
                enableActions();
            });
}

QWidget* TargetEditor::makeButtons() {
    auto* row = new QWidget;
    auto* layout = new QHBoxLayout(row);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(4);
    const auto add = [&](ActionId id) {
        QPushButton* button = m_actions.button(id);
        // Seven buttons share a narrow column, so they are as wide as their words.
        button->setMinimumWidth(button->fontMetrics().horizontalAdvance(button->text()) + 8);
        layout->addWidget(button);
    };
    for (const ActionId id : {ActionId::insert_row, ActionId::delete_row, ActionId::row_up,
                              ActionId::row_down, ActionId::undo_edit, ActionId::redo_edit}) {
        add(id);
    }
    layout->addStretch();
    add(ActionId::discard_target);
    add(ActionId::save_target);
    return row;
}

void TargetEditor::connectActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        connect(m_actions[id], &QAction::triggered, this, slot);
    };
    on(ActionId::insert_row, [this] { insertRow(); });
    on(ActionId::delete_row, [this] { m_draft->removeRow(m_table->currentIndex().row()); });
    on(ActionId::row_up, [this] { moveRow(-1); });
    on(ActionId::row_down, [this] { moveRow(1); });
    on(ActionId::undo_edit, [this] { m_draft->history().undo(); });
    on(ActionId::redo_edit, [this] { m_draft->history().redo(); });
    on(ActionId::discard_target, [this] { m_draft->setRows(m_draft->saved(), tr("put back")); });
    on(ActionId::save_target, [this] { save(); });
    // Insert and Delete mean rows only while the table has the focus.
    for (const ActionId id :
         {ActionId::insert_row, ActionId::delete_row, ActionId::row_up, ActionId::row_down}) {
        m_actions[id]->setShortcutContext(Qt::WidgetWithChildrenShortcut);
        m_table->addAction(m_actions[id]);
    }
}

QString TargetEditor::topic() const {
    return m_job ? QStringLiteral("target/") + textOf(m_job->code) : QString();
}

QString TargetEditor::problem() const {
    return m_problem->isHidden() ? QString() : m_problem->text();
}

void TargetEditor::show(const JobView* view) {
    const bool same_job = view != nullptr && m_job && m_job->code == view->line.job.code;
    m_job = view != nullptr ? std::optional(view->line.job) : std::nullopt;
    m_job_lines = view != nullptr ? view->rows : std::vector<StackLine>();
    m_editable = view != nullptr && !view->ended() && view->reservations == 0;
    m_model->setEditable(m_editable);
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
        return planner::parseStackText(kept.toStdString());
    } catch (const InputError&) { // somebody has been at the file: what cannot be read is no draft
        m_settings.drafts().keep(topic(), {});
        return std::nullopt;
    }
}

void TargetEditor::refresh(int place) {
    m_problem->hide();
    if (m_job && m_draft->edited()) {
        try {
            (void)services::plannerStack(*m_job, bookRows(m_draft->rows()));
        } catch (const InputError& problem) {
            tell(QString::fromUtf8(problem.what()));
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
    for (int column = 0; column < StackTableModel::state; ++column) {
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
        const planner::StackSpec stack = services::plannerStack(*m_job, bookRows(m_draft->rows()));
        return BenchInput{{tr("Target as edited"), stack, {}, {}, {}}, {}};
    } catch (const InputError&) {
        return std::nullopt; // told beneath the table
    }
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
        m_draft->setRows(planner::parseStackText(QGuiApplication::clipboard()->text().toStdString()),
                         tr("paste a stack"));
    } catch (const InputError& problem) {
        tell(QString::fromUtf8(problem.what()));
    }
}

void TargetEditor::save() {
    if (!m_job || !m_draft->edited()) {
        return;
    }
    if (const auto problem = problemOf([&] {
            (void)services::plannerStack(*m_job, bookRows(m_draft->rows()));
            inventory::JobBook(m_session.shop())
                .setStack(m_job->code, {inventory::StackRole::target, 0, bookRows(m_draft->rows())});
        })) {
        tell(*problem);
        return;
    }
    const QString job = textOf(m_job->code);
    m_session.announceChange();
    emit saved(tr("The target of %1 is saved as it was edited.").arg(job));
}

void TargetEditor::tell(const QString& sentence) {
    QPalette ink = palette();
    ink.setColor(QPalette::WindowText, DeskColours::of(palette()).bad);
    m_problem->setPalette(ink);
    m_problem->setText(QString(QChar(0x25B2)) + QLatin1Char(' ') + sentence);
    m_problem->show();
}

void TargetEditor::enableActions() {
    const int row = m_table->currentIndex().row();
    const int rows = m_model->rowCount();
    const auto enable = [this](ActionId id, bool on) { m_actions[id]->setEnabled(on && m_editable); };
    enable(ActionId::insert_row, m_job.has_value());
    enable(ActionId::delete_row, row >= 0);
    enable(ActionId::row_up, row > 0);
    enable(ActionId::row_down, row >= 0 && row + 1 < rows);
    enable(ActionId::undo_edit, m_draft->history().canUndo());
    enable(ActionId::redo_edit, m_draft->history().canRedo());
    enable(ActionId::discard_target, m_draft->edited());
    enable(ActionId::save_target, m_draft->edited() && problem().isEmpty());
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
        pasteStack();
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
