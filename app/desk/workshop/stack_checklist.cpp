// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/stack_checklist.h"

#include "app/desk/guard.h"
#include "app/desk/workshop/bench_type.h"
#include "app/desk/workshop/tick_delegate.h"

#include <QEvent>
#include <QFontInfo>
#include <QHeaderView>
#include <QKeyEvent>
#include <QSignalBlocker>

#include <algorithm>

namespace shimledger::desk {

namespace {

enum Column { number, discs, first_leg };

constexpr double largest = 2.0, smallest = 1.3, remarks = 1.1; ///< of the window's type
constexpr int row_padding = 8;
constexpr int cell_padding = 14;
constexpr int mark_room = 36; // before a remark, and around it

} // namespace

StackChecklist::StackChecklist(QWidget* parent) : QTableWidget(parent) {
    setItemDelegate(new TickDelegate(this));
    setSelectionMode(QAbstractItemView::NoSelection);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setTabKeyNavigation(false);
    setAlternatingRowColors(true);
    setShowGrid(false);
    setCornerButtonEnabled(false);
    setWordWrap(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    verticalHeader()->hide();
    verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    horizontalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    horizontalHeader()->setHighlightSections(false);
    horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    horizontalHeader()->setStretchLastSection(true);
    guarded(this, &QTableWidget::itemChanged, this, [this](const QTableWidgetItem* item) {
        if (item->flags().testFlag(Qt::ItemIsUserCheckable)) emit ticksChanged();
    });
    guarded(this, &QTableWidget::cellClicked, this, [this](int row, int column) {
        if (column >= first_leg && column < remarkColumn()) {
            m_leg = column - first_leg + 1; // its box has taken the press
        } else {
            setCurrentCell(row, first_leg + m_leg - 1);
            toggle(row, m_leg);
        }
    });
}

int StackChecklist::remarkColumn() const {
    return first_leg + m_legs;
}

void StackChecklist::setStack(const QList<Row>& rows, int legs, int first_of_component) {
    const int row_before = std::max(0, currentRow());
    {
        const QSignalBlocker quiet(this);
        m_leg = std::clamp(m_leg, 1, std::max(1, legs));
        m_legs = legs;
        m_first_of_component = first_of_component;
        setRowCount(0);
        setColumnCount(remarkColumn() + 1);
        QStringList heads{tr("Row"), tr("Discs")};
        for (int leg = 1; leg <= legs; ++leg) heads << tr("Leg %1").arg(legNumber(leg));
        setHorizontalHeaderLabels(heads << tr("Remark"));
        setRowCount(static_cast<int>(rows.size()));
        for (int row = 0; row < rowCount(); ++row) {
            const auto plain = [&](int column, const QString& text) {
                auto* item = new QTableWidgetItem(text);
                item->setFlags(Qt::ItemIsEnabled);
                setItem(row, column, item);
                return item;
            };
            plain(number, QString::number(row + 1))->setTextAlignment(Qt::AlignCenter);
            plain(discs, rows[row].discs);
            for (int leg = 1; leg <= legs; ++leg) {
                auto* box = plain(first_leg + leg - 1, {});
                box->setFlags(Qt::ItemIsEnabled | Qt::ItemIsUserCheckable);
                box->setCheckState(Qt::Unchecked);
                box->setData(Qt::AccessibleTextRole,
                             tr("row %1, %2, leg %3").arg(row + 1).arg(rows[row].discs).arg(legNumber(leg)));
            }
            auto* remark = plain(remarkColumn(), rows[row].remark);
            remark->setToolTip(rows[row].remark);
            if (rows[row].mark != StateMark::none) remark->setIcon(stateMarkIcon(rows[row].mark, palette()));
        }
    }
    if (rowCount() > 0) setCurrentCell(std::min(row_before, rowCount() - 1), first_leg + m_leg - 1);
    fitType();
}

void StackChecklist::setTicks(const QStringList& ticks) {
    const QSignalBlocker quiet(this);
    for (int leg = 1; leg <= std::min<int>(m_legs, static_cast<int>(ticks.size())); ++leg) {
        for (int row = 0; row < std::min<int>(rowCount(), static_cast<int>(ticks[leg - 1].size())); ++row) {
            const bool laid = ticks[leg - 1][row] == QLatin1Char('1');
            item(row, first_leg + leg - 1)->setCheckState(laid ? Qt::Checked : Qt::Unchecked);
        }
    }
    viewport()->update();
}

QStringList StackChecklist::ticks() const {
    QStringList ticks;
    for (int leg = 1; leg <= m_legs; ++leg) {
        QString of_leg;
        for (int row = 0; row < rowCount(); ++row) {
            of_leg += QLatin1Char(ticked(row, leg) ? '1' : '0');
        }
        ticks << of_leg;
    }
    return ticks;
}

bool StackChecklist::ticked(int row, int leg) const {
    return item(row, first_leg + leg - 1)->checkState() == Qt::Checked;
}

QList<int> StackChecklist::open(int leg) const {
    QList<int> rows;
    for (int row = 0; row < rowCount(); ++row) {
        if (!ticked(row, leg)) rows << row;
    }
    return rows;
}

void StackChecklist::toggle(int row, int leg) {
    item(row, first_leg + leg - 1)->setCheckState(ticked(row, leg) ? Qt::Unchecked : Qt::Checked);
}

void StackChecklist::lay() {
    const int row = currentRow();
    if (row < 0 || m_legs < 1) return;
    if (currentColumn() >= first_leg && currentColumn() < remarkColumn()) {
        m_leg = currentColumn() - first_leg + 1;
    }
    toggle(row, m_leg);
    if (ticked(row, m_leg)) {
        goToNextOpen(row, m_leg);
    } else {
        setCurrentCell(row, first_leg + m_leg - 1);
    }
}

/// Further down in the same leg, else what was passed over in it, else the next leg's.
void StackChecklist::goToNextOpen(int row, int leg) {
    for (int step = 0; step < m_legs; ++step) {
        const int there = (leg - 1 + step) % m_legs + 1;
        const QList<int> rows = open(there);
        if (rows.isEmpty()) continue;
        const auto below =
            std::find_if(rows.begin(), rows.end(), [&](int other) { return step > 0 || other > row; });
        m_leg = there;
        setCurrentCell(below != rows.end() ? *below : rows.first(), first_leg + there - 1);
        return;
    }
    setCurrentCell(row, first_leg + leg - 1); // all is laid
}

void StackChecklist::keyPressEvent(QKeyEvent* event) {
    if (event->key() == Qt::Key_Space || event->key() == Qt::Key_Select) {
        lay();
        return;
    }
    QTableWidget::keyPressEvent(event);
}

void StackChecklist::resizeEvent(QResizeEvent* event) {
    QTableWidget::resizeEvent(event);
    fitType();
}

bool StackChecklist::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) fitType();
    return QTableWidget::event(event);
}

