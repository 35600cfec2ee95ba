// SPDX-License-Identifier: GPL-3.0-or-later
// What stands where on the manager's page.
#include "app/desk/reorder/reorder_page.h"

#include "app/desk/desk_actions.h"
#include "app/desk/message_strip.h"
#include "app/desk/reorder/course_view.h"
#include "app/desk/reorder/expected_table_model.h"
#include "app/desk/reorder/plan_table_model.h"
#include "app/desk/table_manners.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSplitter>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

void ReorderPage::layOut(DeskActions& actions) {
    // Figures are typed over: any key begins, moving about does not.
    const QAbstractItemView::EditTriggers edit_triggers =
        QAbstractItemView::DoubleClicked | QAbstractItemView::SelectedClicked |
        QAbstractItemView::EditKeyPressed | QAbstractItemView::AnyKeyPressed;
    m_plan_table->setModel(m_plan);
    m_plan_table->setAccessibleName(tr("What to buy"));
    dressTable(*m_plan_table);
    // The reasons take what room there is; where that is little, it is days and codes that are scrolled to.
    constexpr int least_letters = 40;
    stretchColumn(*m_plan_table, PlanTableModel::why,
                  least_letters * m_plan_table->fontMetrics().averageCharWidth());
    m_plan_table->setEditTriggers(edit_triggers);
    m_expected_table->setModel(m_expected);
    m_expected_table->setAccessibleName(tr("On order"));
    dressTable(*m_expected_table);
    m_expected_table->setEditTriggers(edit_triggers);
    m_reason->setAccessibleName(tr("Why the picked line is bought"));
    m_add->setPlaceholderText(tr("Code of a part, for the picked supplier's order"));
    m_add->setAccessibleName(tr("Part to add"));
    auto* add_caption = new QLabel(tr("A&dd a part"));
    add_caption->setBuddy(m_add);

    auto* buttons = new QHBoxLayout;
    buttons->addWidget(actions.button(ActionId::plan_reorder));
    buttons->addWidget(actions.button(ActionId::read_reorder));
    buttons->addWidget(m_mark);
    buttons->addWidget(actions.button(ActionId::export_reorder));
    buttons->addWidget(add_caption);
    buttons->addWidget(m_add, 1);
    auto* top = new QWidget;
    auto* top_layout = new QVBoxLayout(top);
    top_layout->setContentsMargins(0, 0, 0, 0);
    top_layout->addWidget(m_plan_table, 1);
    top_layout->addWidget(m_reason);
    top_layout->addWidget(m_totals);
    top_layout->addLayout(buttons);

    auto* orders = new QWidget;
    auto* orders_layout = new QVBoxLayout(orders);
    orders_layout->setContentsMargins(0, 0, 0, 0);
    m_on_order->setText(tr("On orde&r"));
    m_on_order->setBuddy(m_expected_table);
    orders_layout->addWidget(m_on_order);
    orders_layout->addWidget(m_expected_table, 1);
    auto* receive_row = new QHBoxLayout;
    receive_row->addWidget(actions.button(ActionId::all_came));
    receive_row->addWidget(actions.button(ActionId::receive_delivery));
    receive_row->addStretch(1);
    orders_layout->addLayout(receive_row);

    auto* below = new QSplitter(Qt::Horizontal);
    below->addWidget(m_chart);
    below->addWidget(orders);
    // The chart is read at any width; what came is typed beside its bin.
    below->setStretchFactor(0, 1);
    below->setStretchFactor(1, 1);
    below->setSizes({below->width(), below->width()});
    auto* split = new QSplitter(Qt::Vertical);
    split->addWidget(top);
    split->addWidget(below);
    split->setStretchFactor(0, 3);
    split->setStretchFactor(1, 2);
    m_strip->keepPlace();
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(split, 1);
    layout->addWidget(m_strip);
}

} // namespace shimledger::desk
