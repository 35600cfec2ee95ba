// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/jobs/job_line.h"
#include "app/services/job_list.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// The jobs of the shop that are looked for, the more urgent first.
class JobTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { situation, code, component, due, customer, priority, column_count };

    /// Days that the row's job is late.
    static constexpr int late_role = Qt::UserRole + 1;
    static constexpr int further_valve_role = Qt::UserRole + 2; ///< of a component, beneath its job

    using QAbstractTableModel::QAbstractTableModel;

    /// Lines that say nothing new leave the model, and with it the selection, alone.
    void setLines(std::vector<JobLine> lines);
    /// Which of the lines are rows; whether that changed anything.
    bool setFilter(const services::JobFilter& filter, inventory::CalendarDate today);
    [[nodiscard]] const services::JobFilter& filter() const { return m_filter; }
    [[nodiscard]] const JobLine& line(int row) const {
        return m_lines.at(m_rows.at(static_cast<std::size_t>(row)));
    }
    [[nodiscard]] const std::vector<JobLine>& lines() const { return m_lines; } ///< of all jobs
    [[nodiscard]] const JobLine* lineOf(const std::string& job) const; ///< also of one that is no row
    [[nodiscard]] int rowOf(const std::string& job) const;             ///< -1: not there

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] static QString text(const JobLine& line, int column);
    [[nodiscard]] static QString accessibleText(const JobLine& line);

    [[nodiscard]] std::vector<std::size_t> listed() const;

    std::vector<JobLine> m_lines;
    std::vector<std::size_t> m_rows; ///< places in m_lines
    services::JobFilter m_filter;
    inventory::CalendarDate m_today;
};

} // namespace shimledger::desk
