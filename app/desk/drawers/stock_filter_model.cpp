// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/stock_filter_model.h"

#include "app/desk/drawers/stock_table_model.h"

namespace shimledger::desk {

StockFilterModel::StockFilterModel(QObject* parent) : QSortFilterProxyModel(parent) {
    setSortRole(StockTableModel::sort_role);
    setSortCaseSensitivity(Qt::CaseInsensitive);
    setSortLocaleAware(false);
}

void StockFilterModel::setWords(const QString& text, services::SizeUnit bare) {
    m_words = FindWords(text, bare);
    m_found_of = 0;
    invalidateFilter();
}

void StockFilterModel::setShown(Shown shown) {
    m_shown = shown;
    invalidateFilter();
}

void StockFilterModel::setCabinet(const QString& cabinet) {
    m_cabinet = cabinet;
    invalidateFilter();
}

/// Whether a line is shown may hang on the others: where one has the whole figure, its beginning is not
/// meant.
void StockFilterModel::fitWords() const {
    const auto* stock = qobject_cast<const StockTableModel*>(sourceModel());
    if (stock == nullptr || m_found_of == stock->edition()) {
        return;
    }
    std::vector<FindFit> fits;
    fits.reserve(static_cast<std::size_t>(stock->rowCount()));
    for (int row = 0; row < stock->rowCount(); ++row) {
        fits.push_back(m_words.fit(stock->findKey(row)));
    }
    m_found = shownOf(fits);
    m_found_of = stock->edition();
}

bool StockFilterModel::filterAcceptsRow(int row, const QModelIndex& /*parent*/) const {
    const auto* stock = qobject_cast<const StockTableModel*>(sourceModel());
    if (stock == nullptr) {
        return true;
    }
    const StockLine& line = stock->line(row);
    const bool shown = m_shown == Shown::everything || (m_shown == Shown::low && line.low()) ||
                       (m_shown == Shown::out && line.out()) ||
                       (m_shown == Shown::reserved && line.lot.reserved > 0) ||
                       (m_shown == Shown::short_for_jobs && line.shortForJobs());
    if (!shown || (!m_cabinet.isEmpty() && line.cabinet != m_cabinet)) {
        return false;
    }
    if (m_words.isEmpty()) {
        return true;
    }
    fitWords();
    return m_found.at(static_cast<std::size_t>(row));
}

} // namespace shimledger::desk
