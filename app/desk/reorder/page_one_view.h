// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/reorder.h"
#endif

#include <QString>
#include <QWidget>

#include <string>
#include <vector>

class QLabel;
class QStandardItemModel;
class QTableView;

namespace shimledger::desk {

/// What a manager with five minutes looks at: which jobs stand still and what could be done, what to order
/// today and which suppliers' days are still to come, what it costs, what happens if nothing is ordered.
class PageOneView : public QWidget {
    Q_OBJECT

public:
    explicit PageOneView(QWidget* parent = nullptr);

    /// `costs`: a sentence a line.
    void show(const services::ReorderPlan& plan, const QString& costs);
    void clear();               ///< no plan has come yet
    void shareRoom(int pixels); ///< how tall the page is that this is the top of

    [[nodiscard]] QTableView* jobs() const { return m_jobs_table; }
    [[nodiscard]] QTableView* orders() const { return m_orders_table; }
    [[nodiscard]] QString sentences() const; ///< beneath the tables

signals:
    void jobPicked(const QString& job); ///< by double-click or Return
    void supplierPicked(const QString& supplier);

private:
    void showJobs(const services::ReorderPlan& plan);
    void showOrders(const services::ReorderPlan& plan, const std::vector<std::string>& later_ones);
    void fitHeights();

    QLabel* m_jobs_caption;
    QLabel* m_orders_caption;
    QStandardItemModel* m_jobs;
    QStandardItemModel* m_orders;
    QTableView* m_jobs_table;
    QTableView* m_orders_table;
    QLabel* m_sentences;
    int m_most_rows = 5; ///< of a table
};

} // namespace shimledger::desk
