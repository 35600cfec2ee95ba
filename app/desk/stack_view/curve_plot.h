// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/warped_pressure.h"
#include "planner/substitute/wanted_factor.h"

#include <QColor>
#include <QFont>
#include <QPalette>
#include <QPointF>
#include <QString>

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

/// A further stack that is drawn thin, by its deviation alone.
struct DeviationOverlay {
    QString name;
    std::vector<DeviationPoint> points;
};

/// The two plots of the curve panel, one above the other on one lift axis. Its two sources, force_plot.cpp
/// and plot_parts.cpp are the only files, with SettledPlot, that see QCustomPlot's header.
class CurvePlot {
public:
    explicit CurvePlot(QWidget* parent); ///< the parent owns the view

    [[nodiscard]] QWidget* view() const;
    /// Lift (mm) under a pixel column of the view, held inside the axis.
    [[nodiscard]] double liftAt(double pixel_x) const;
    [[nodiscard]] bool inDeviation(QPointF pixel) const;
    [[nodiscard]] double perCentAt(double pixel_y) const;            ///< in the deviation's plot
    [[nodiscard]] QPointF placeOfWishPoint(std::size_t point) const; ///< its pixel
    /// The wish's point within a finger's breadth of a pixel of the deviation's plot; -1: none.
    [[nodiscard]] int wishPointAt(QPointF pixel) const;

    /// Where a stack warps: a mark at the onset, past it the mean lift as the line goes on, the rim's least
    /// and greatest lift as a band, and the round solution thin.
    void show(const DrawnStack& target, const DrawnStack& substitute, const QString& substitute_name);
    /// A wish with its handles on the deviation's plot, and what it comes to beside the target's curve, as
    /// show() next draws it; no points: none. While one is `held` the axes stay as they are.
    void setWish(const std::vector<planner::WantedPoint>& points, std::size_t picked, bool held);
    void setOverlays(std::vector<DeviationOverlay> overlays);
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
    void showWanted(const DrawnStack& target);
    void dressOverlays();
    void fitAxes();
    void fitLifts();
    void nameCurves(const DrawnStack& target, const DrawnStack& substitute);
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
    QCPGraph* m_wanted = nullptr;    ///< pressure
    QCPGraph* m_wish_line = nullptr; ///< the factor, in per cent
    QCPGraph* m_wish_points = nullptr;
    QCPGraph* m_wish_picked = nullptr; ///< a single point
    std::vector<planner::WantedPoint> m_wish;
    bool m_held = false;
    std::vector<DeviationOverlay> m_overlays;
    std::vector<QCPGraph*> m_overlay_lines; ///< as many as were ever needed
    QColor m_text, m_base;
    double m_working_lift_mm = 0;
    double m_widest_deviation = 1, m_greatest_pressure = 0;
    QCPItemStraightLine* m_mark = nullptr;
    QCPItemStraightLine* m_deviation_mark = nullptr;
};

} // namespace shimledger::desk
