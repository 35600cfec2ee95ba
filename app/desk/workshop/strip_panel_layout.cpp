// SPDX-License-Identifier: GPL-3.0-or-later
// What stands where on the strip sheet.
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/row_menu.h"
#include "app/desk/table_manners.h"
#include "app/desk/workshop/bench_type.h"
#include "app/desk/workshop/caution_band.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/services/cautions.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

void StripPanel::layOut() {
    m_leg->setAccessibleName(tr("Leg"));
    m_entry->setMinimumHeight(48);
    m_entry->setAccessibleName(tr("Discs as measured, from the piston face"));
    tellWhatIsTyped();
    m_entry->installEventFilter(this);
    m_problem->setWordWrap(true);
    m_problem->setTextFormat(Qt::PlainText);
    m_problem->setAccessibleName(tr("What is wrong with the row"));
    m_table->setHorizontalHeaderLabels({tr("Row"), tr("Discs"), tr("OD (mm)"), tr("Readings (mm)"),
                                        tr("Part"), tr("Mean (mm)"), tr("Goes back to"), tr("Remark")});
    m_table->setAccessibleName(tr("Rows of the strip sheet, from the piston face"));
    dressTable(*m_table);
    giveRowMenu(*m_table, {m_actions[ActionId::strip_write], m_actions[ActionId::strip_next_leg],
                           m_actions[ActionId::strip_put_away], m_actions[ActionId::new_part]});
    stretchColumn(*m_table, remark, 90);
    m_table->installEventFilter(this);
    m_sides->setReadOnly(true);
    m_sides->setTabChangesFocus(true);
    m_sides->setAccessibleName(tr("How the legs differ, and what goes back to the drawers"));

    auto* top = new QHBoxLayout;
    auto* caption = new QLabel(tr("&Leg"));
    caption->setBuddy(m_leg);
    top->addWidget(caption);
    top->addWidget(m_leg);
    top->addWidget(m_entry, 1);
    auto* columns = new QHBoxLayout;
    columns->addWidget(m_table, 5);
    columns->addWidget(m_sides, 2);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_mind);
    layout->addLayout(top);
    layout->addWidget(m_problem);
    layout->addLayout(columns, 1);
    layout->addWidget(m_strip);
    QHBoxLayout* buttons = buttonRow(
        {ActionId::strip_next_leg, ActionId::strip_write, ActionId::strip_put_away, ActionId::new_part});
    m_state->setWordWrap(true);
    buttons->insertWidget(buttons->count() - 1, m_state, 1);
    layout->addLayout(buttons);
    // Pressure and springs, and the eyes: what goes before the first nut is undone.
    QStringList opening;
    for (std::size_t i = 0; i < std::min<std::size_t>(2, services::workCautions().size()); ++i) {
        opening << textOf(services::workCautions()[i]);
    }
    m_mind->tell(opening.join(QLatin1Char(' ')));
    setType();
}

void StripPanel::tellWhatIsTyped() {
    m_entry->setPlaceholderText(tr("count  OD  readings, such as %1; > F07 names a drawer; !1 bent if one is "
                                   "scrap; Return takes the row")
                                    .arg(sizeUnit() == SizeUnit::inches
                                             ? tr("4 0.94 0.0058 0.0059, in inches")
                                             : tr("4 23.9 0.148 0.150")));
}

/// Also after the text size was changed in the settings.
void StripPanel::setType() {
    setFont(benchFont(1.25));
    m_entry->setFont(benchFont(1.7));
    m_table->horizontalHeader()->setFont(benchFont(1.1));
    m_table->resizeColumnsToContents();
}

} // namespace shimledger::desk
