#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/jobs/job_line.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// The jobs of the shop, the more urgent first.
class JobTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { situation, code, component, due, customer, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    /// Lines that say nothing new leave the model, and with it the selection, alone.
    void setLines(std::vector<JobLine> lines);
    [[nodiscard]] const JobLine& line(int row) const { return m_lines.at(static_cast<std::size_t>(row)); }
    [[nodiscard]] const std::vector<JobLine>& lines() const { return m_lines; }
    [[nodiscard]] int rowOf(const std::string& job) const; ///< -1: not there

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] static QString text(const JobLine& line, int column);

    std::vector<JobLine> m_lines;
};

} // namespace shimledger::desk
