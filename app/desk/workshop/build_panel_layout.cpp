// SPDX-License-Identifier: GPL-3.0-or-later
// What stands where on the build sheet.
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/workshop/bench_type.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/caution_band.h"
#include "app/desk/workshop/stack_checklist.h"
#include "app/services/cautions.h"

#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>

namespace shimledger::desk {

namespace {

constexpr int button_height = 60; // gloves

QPlainTextEdit* readOnly(const QString& name) {
    auto* text = new QPlainTextEdit;
    text->setReadOnly(true);
    text->setTabChangesFocus(true);
    text->setAccessibleName(name);
    return text;
}

} // namespace

void BuildPanel::layOut() {
    m_title->setTextFormat(Qt::PlainText);
    m_open = new CautionBand(1.2);
    m_build = new StackChecklist;
    m_build->setAccessibleName(tr("Build stack, piston face first"));
    m_target = new QListWidget;
    m_target->setAccessibleName(tr("Target stack, piston face first"));
    m_target->setAlternatingRowColors(true);
    m_target->setSelectionMode(QAbstractItemView::NoSelection);
    m_consumables = readOnly(tr("Consumables that go in as well"));
    m_cautions = readOnly(tr("Cautions for the build"));
    QStringList cautions;
    for (const std::string& caution : services::workCautions()) {
        cautions << QChar(0x2022) + QStringLiteral(" ") + textOf(caution);
    }
    m_cautions->setPlainText(cautions.join(QLatin1Char('\n')));
    m_heights = new QLabel;
    m_progress = new QLabel;
    m_laid = new QPushButton(tr("Laid (Space)"));
    m_laid->setToolTip(tr("Tick the framed row and go on to the next one (Space)."));
    m_laid->setFocusPolicy(Qt::NoFocus);
    guarded(m_laid, &QPushButton::clicked, m_build, [this] {
        m_build->setFocus(Qt::OtherFocusReason);
        m_build->lay();
    });
    QPushButton* record = m_actions.button(ActionId::build_record);
    for (QPushButton* button : {m_laid, record}) enlarge(*button, button_height);

    auto* side = new QVBoxLayout;
    side->addWidget(new QLabel(tr("Target")));
    side->addWidget(m_target, 3);
    auto* well = new QLabel(tr("Goes in as well (%1 not pulled yet)").arg(QChar(0x25CB)));
    well->setWordWrap(true);
    side->addWidget(well);
    side->addWidget(m_consumables, 3);
    auto* minded = new QVBoxLayout;
    minded->addWidget(new QLabel(tr("Before you build")));
    minded->addWidget(m_cautions, 1);
    auto* columns = new QHBoxLayout;
    columns->addWidget(m_build, 13);
    columns->addLayout(side, 4);
    columns->addLayout(minded, 7);
    auto* buttons = new QHBoxLayout;
    buttons->addWidget(m_laid);
    buttons->addWidget(record);
    auto* figures = new QVBoxLayout;
    figures->addWidget(m_progress);
    figures->addWidget(m_heights);
    buttons->addSpacing(12);
    buttons->addLayout(figures, 1);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_title);
    layout->addWidget(m_open);
    layout->addLayout(columns, 1);
    layout->addWidget(m_strip);
    layout->addLayout(buttons);
    setFocusProxy(m_build);
    setType();
}

/// Also after the text size was changed in the settings.
void BuildPanel::setType() {
    m_target->setFont(benchFont(1.3));
    m_consumables->setFont(benchFont(1.1));
    m_cautions->setFont(benchFont(1.35));
    m_heights->setFont(benchFont(1.2));
    m_progress->setFont(benchFont(1.2));
}

} // namespace shimledger::desk
