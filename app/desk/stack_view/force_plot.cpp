// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/force_plot.h"

#include "app/desk/desk_colours.h"
#include "app/desk/stack_view/plot_parts.h"
#include "app/desk/stack_view/settled_plot.h"

#include <QCoreApplication>
#include <QFontMetrics>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr QMargins usual_margins(4, 6, 12, 2);

QString words(const char* text) {
    return QCoreApplication::translate("ForcePlot", text);
}

QVector<double> speedsOf(const planner::DampingStudy& study) {
    QVector<double> speeds;
    for (const planner::DampingPoint& point : study.points) speeds << point.speed_m_s;
    return speeds;
}

double greatestForce(const planner::DampingStudy& study) {
    double greatest = 0;
    for (const planner::DampingPoint& point : study.points) greatest = std::max(greatest, point.force_n);
    for (const planner::FigureRange& band : study.force_band_n) greatest = std::max(greatest, band.greatest);
    for (const std::vector<double>& forces : study.forces_by_temperature) {
        for (const double force : forces) greatest = std::max(greatest, force);
    }
    return greatest;
}

} // namespace

ForcePlot::ForcePlot(QWidget* parent)
    : m_view(new SettledPlot(parent)), m_ratio(new QCPAxisRect(m_view)), m_force(new QCPAxisRect(m_view)) {
    m_view->setLocale(QLocale::c());
    m_view->setFocusPolicy(Qt::NoFocus);
    m_view->setMinimumSize(260, 200);
    m_view->setAccessibleName(words("Ratio of forces and force over shaft speed"));
    m_view->setToolTip(words(
        "Above: the substitute's force against the target's; the band is what discharges, oil and 0 to 80 C "
        "leave.\nBelow: a model's newtons, compression up, rebound down; the band is what published "
        "discharges\nand the oil's grade leave, thin: at 0, 20, 40 and 80 C."));
    m_view->setAccessibleDescription(m_view->toolTip());
    m_view->plotLayout()->clear();
    m_view->plotLayout()->setRowSpacing(4);
    m_view->plotLayout()->addElement(1, 0, m_ratio); // the legend takes row 0
    m_view->plotLayout()->addElement(2, 0, m_force);
    auto* margins = new QCPMarginGroup(m_view);
    for (QCPAxisRect* rect : {m_ratio, m_force}) {
        rect->setMarginGroup(QCP::msLeft | QCP::msRight, margins);
        rect->setMinimumMargins(usual_margins);
        rect->axis(QCPAxis::atBottom)
            ->setRange(0, drawnSpeeds().back() * (1 + 1e-6)); // with a tick at its end
        for (QCPAxis* axis : rect->axes()) {
            axis->setLayer(QStringLiteral("axes"));
            axis->grid()->setLayer(QStringLiteral("grid"));
            axis->setNumberFormat(QStringLiteral("f"));
            axis->setNumberPrecision(1);
        }
    }
    // m_view deletes its margin group, which the analyzer cannot see:
    // NOLINTNEXTLINE(clang-analyzer-cplusplus.NewDeleteLeaks)
    m_ratio->axis(QCPAxis::atBottom)->setTickLabels(false);
    m_force->axis(QCPAxis::atLeft)->setNumberPrecision(0);
    m_force->axis(QCPAxis::atBottom)->setNumberPrecision(2);
    m_force->axis(QCPAxis::atBottom)->setLabel(words("Shaft speed (m/s)"));
    m_ratio_low = graphIn(m_ratio);
    m_ratio_high = graphIn(m_ratio);
    m_ratio_high->setChannelFillGraph(m_ratio_low);
    m_stack_alone = graphIn(m_ratio);
    m_ratio_line = graphIn(m_ratio);
    addCurve(m_target);
    addCurve(m_substitute);
    m_measured = graphIn(m_force);
    m_measured->setLineStyle(QCPGraph::lsNone);
    m_measured->setName(words("Test bench"));
    m_target.line->setName(words("Target"));
    m_target.temperatures.front()->setName(words("0, 20, 40, 80 C"));
    m_stack_alone->setName(words("Stack alone"));
    m_ratio_mark = straightLineIn(*m_view, *m_ratio);
    m_force_mark = straightLineIn(*m_view, *m_force);
    m_legend = addPlotLegend(*m_view);
}

QWidget* ForcePlot::view() const {
    return m_view;
}

