// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/stock_course.h"
#endif

#include <QWidget>

#include <optional>
#include <vector>

namespace shimledger::desk {

/// Stock of one part over time: as it was, and as expected with and without the plan, with its reorder point.
/// The lines differ in their dashes as well as in colour.
class CourseView : public QWidget {
    Q_OBJECT

public:
    explicit CourseView(QWidget* parent = nullptr);

    void show(std::optional<services::StockCourse> course); ///< none: an empty view
    [[nodiscard]] const std::optional<services::StockCourse>& course() const { return m_course; }
    /// What the picture shows, in a sentence.
    [[nodiscard]] static QString sentence(const services::StockCourse& course);
    /// Where the scale is marked: whole pieces at even steps, from 0 up to `most`.
    [[nodiscard]] static std::vector<double> piecesMarked(double most);
    /// The first days of months between two days, counted from 1970.
    [[nodiscard]] static std::vector<double> monthsMarked(double first_day, double last_day);

    [[nodiscard]] QSize sizeHint() const override { return {480, 220}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {240, 120}; }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::optional<services::StockCourse> m_course;
};

} // namespace shimledger::desk
