// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/bench_step.h"

#include "app/desk/message_strip.h"
#include "app/desk/workshop/bench_type.h"

#include <QFontMetrics>
#include <QHBoxLayout>
#include <QPushButton>

namespace shimledger::desk {

namespace {

constexpr int button_height = 48, side_room = 18;

} // namespace

BenchStep::BenchStep(ShopSession& session, const DeskActions& actions, QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_strip(new MessageStrip) {}

void BenchStep::setActive(bool active) {
    m_active = active;
    enableActions();
}

void BenchStep::enlarge(QPushButton& button, int height) {
    const QFont type = benchFont(1.25);
    button.setFont(type);
    button.setMinimumHeight(height);
    QString words = button.text();
    button.setMinimumWidth(QFontMetrics(type).horizontalAdvance(words.remove(QLatin1Char('&'))) +
                           2 * side_room);
}

QHBoxLayout* BenchStep::buttonRow(std::initializer_list<ActionId> ids) const {
    auto* row = new QHBoxLayout;
    for (const ActionId id : ids) {
        QPushButton* button = m_actions.button(id);
        enlarge(*button, button_height);
        row->addWidget(button);
    }
    row->addStretch(1);
    return row;
}

void BenchStep::showProblem(const QString& sentence) const {
    m_strip->showMessage(MessageStrip::Kind::problem, sentence);
}

void BenchStep::showDone(const QString& sentence) const {
    m_strip->showMessage(MessageStrip::Kind::done, sentence);
}

} // namespace shimledger::desk
