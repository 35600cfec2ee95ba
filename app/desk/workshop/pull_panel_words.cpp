// SPDX-License-Identifier: GPL-3.0-or-later
// What the pull says: the next drawer, what it is for, and the list of all lines.
#include "app/desk/counted.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/state_mark.h"
#include "app/desk/workshop/build_words.h"
#include "app/desk/workshop/pull_panel.h"
#include "inventory/part_catalogue.h"

#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QProgressBar>

namespace shimledger::desk {

QString PullPanel::whatText(const services::PickLine& line) {
    const QString text = line.unit == "piece"
                             ? tr("%1 x %2").arg(line.quantity).arg(textOf(line.what))
                             : tr("%1 %2 of %3").arg(line.quantity).arg(textOf(line.unit), textOf(line.what));
    return line.used ? text + tr(", used") : text;
}

QString PullPanel::lineText(const OpenLine& open) {
    const QString text = tr("%1: %2").arg(textOf(open.line.bin), whatText(open.line));
    return open.valve.isEmpty() ? text : tr("%1, for %2").arg(text, open.valve);
}

void PullPanel::refresh() {
    fillList();
    enableActions();
    const bool some = !m_steps.empty();
    m_scan->setEnabled(!m_open.empty());
    m_scan->setVisible(some || !m_open.empty()); // else there is nothing to scan for
    m_progress->setVisible(!m_open.empty());
    m_progress->setRange(0, static_cast<int>(m_open.size() + m_steps.size()));
    m_progress->setValue(static_cast<int>(m_steps.size()));
    if (!m_open.empty()) {
        tellNext();
        return;
    }
    m_caption->clear();
    m_then->clear();
    m_bin->setText(some ? QString(QChar(0x2713)) : QString());
    m_what->setText(!m_job ? tr("No job is at the bench.")
                    : some ? tr("Everything is pulled.")
                           : tr("Nothing is reserved for %1.").arg(textOf(*m_job)));
    m_for->setText(some    ? tr("The build sheet has both stacks in the order in which they go together.")
                   : m_job ? tr("A stack is accepted and reserved on the jobs page first (Ctrl+1).")
                           : QString());
}

void PullPanel::tellNext() {
    const OpenLine& next = m_open.front();
    m_caption->setText(
        tr("Next drawer, %1")
            .arg(counted(static_cast<qint64>(m_open.size()), tr("the last line"), tr("%1 lines to go"))));
    m_bin->setText(textOf(next.line.bin));
    m_what->setText(whatText(next.line));
    m_for->setText(purposeOf(next));
    m_then->setText(m_open.size() > 1 ? tr("Then %1").arg(lineText(m_open[1])) : QString());
}

/// "for JOB-1002, row 5 of the stack; leg 1: 1, leg 2: 1".
QString PullPanel::purposeOf(const OpenLine& open) const {
    const services::PickLine& line = open.line;
    QStringList purpose{tr("for %1").arg(textOf(open.job))};
    const auto part = line.shim ? inventory::PartCatalogue(m_session.shop()).find(line.part) : std::nullopt;
    QList<int> places;
    for (std::size_t row = 0; part && row < open.rows.size(); ++row) {
        if (part->od == open.rows[row].row.od && part->thickness == open.rows[row].row.thickness)
            places << static_cast<int>(row);
    }
    if (!places.isEmpty()) purpose << tr("%1 of the stack").arg(rowsText(places));
    for (std::size_t leg = 0; leg < open.by_leg.size(); ++leg) {
        if (open.by_leg[leg]) purpose << tr("leg %1: %2").arg(leg + 1).arg(*open.by_leg[leg]);
    }
    if (!line.replaces.empty()) {
        purpose << tr("in place of %1").arg(textOf(line.replaces));
    }
    if (line.measured) {
        purpose << tr("they measure %1 mm").arg(textOf(line.measured->text(3)));
    }
    return purpose.join(QStringLiteral(", "));
}

QString PullPanel::purpose() const {
    return m_for->text();
}

void PullPanel::fillList() {
    m_list->clear();
    const auto add = [this](const QString& text, StateMark mark) {
        m_list->addItem(new QListWidgetItem(stateMarkIcon(mark, palette()), text));
    };
    for (const Step& step : m_steps) {
        add(tr("%1, %2").arg(step.text, step.outcome), step.pulled ? StateMark::good : StateMark::missing);
    }
    const int next = m_list->count();
    for (const OpenLine& line : m_open) {
        add(lineText(line), StateMark::unknown);
    }
    if (next < m_list->count()) {
        QFont bold = m_list->font();
        bold.setBold(true);
        m_list->item(next)->setFont(bold);
        m_list->item(next)->setText(QString(QChar(0x25B6)) + QLatin1Char(' ') + m_list->item(next)->text());
        m_list->scrollToItem(m_list->item(next), QAbstractItemView::PositionAtCenter);
    }
}

} // namespace shimledger::desk
