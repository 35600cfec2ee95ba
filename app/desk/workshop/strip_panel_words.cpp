// SPDX-License-Identifier: GPL-3.0-or-later
// What the strip sheet says: its rows, how far it is, and what stands beside it.
#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/strip_text.h"
#include "app/services/job_wishes.h"

#include <QLabel>
#include <QPlainTextEdit>
#include <QTableWidget>

namespace shimledger::desk {

void StripPanel::fillRow(int row, const services::StripLine& line) {
    QStringList thicknesses;
    for (const Length& reading : line.row.readings) thicknesses << textOf(reading.text(3));
    QStringList remarks;
    if (line.row.scrap > 0) {
        remarks << tr("%1 scrap: %2").arg(line.row.scrap).arg(textOf(line.row.scrap_reason));
    }
    if (!line.candidates.empty()) remarks << textOf(line.candidates);
    const QStringList cells{QString::number(row + 1),
                            QString::number(line.row.count),
                            textOf(line.row.od.text(1)),
                            thicknesses.join(QStringLiteral("  ")),
                            line.what.empty() ? tr("not identified: %1 makes the part")
                                                    .arg(m_actions[ActionId::new_part]->shortcut().toString(
                                                        QKeySequence::NativeText))
                                              : textOf(line.what),
                            line.mean ? textOf(line.mean->text(3)) : QString(),
                            textOf(line.row.bin),
                            remarks.join(QStringLiteral("; "))};
    for (int column = 0; column < column_count; ++column) {
        auto* item = new QTableWidgetItem(cells[column]);
        item->setToolTip(cells[column]);
        if (column == part) item->setData(Qt::UserRole, line.what.empty());
        const bool figure = column == place || column == count || column == od || column == mean;
        item->setTextAlignment(Qt::AlignVCenter | (figure ? Qt::AlignHCenter : Qt::AlignLeft));
        m_table->setItem(row, column, item);
    }
}

void StripPanel::fillRefused(int row) {
    const QStringList cells{QString::number(row + 1), {}, {}, m_typed.value(row), tr("not understood")};
    for (int column = 0; column < cells.size(); ++column) {
        auto* item = new QTableWidgetItem(cells[column]);
        item->setToolTip(cells[column]);
        m_table->setItem(row, column, item);
    }
}

void StripPanel::showSides() {
    m_sides->clear();
    if (m_job) {
        for (const std::string& wish : services::earlierWishes(m_session.shop(), *m_job))
            m_sides->appendPlainText(textOf(wish));
        m_sides->appendHtml(stripSides(m_session.shop(), *m_job, m_settings.choices().working_lift_mm));
        m_sides->moveCursor(QTextCursor::Start);
    }
}

/// Why there is nothing to write down.
void StripPanel::tellState() {
    const auto rows = static_cast<int>(m_typed.size());
    m_state->setText(
        !m_job      ? tr("No job is at the bench.")
        : rows == 0 ? tr("Leg %1: nothing is typed yet, the disc at the piston face comes first.").arg(leg())
        : m_written
            ? tr("Leg %1: %2, written down.").arg(leg()).arg(counted(rows, tr("1 row"), tr("%1 rows")))
            : tr("Leg %1: %2, not written down yet.")
                  .arg(leg())
                  .arg(counted(rows, tr("1 row"), tr("%1 rows"))));
}

void StripPanel::tell(const QString& sentence) {
    QPalette ink = palette();
    ink.setColor(QPalette::WindowText, DeskColours::of(palette()).bad);
    m_problem->setPalette(ink);
    m_problem->setText(withProblemMark(sentence));
}

} // namespace shimledger::desk
