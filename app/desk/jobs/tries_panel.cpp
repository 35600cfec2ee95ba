// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/tries_panel.h"

#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/row_menu.h"
#include "app/desk/sentence_label.h"
#include "app/desk/table_manners.h"
#include "app/desk/wrapping_layout.h"

#include <QLineEdit>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include <utility>

namespace shimledger::desk {

TriesPanel::TriesPanel(const DeskActions& actions, QWidget* parent)
    : QWidget(parent), m_table(new QTableWidget(0, column_count)), m_name(new QLineEdit),
      m_empty(new SentenceLabel) {
    m_table->setHorizontalHeaderLabels(
        {tr("Name"), tr("Gives at most"), tr("Wished"), tr("Became"), tr("Made"), tr("Stack")});
    m_table->setAccessibleName(tr("Stacks that were tried, the oldest first"));
    m_table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    dressTable(*m_table);
    stretchColumn(*m_table, wish, 16 * m_table->fontMetrics().averageCharWidth());
    giveRowMenu(*m_table, {actions[ActionId::take_target], actions[ActionId::drop_try]});
    m_empty->setText(tr("Nothing is kept yet. What lies beside the target, a proposal, a step or an edited "
                        "target, can be kept here and compared; the job's target stays as it is."));
    m_name->setPlaceholderText(tr("Name of the next one (else Try 1, Try 2 ...)"));
    m_name->setAccessibleName(tr("Name of the next stack that is kept"));
    m_name->setMaxLength(80);
    auto* buttons = new WrappingLayout;
    for (const ActionId id : {ActionId::keep_try, ActionId::take_target, ActionId::drop_try})
        buttons->addWidget(actions.button(id));
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(6, 6, 6, 6);
    layout->setSpacing(5);
    layout->addWidget(m_empty);
    layout->addWidget(m_table, 1);
    layout->addWidget(m_name);
    layout->addLayout(buttons);
    setFocusProxy(m_table);
    guarded(m_table, &QTableWidget::currentCellChanged, this, [this](int row, int, int before, int) {
        if (row >= 0 && row != before) emit tryPicked();
    });
    guarded(m_name, &QLineEdit::returnPressed, actions[ActionId::keep_try], &QAction::trigger);
    show({});
}

QString TriesPanel::keptText(inventory::TryUse use) {
    switch (use) {
    case inventory::TryUse::base:
        return tr("was the target");
    case inventory::TryUse::target:
        return tr("the target");
    case inventory::TryUse::build:
        return tr("the build");
    default:
        return {};
    }
}

void TriesPanel::show(std::vector<services::TryTold> tries) {
    const QSignalBlocker quiet(m_table);
    m_tries = std::move(tries);
    m_table->setCurrentCell(-1, -1);
    m_table->setRowCount(static_cast<int>(m_tries.size()));
    int row = 0;
    for (const services::TryTold& told : m_tries) {
        const inventory::StackTry& tried = told.tried;
        QString when = textOf(tried.made.date().text());
        if (!tried.made_by.empty()) when += QStringLiteral(", ") + textOf(tried.made_by);
        const QStringList cells{
            textOf(tried.name), textOf(told.given), textOf(told.wish), keptText(tried.kept_as), when,
            textOf(told.stack)};
        for (int column = 0; column < column_count; ++column) {
            auto* item = new QTableWidgetItem(cells[column]);
            item->setToolTip(cells[column]);
            m_table->setItem(row, column, item);
        }
        ++row;
    }
    for (const int column : {name, given, kept, made, stack}) m_table->resizeColumnToContents(column);
    m_empty->setVisible(m_tries.empty());
    m_table->setVisible(!m_tries.empty());
}

const inventory::StackTry* TriesPanel::picked() const {
    const int row = m_table->currentRow();
    return row >= 0 && row < static_cast<int>(m_tries.size()) ? &m_tries[static_cast<std::size_t>(row)].tried
                                                              : nullptr;
}

} // namespace shimledger::desk