/// Sets the type and the columns by it; whether the remarks have their room then.
bool StackChecklist::fits(int pixels, int longest_remark) {
    QFont type = benchFont(1);
    type.setPixelSize(pixels);
    setFont(type);
    const QFontMetrics metrics(type);
    const QFontMetrics head(horizontalHeader()->font());
    int disc_width = head.horizontalAdvance(tr("Discs"));
    for (int row = 0; row < rowCount(); ++row) {
        disc_width = std::max(disc_width, metrics.horizontalAdvance(item(row, discs)->text()));
    }
    setColumnWidth(number, head.horizontalAdvance(tr("Row")) + cell_padding);
    setColumnWidth(discs, disc_width + 2 * cell_padding);
    for (int leg = 1; leg <= m_legs; ++leg) {
        setColumnWidth(first_leg + leg - 1,
                       std::max(head.horizontalAdvance(tr("Leg %1").arg(legNumber(leg))), 2 * pixels) +
                           cell_padding);
    }
    verticalHeader()->setDefaultSectionSize(metrics.height() + row_padding);
    const int room = viewport()->width() - columnViewportPosition(remarkColumn());
    const bool two_lines =
        verticalHeader()->defaultSectionSize() >= 2 * QFontMetrics(benchFont(remarks)).height();
    constexpr double share = 0.6; // of a text that is broken once, at a word
    return room >= (two_lines ? share * longest_remark : longest_remark);
}

void StackChecklist::fitType() {
    if (rowCount() == 0) return;
    const QFont small = benchFont(remarks);
    horizontalHeader()->setFont(benchFont(1));
    int longest = 0;
    const QFontMetrics metrics(small);
    for (int row = 0; row < rowCount(); ++row) {
        QTableWidgetItem* remark = item(row, remarkColumn());
        const QSignalBlocker quiet(this);
        remark->setFont(small);
        item(row, number)->setFont(small); // the discs are what is read
        longest = std::max(longest, metrics.horizontalAdvance(remark->text()) + mark_room);
    }
    const int least = QFontInfo(benchFont(smallest)).pixelSize();
    int pixels = QFontInfo(benchFont(largest)).pixelSize();
    while (pixels > least && (!fits(pixels, longest) ||
                              rowCount() * verticalHeader()->defaultSectionSize() > viewport()->height())) {
        --pixels;
    }
    (void)fits(pixels, longest);
}

} // namespace shimledger::desk
