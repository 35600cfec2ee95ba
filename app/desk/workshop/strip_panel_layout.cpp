// What stands where on the strip sheet.
#include "app/desk/message_strip.h"
#include "app/desk/table_manners.h"
#include "app/desk/workshop/strip_panel.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QTableWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

void StripPanel::layOut() {
    m_leg->setAccessibleName(tr("Leg"));
    m_entry->setMinimumHeight(48);
    m_entry->setAccessibleName(tr("Discs as measured, from the piston face"));
    m_entry->setPlaceholderText(
        tr("count  OD  readings, such as 4 23.9 0.148 0.150; !1 bent for scrap; Return takes the row"));
    m_entry->installEventFilter(this);
    m_problem->setWordWrap(true);
    m_problem->setTextFormat(Qt::PlainText);
    m_problem->setAccessibleName(tr("What is wrong with the row"));
    m_table->setHorizontalHeaderLabels(
        {tr("Typed"), tr("Is"), tr("Mean (mm)"), tr("Goes back to"), tr("Remark")});
    m_table->setAccessibleName(tr("Rows of the strip sheet, from the piston face"));
    dressTable(*m_table);
    m_table->installEventFilter(this);
    m_sides->setReadOnly(true);
    m_sides->setTabChangesFocus(true);
    m_sides->setAccessibleName(tr("How the legs differ, and what goes back to the drawers"));

    auto* top = new QHBoxLayout;
    auto* caption = new QLabel(tr("Le&g"));
    caption->setBuddy(m_leg);
    top->addWidget(caption);
    top->addWidget(m_leg);
    top->addWidget(m_entry, 1);
    auto* columns = new QHBoxLayout;
    columns->addWidget(m_table, 5);
    columns->addWidget(m_sides, 2);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(top);
    layout->addWidget(m_problem);
    layout->addLayout(columns, 1);
    layout->addLayout(buttonRow({ActionId::strip_next_leg, ActionId::strip_write, ActionId::strip_put_away}));
}

} // namespace shimledger::desk
