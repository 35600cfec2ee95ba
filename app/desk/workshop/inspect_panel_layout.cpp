// SPDX-License-Identifier: GPL-3.0-or-later
// What stands where on the inspection of a job.
#include "app/desk/workshop/inspect_panel.h"

#include "app/desk/message_strip.h"
#include "app/desk/row_menu.h"
#include "app/desk/table_manners.h"
#include "app/desk/workshop/bench_type.h"

#include <QComboBox>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QSpinBox>
#include <QTableWidget>
#include <QVBoxLayout>

namespace shimledger::desk {

void InspectPanel::layOut() {
    m_table->setHorizontalHeaderLabels(
        {tr("Leg"), tr("Part or place"), tr("Found"), tr("Decision"), tr("Reason"), tr("Earlier")});
    m_table->setAccessibleName(tr("What is to be looked at; K keeps, R replaces, D defers"));
    dressTable(*m_table);
    giveRowMenu(*m_table, {m_actions[ActionId::inspect_write], m_actions[ActionId::inspect_kit]});
    m_leg->setSpecialValueText(tr("no leg"));
    m_percent->setRange(-1, 100);
    m_percent->setSpecialValueText(tr("not said"));
    m_percent->setSuffix(tr(" %"));
    for (const auto& [text, state] : {std::pair(tr("not said"), inventory::WearState::notSaid),
                                      {tr("good"), inventory::WearState::good},
                                      {tr("worn"), inventory::WearState::worn},
                                      {tr("damaged"), inventory::WearState::damaged}})
        m_state->addItem(text, static_cast<int>(state));
    for (const auto& [text, decision] : {std::pair(tr("keep"), inventory::WearDecision::keep),
                                         {tr("replace"), inventory::WearDecision::replace},
                                         {tr("defer"), inventory::WearDecision::defer}})
        m_decision->addItem(text, static_cast<int>(decision));
    m_pieces->setRange(1, 1000);
    m_pieces->setSuffix(tr(" x"));
    m_kit->setReadOnly(true);
    m_kit->setTabChangesFocus(true);
    m_kit->setAccessibleName(tr("The kit that the inspection calls for"));

    auto* where = new QHBoxLayout;
    where->addWidget(m_place, 1);
    where->addWidget(new QLabel(tr("Leg")));
    where->addWidget(m_leg);
    auto* found = new QHBoxLayout;
    found->addWidget(new QLabel(tr("Bushing, surface worn through")));
    found->addWidget(m_percent);
    found->addSpacing(24);
    found->addWidget(new QLabel(tr("Other parts")));
    found->addWidget(m_state);
    found->addStretch(1);
    auto* decision = new QHBoxLayout;
    decision->addWidget(m_decision);
    decision->addWidget(m_pieces);
    decision->addWidget(new QLabel(tr("Reason, to replace or to defer")));
    decision->addWidget(m_reason, 1);
    auto* form = new QFormLayout;
    form->addRow(tr("Another place or part"), where);
    form->addRow(tr("Found"), found);
    form->addRow(tr("Decision"), decision);
    form->addRow(tr("Note"), m_note);
    for (const auto& [field, name] : {std::pair<QWidget*, QString>(m_place, tr("Another place or part")),
                                      {m_leg, tr("Leg of the place")},
                                      {m_percent, tr("Worn through, of a bushing's surface")},
                                      {m_state, tr("State")},
                                      {m_decision, tr("Decision")},
                                      {m_pieces, tr("Pieces")},
                                      {m_reason, tr("Reason")},
                                      {m_note, tr("Note")}})
        field->setAccessibleName(name);
    auto* limit =
        new QLabel(tr("K keeps the picked line, R replaces it, D defers it. A bushing is worn out at two "
                      "thirds of its surface (common practice, no source); a limit of the maker's "
                      "comes first."));
    limit->setWordWrap(true);
    auto* columns = new QHBoxLayout;
    columns->addWidget(m_table, 5);
    columns->addWidget(m_kit, 2);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(columns, 1);
    layout->addWidget(m_strip);
    layout->addLayout(form);
    layout->addWidget(limit);
    layout->addLayout(buttonRow({ActionId::inspect_write, ActionId::inspect_kit, ActionId::new_part}));
    setType();
}

/// Also after the text size was changed in the settings.
void InspectPanel::setType() {
    setFont(benchFont(1.25));
    m_table->resizeColumnsToContents();
}

} // namespace shimledger::desk
