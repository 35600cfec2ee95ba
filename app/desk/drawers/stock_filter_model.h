// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/find_words.h"

#include <QSortFilterProxyModel>

namespace shimledger::desk {

/// Keeps the lines that hold every word typed, in any order: "24 0.10 a03" finds the 24 mm disc in bin A03.
class StockFilterModel : public QSortFilterProxyModel {
    Q_OBJECT

public:
    enum class Shown { everything, low, out, reserved, short_for_jobs };

    explicit StockFilterModel(QObject* parent = nullptr);
    void setWords(const QString& text, services::SizeUnit bare = services::SizeUnit::millimetres);
    void setShown(Shown shown);
    void setCabinet(const QString& cabinet); ///< empty: all of them

protected:
    [[nodiscard]] bool filterAcceptsRow(int row, const QModelIndex& parent) const override;

private:
    void fitWords() const;

    FindWords m_words;
    QString m_cabinet;
    Shown m_shown = Shown::everything;
    mutable std::vector<bool> m_found; ///< by source row, of the words alone
    mutable quint64 m_found_of = 0;    ///< the state of the source they were found in; 0: of none
};

} // namespace shimledger::desk
