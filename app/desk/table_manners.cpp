// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/table_manners.h"

#include "app/desk/guard.h"

#include <QEvent>
#include <QHeaderView>
#include <QItemSelectionModel>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

namespace {

void setRowHeight(QTableView& table) {
    table.verticalHeader()->setDefaultSectionSize(table.fontMetrics().height() + 8);
}

/// Rows follow the text size when it is changed in the settings.
class RowHeightKeeper : public QObject {
public:
    explicit RowHeightKeeper(QTableView& table) : QObject(&table), m_table(table) {
        table.installEventFilter(this);
    }

    bool eventFilter(QObject* watched, QEvent* event) override {
        if (event->type() == QEvent::FontChange) {
            setRowHeight(m_table);
        }
        return QObject::eventFilter(watched, event);
    }

private:
    QTableView& m_table;
};

class ColumnStretcher : public QObject {
public:
    ColumnStretcher(QTableView& table, int column, int least)
        : QObject(&table), m_table(table), m_column(column), m_least(least) {
        table.viewport()->installEventFilter(this);
        guarded(table.horizontalHeader(), &QHeaderView::sectionResized, this, [this](int section) {
            if (section != m_column) stretch();
        });
    }

    bool eventFilter(QObject* watched, QEvent* event) override {
        if (event->type() == QEvent::Resize) stretch();
        return QObject::eventFilter(watched, event);
    }

private:
    void stretch() {
        const QHeaderView& header = *m_table.horizontalHeader();
        const int others = header.length() - header.sectionSize(m_column);
        m_table.setColumnWidth(m_column, std::max(m_least, m_table.viewport()->width() - others));
    }

    QTableView& m_table;
    int m_column, m_least;
};

} // namespace

void stretchColumn(QTableView& table, int column, int least_pixels) {
    table.horizontalHeader()->setStretchLastSection(false);
    new ColumnStretcher(table, column, least_pixels); // owned by the table
}

void dressTable(QTableView& table) {
    // The frame of the current row is in all its cells, and a view repaints the current one alone.
    guarded(table.selectionModel(), &QItemSelectionModel::currentRowChanged, table.viewport(),
            qOverload<>(&QWidget::update));
    table.setSelectionBehavior(QAbstractItemView::SelectRows);
    table.setSelectionMode(QAbstractItemView::SingleSelection);
    table.setEditTriggers(QAbstractItemView::NoEditTriggers);
    table.setTabKeyNavigation(false);
    table.setAlternatingRowColors(true);
    table.setShowGrid(false);
    table.setWordWrap(false);
    table.setCornerButtonEnabled(false);
    table.verticalHeader()->hide();
    table.verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    setRowHeight(table);
    new RowHeightKeeper(table); // owned by the table
    table.horizontalHeader()->setHighlightSections(false);
    table.horizontalHeader()->setStretchLastSection(true);
    table.horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
}

int heightOfRows(const QTableView& table, int rows) {
    return table.horizontalHeader()->sizeHint().height() +
           rows * table.verticalHeader()->defaultSectionSize() + 2 * table.frameWidth();
}

void fitTableHeight(QTableView& table, int least_rows, int most_rows) {
    const int rows = std::clamp(table.model()->rowCount(), least_rows, most_rows);
    table.setMinimumHeight(heightOfRows(table, std::min(rows, least_rows)));
    table.setMaximumHeight(heightOfRows(table, rows));
    table.setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
}

} // namespace shimledger::desk