double ForcePlot::speedAt(double pixel_x) const {
    const QCPAxis* axis = m_force->axis(QCPAxis::atBottom);
    return std::clamp(axis->pixelToCoord(pixel_x), axis->range().lower, axis->range().upper);
}

QCPGraph* ForcePlot::graphIn(QCPAxisRect* rect) {
    return m_view->addGraph(rect->axis(QCPAxis::atBottom), rect->axis(QCPAxis::atLeft));
}

void ForcePlot::addCurve(Curve& curve) {
    curve.low = graphIn(m_force);
    curve.high = graphIn(m_force);
    curve.high->setChannelFillGraph(curve.low);
    for (QCPGraph*& graph : curve.temperatures) graph = graphIn(m_force);
    curve.line = graphIn(m_force);
}

void ForcePlot::show(const ForceCurves* curves, const QString& substitute_name) {
    const planner::DampingStudy* target = curves != nullptr ? &curves->target : nullptr;
    const planner::DampingStudy* substitute =
        curves != nullptr && curves->substitute ? &*curves->substitute : nullptr;
    const double sign = curves != nullptr ? curves->signOfForce() : 1;
    fill(m_target, target, sign);
    fill(m_substitute, substitute, sign);
    double greatest = 0;
    for (const planner::DampingStudy* study : {target, substitute}) {
        if (study != nullptr) greatest = std::max(greatest, greatestForce(*study));
    }
    QVector<double> speeds, forces;
    if (curves != nullptr) {
        for (const planner::MeasuredForce& reading : curves->readings.forces) {
            speeds << reading.speed_m_s;
            forces << sign * reading.force_n;
            if (reading.speed_m_s <= drawnSpeeds().back()) greatest = std::max(greatest, reading.force_n);
        }
    }
    m_measured->setData(speeds, forces);
    const double end = greatest > 0 ? 1.05 * greatest : 1;
    m_force->axis(QCPAxis::atLeft)->setRange(sign > 0 ? 0 : -end, sign > 0 ? end : 0);
    showRatio(curves);
    m_substitute.line->setName(substitute_name);
    m_named.clear();
    if (target != nullptr) m_named.push_back(m_target.line);
    if (substitute != nullptr) m_named.insert(m_named.end(), {m_substitute.line, m_stack_alone});
    if (!speeds.isEmpty()) m_named.push_back(m_measured);
    if (target != nullptr) m_named.push_back(m_target.temperatures.front());
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void ForcePlot::fill(const Curve& curve, const planner::DampingStudy* study, double sign) {
    QVector<double> speeds, forces, low, high;
    if (study != nullptr) {
        speeds = speedsOf(*study);
        for (const planner::DampingPoint& point : study->points) forces << sign * point.force_n;
        for (const planner::FigureRange& band : study->force_band_n) {
            low << sign * band.least;
            high << sign * band.greatest;
        }
    }
    curve.line->setData(speeds, forces, true);
    curve.low->setData(speeds.mid(0, low.size()), low, true);
    curve.high->setData(speeds.mid(0, high.size()), high, true);
    for (std::size_t i = 0; i < curve.temperatures.size(); ++i) {
        QVector<double> at_temperature;
        if (study != nullptr && i < study->forces_by_temperature.size()) {
            for (const double force : study->forces_by_temperature[i]) at_temperature << sign * force;
        }
        curve.temperatures[i]->setData(speeds.mid(0, at_temperature.size()), at_temperature, true);
    }
}

void ForcePlot::showRatio(const ForceCurves* curves) {
    QVector<double> speeds, ratios, low, high, stack_speeds, stacks;
    double widest = 1;
    m_compared = curves != nullptr && curves->comparison.has_value();
    if (m_compared) {
        for (const planner::RatioPoint& point : curves->comparison->points) {
            speeds << point.speed_m_s;
            ratios << 100 * (point.force_ratio - 1);
            low << 100 * (point.band.least - 1);
            high << 100 * (point.band.greatest - 1);
            widest = std::max({widest, std::abs(low.back()), std::abs(high.back())});
            if (!point.stack_ratio) continue;
            stack_speeds << point.speed_m_s;
            stacks << 100 * (*point.stack_ratio - 1);
            widest = std::max(widest, std::abs(stacks.back()));
        }
    }
    m_ratio_line->setData(speeds, ratios, true);
    m_ratio_low->setData(speeds, low, true);
    m_ratio_high->setData(speeds, high, true);
    m_stack_alone->setData(stack_speeds, stacks, true);
    m_ratio->axis(QCPAxis::atLeft)->setRange(-1.15 * widest, 1.15 * widest);
    // Without a substitute there is no ratio, and the newtons take its room.
    m_ratio->setVisible(m_compared);
    m_ratio->setMinimumSize(50, m_compared ? 50 : 0);
    m_ratio->setMaximumSize(QWIDGETSIZE_MAX, m_compared ? QWIDGETSIZE_MAX : 1);
    m_ratio->setMinimumMargins(m_compared ? usual_margins : QMargins());
}

void ForcePlot::mark(double speed_m_s) {
    for (auto* line : {m_ratio_mark, m_force_mark}) {
        line->point1->setCoords(speed_m_s, 0);
        line->point2->setCoords(speed_m_s, 1);
    }
    m_ratio_mark->setVisible(m_compared);
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void ForcePlot::fit(const QFont& font) {
    const QFontMetrics metrics(font);
    fitPlotLegend(*m_view, *m_legend, m_named, metrics);
    // The legend and the speed axis take their lines; the plots share the rest.
    const int legend_lines = std::max(1, m_legend->rowCount());
    const double plot_height =
        (m_view->height() - (legend_lines + 2.6) * metrics.height()) / (m_compared ? 2 : 1);
    const auto title = [&](QCPAxisRect* rect, const QString& whole, const QString& unit) {
        rect->axis(QCPAxis::atLeft)->setLabel(metrics.horizontalAdvance(whole) < plot_height ? whole : unit);
        rect->axis(QCPAxis::atLeft)
            ->ticker()
            ->setTickCount(std::clamp(static_cast<int>(plot_height / (2.0 * metrics.height())), 2, 5));
    };
    title(m_ratio, words("Force ratio (%)"), words("%"));
    title(m_force, words("Model's force (N)"), words("Model, N"));
    const int ticks = m_view->width() / (2 * metrics.horizontalAdvance(QStringLiteral("0.00")) + 1);
    for (QCPAxisRect* rect : {m_ratio, m_force})
        rect->axis(QCPAxis::atBottom)->ticker()->setTickCount(std::clamp(ticks, 2, 8));
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void ForcePlot::dress(const QPalette& palette, const QFont& font) {
    const DeskColours colours = DeskColours::of(palette);
    const QColor base = palette.color(QPalette::Base);
    const QColor text = palette.color(QPalette::Text);
    m_view->setBackground(base);
    for (QCPAxisRect* rect : {m_ratio, m_force}) {
        for (QCPAxis* axis : rect->axes()) dressPlotAxis(*axis, text, base, font);
    }
    dressCurve(m_target, colours.target, base, Qt::SolidLine);
    dressCurve(m_substitute, colours.substitute, base, Qt::DashLine);
    m_ratio_line->setPen(QPen(colours.substitute, 2, Qt::DashLine));
    m_stack_alone->setPen(QPen(colours.substitute, 1, Qt::DotLine));
    const QPen edge(blended(colours.substitute, base, 0.55), 0.8);
    m_ratio_low->setPen(edge);
    m_ratio_high->setPen(edge);
    m_ratio_high->setBrush(blended(colours.substitute, base, 0.18));
    m_measured->setPen(QPen(text, 1.5));
    m_measured->setScatterStyle(QCPScatterStyle(QCPScatterStyle::ssCross, 8));
    for (auto* line : {m_ratio_mark, m_force_mark}) line->setPen(QPen(text, 1, Qt::DotLine));
    m_legend->setFont(font);
    m_legend->setTextColor(text);
    m_legend->setBrush(base);
    m_legend->setBorderPen(Qt::NoPen);
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void ForcePlot::dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style) {
    QColor veil = blended(colour, base, 0.5);
    veil.setAlphaF(0.25F);
    const QPen edge(blended(colour, base, 0.4), 0.8);
    curve.low->setPen(edge);
    curve.high->setPen(edge);
    curve.high->setBrush(veil);
    curve.line->setPen(QPen(colour, 2, style));
    for (QCPGraph* graph : curve.temperatures)
        graph->setPen(QPen(blended(colour, base, 0.75), 1, Qt::DotLine));
}

} // namespace shimledger::desk
