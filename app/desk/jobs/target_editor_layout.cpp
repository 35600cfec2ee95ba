// SPDX-License-Identifier: GPL-3.0-or-later
// How the editor of a target is laid out and wired up; what it does is in target_editor.cpp.
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/jobs/typing_delegate.h"
#include "app/desk/row_menu.h"
#include "app/desk/sentence_label.h"
#include "app/desk/table_manners.h"
#include "app/desk/wrapping_layout.h"
#include "planner/units/input_error.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QScrollBar>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

TargetEditor::TargetEditor(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                           QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_settings(settings),
      m_draft(new TargetDraft(this)), m_model(new StackTableModel(this)), m_table(new QTableView),
      m_state(new SentenceLabel), m_problem(new SentenceLabel) {
    auto* title = new QLabel(tr("Target stack, from the piston face to the clamp"));
    title->setBuddy(m_table);
    m_table->setModel(m_model);
    m_table->setAccessibleName(title->text());
    dressTable(*m_table);
    giveRowMenu(*m_table,
                {actions[ActionId::insert_row], actions[ActionId::delete_row], actions[ActionId::row_up],
                 actions[ActionId::row_down], nullptr, actions[ActionId::undo_edit],
                 actions[ActionId::redo_edit], nullptr, actions[ActionId::save_target],
                 actions[ActionId::discard_target], nullptr, actions[ActionId::new_part]});
    m_table->setSelectionBehavior(QAbstractItemView::SelectItems); // which cell is typed into must be seen
    m_table->setEditTriggers(QAbstractItemView::AnyKeyPressed | QAbstractItemView::EditKeyPressed |
                             QAbstractItemView::DoubleClicked);
    auto* delegate = new TypingDelegate(m_table);
    m_table->setItemDelegate(delegate);
    m_table->installEventFilter(this);
    m_problem->setAccessibleName(tr("What is wrong with the edited stack"));
    m_problem->hide();
    auto* heading = new QHBoxLayout;
    title->setSizePolicy(QSizePolicy::Ignored,
                         QSizePolicy::Preferred); // gives way to the other, with large text
    heading->addWidget(title, 1);
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

    guarded(m_draft, &TargetDraft::changed, this, &TargetEditor::refresh);
    m_actions.histories().addStack(&m_draft->history());
    guarded(m_model, &StackTableModel::rowTyped, m_draft, &TargetDraft::setRow);
    guarded(m_model, &StackTableModel::typingRefused, this, &TargetEditor::tell);
    guarded(delegate, &TypingDelegate::typed, this, [this](const QModelIndex& index, const QString& text) {
        try {
            TargetDraft::Rows rows = m_draft->rows();
            rows.at(static_cast<std::size_t>(index.row())) = m_model->typedRow(index, text);
            m_draft->preview(std::move(rows));
        } catch (const InputError&) {
            m_draft->preview(std::nullopt); // half a number: the next key may complete it
        }
    });
    guarded(delegate, &QAbstractItemDelegate::closeEditor, this, [this] { m_draft->preview(std::nullopt); });
    guarded(m_table->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& current) {
                emit rowPicked(current.row());
                enableActions();
            });
}

int TargetEditor::wantedHeight() const {
    const int rows =
        heightOfRows(*m_table, m_model->rowCount()) + m_table->horizontalScrollBar()->sizeHint().height();
    const int whole =
        layout()->hasHeightForWidth() ? layout()->heightForWidth(width()) : layout()->sizeHint().height();
    return whole - m_table->sizeHint().height() + rows;
}

QWidget* TargetEditor::makeButtons() {
    auto* row = new QWidget;
    auto* layout = new WrappingLayout(4, row);
    const auto add = [&](ActionId id) {
        QPushButton* button = m_actions.button(id);
        // Nine buttons share a narrow column, so they are as wide as their words.
        button->setMinimumWidth(button->fontMetrics().horizontalAdvance(button->text()) + 8);
        layout->addWidget(button);
    };
    for (const ActionId id : {ActionId::insert_row, ActionId::delete_row, ActionId::row_up,
                              ActionId::row_down, ActionId::undo_edit, ActionId::redo_edit}) {
        add(id);
    }
    add(ActionId::target_as_found);
    add(ActionId::discard_target);
    add(ActionId::save_target);
    return row;
}

void TargetEditor::connectActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        guarded(m_actions[id], &QAction::triggered, this, slot);
    };
    on(ActionId::insert_row, [this] { insertRow(); });
    on(ActionId::delete_row, [this] { m_draft->removeRow(m_table->currentIndex().row()); });
    on(ActionId::row_up, [this] { moveRow(-1); });
    on(ActionId::row_down, [this] { moveRow(1); });
    on(ActionId::discard_target, [this] { m_draft->setRows(m_draft->saved(), tr("put back")); });
    on(ActionId::save_target, [this] { save(); });
    on(ActionId::target_as_found, [this] { takeFound(); });
    // Insert and Delete mean rows only while the table has the focus.
    for (const ActionId id :
         {ActionId::insert_row, ActionId::delete_row, ActionId::row_up, ActionId::row_down}) {
        m_actions[id]->setShortcutContext(Qt::WidgetWithChildrenShortcut);
        m_table->addAction(m_actions[id]);
    }
}

} // namespace shimledger::desk
