// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/force_curves.h"

#include <QFont>
#include <QPalette>

#include <array>
#include <vector>

class QCPAbstractPlottable;
class QCPAxisRect;
class QCPGraph;
class QCPItemStraightLine;
class QCPLegend;
class QCustomPlot;
class QWidget;

namespace shimledger::desk {

/// Ratio of the forces over shaft speed, and below it, on the same axis, the model's newtons: compression
/// above zero, rebound below.
class ForcePlot {
public:
    explicit ForcePlot(QWidget* parent); ///< the parent owns the view

    [[nodiscard]] QWidget* view() const;
    /// Speed (m/s) under a pixel column of the view, held inside the axis.
    [[nodiscard]] double speedAt(double pixel_x) const;

    void show(const ForceCurves* curves, const QString& substitute_name); ///< null: nothing (yet)
    void fit(const QFont& font); ///< titles, ticks and legend to the size of the view
    void mark(double speed_m_s);
    void dress(const QPalette& palette, const QFont& font); ///< colours and fonts

private:
    struct Curve {
        QCPGraph* low = nullptr;
        QCPGraph* high =
            nullptr; ///< its fill reaches to `low`: what published discharges and the oil's grade leave
        QCPGraph* line = nullptr;
        std::array<QCPGraph*, planner::told_temperatures_c.size()> temperatures{};
    };

    QCPGraph* graphIn(QCPAxisRect* rect);
    void addCurve(Curve& curve);
    void fill(const Curve& curve, const planner::DampingStudy* study, double sign);
    void showRatio(const ForceCurves* curves);
    static void dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style);

    QCustomPlot* m_view;
    QCPAxisRect* m_ratio;
    QCPAxisRect* m_force;
    QCPLegend* m_legend = nullptr;
    std::vector<QCPAbstractPlottable*> m_named; ///< what is in the legend
    Curve m_target;
    Curve m_substitute;
    QCPGraph* m_ratio_low = nullptr;
    QCPGraph* m_ratio_high = nullptr;
    QCPGraph* m_ratio_line = nullptr;
    QCPGraph* m_stack_alone = nullptr;
    QCPGraph* m_measured = nullptr; ///< a test bench's readings
    QCPItemStraightLine* m_ratio_mark = nullptr;
    QCPItemStraightLine* m_force_mark = nullptr;
    bool m_compared = false; ///< there is a ratio to show
};

} // namespace shimledger::desk
