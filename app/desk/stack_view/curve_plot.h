// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/warped_pressure.h"

#include <QFont>
#include <QPalette>

#include <vector>

class QCPAbstractPlottable;
class QCPAxis;
class QCPAxisRect;
class QCPCurve;
class QCPGraph;
class QCPItemStraightLine;
class QCPLegend;
class QCustomPlot;
class QWidget;

namespace shimledger::desk {

/// The two plots of the curve panel, one above the other on one lift axis. Its two sources, force_plot.cpp
/// and plot_parts.cpp are the only files, with SettledPlot, that see QCustomPlot's header.
class CurvePlot {
public:
    explicit CurvePlot(QWidget* parent); ///< the parent owns the view

    [[nodiscard]] QWidget* view() const;
    /// Lift (mm) under a pixel column of the view, held inside the axis.
    [[nodiscard]] double liftAt(double pixel_x) const;

    /// Where a stack warps: a mark at the onset, past it the mean lift as the line goes on, the rim's least
    /// and greatest lift as a band, and the round solution thin.
    void show(const DrawnStack& target, const DrawnStack& substitute, const QString& substitute_name);
    void fit(const QFont& font); ///< titles, ticks and legend to the size of the view
    void setWorkingLift(double lift_mm);
    void mark(double lift_mm);
    void dress(const QPalette& palette, const QFont& font); ///< colours and fonts

private:
    struct Curve {
        QCPGraph* low = nullptr;
        QCPGraph* high = nullptr;  ///< its fill reaches down to `low`: the scatter band
        QCPCurve* loop = nullptr;  ///< outline of rising to falling pressure, with friction between the discs
        QCPGraph* line = nullptr;  ///< the round solution up to the onset
        QCPGraph* past = nullptr;  ///< and past it, thin
        QCPCurve* rim = nullptr;   ///< outline of least to greatest rim lift past the onset
        QCPGraph* mean = nullptr;  ///< mean rim lift past the onset
        QCPGraph* onset = nullptr; ///< the mark, a single point
    };

    QCPGraph* graphIn(QCPAxisRect* rect);
    void addGraphs();
    void showDeviation(const DrawnStack& target, const DrawnStack& substitute);
    static void fill(const Curve& curve, const DrawnStack& stack);
    static void fillRound(const Curve& curve, const DrawnStack& stack);
    static void fillLoop(const Curve& curve, const DrawnStack& stack);
    static void fillWarp(const Curve& curve, const DrawnStack& stack);
    static void dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style);

    QCustomPlot* m_view;
    QCPAxisRect* m_pressure;
    QCPAxisRect* m_deviation;
    QCPLegend* m_legend = nullptr;
    std::vector<QCPAbstractPlottable*> m_named; ///< what is in the legend
    Curve m_target;
    Curve m_substitute;
    QCPGraph* m_deviation_line = nullptr;
    QCPGraph* m_own_scatter_low = nullptr;
    QCPGraph* m_own_scatter_high = nullptr;
    QCPItemStraightLine* m_mark = nullptr;
    QCPItemStraightLine* m_deviation_mark = nullptr;
};

} // namespace shimledger::desk
