#include "app/desk/table_manners.h"

#include <QHeaderView>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

void dressTable(QTableView& table) {
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
    table.verticalHeader()->setDefaultSectionSize(table.fontMetrics().height() + 8);
    table.horizontalHeader()->setHighlightSections(false);
    table.horizontalHeader()->setStretchLastSection(true);
    table.horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
}

void fitTableHeight(QTableView& table, int least_rows, int most_rows) {
    const int rows = std::clamp(table.model()->rowCount(), least_rows, most_rows);
    const int header = table.horizontalHeader()->sizeHint().height();
    const int height = header + rows * table.verticalHeader()->defaultSectionSize() + 2 * table.frameWidth();
    table.setMinimumHeight(height);
    table.setMaximumHeight(height);
}

} // namespace shimledger::desk
