// SPDX-License-Identifier: GPL-3.0-or-later
// How the two plots are made and look; what they show is in curve_plot.cpp.
#include "app/desk/desk_colours.h"
#include "app/desk/stack_view/curve_plot.h"
#include "app/desk/stack_view/plot_parts.h"
#include "app/desk/stack_view/settled_plot.h"

#include <QCoreApplication>
#include <QFontMetrics>

#include <algorithm>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("CurvePlot", text);
}

} // namespace

CurvePlot::CurvePlot(QWidget* parent)
    : m_view(new SettledPlot(parent)), m_pressure(new QCPAxisRect(m_view)),
      m_deviation(new QCPAxisRect(m_view)) {
    m_view->setLocale(QLocale::c());
    m_view->setFocusPolicy(Qt::NoFocus);
    m_view->setMinimumSize(260, 200);
    m_view->setAccessibleName(words("Pressure over lift, and deviation over lift"));
    m_view->setToolTip(words(
        "Bands: what the thickness tolerance of the discs does.\nHatched: friction between the discs, lower "
        "lift while the pressure rises,\nhigher while it falls.\nPast the mark where warping begins: "
        "the mean lift of the rim,\nin a band from its least to its greatest; thin, the round "
        "solution."));
    m_view->setAccessibleDescription(m_view->toolTip());
    m_view->plotLayout()->clear();
    m_view->plotLayout()->setRowSpacing(4);
    m_view->plotLayout()->addElement(1, 0, m_pressure); // the legend takes row 0
    m_view->plotLayout()->addElement(2, 0, m_deviation);
    auto* margins = new QCPMarginGroup(m_view);
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        rect->setMarginGroup(QCP::msLeft | QCP::msRight, margins);
        rect->setMinimumMargins(QMargins(4, 6, 12, 2));
        for (QCPAxis* axis : rect->axes()) {
            axis->setLayer(QStringLiteral("axes"));
            axis->grid()->setLayer(QStringLiteral("grid"));
        }
    }
    // m_view deletes its margin group, which the analyzer cannot see:
    // NOLINTNEXTLINE(clang-analyzer-cplusplus.NewDeleteLeaks)
    m_pressure->axis(QCPAxis::atBottom)->setTickLabels(false);
    for (QCPAxis* axis : m_pressure->axes() + m_deviation->axes()) {
        axis->setNumberFormat(QStringLiteral("f"));
        axis->setNumberPrecision(2);
    }
    m_deviation->axis(QCPAxis::atLeft)->setNumberPrecision(1);
    m_deviation->axis(QCPAxis::atBottom)->setLabel(words("Lift of the face shim's edge (mm)"));
    addGraphs();
    m_legend = addPlotLegend(*m_view);
}

QCPGraph* CurvePlot::graphIn(QCPAxisRect* rect) {
    return m_view->addGraph(rect->axis(QCPAxis::atBottom), rect->axis(QCPAxis::atLeft));
}

void CurvePlot::addGraphs() {
    for (Curve* curve : {&m_target, &m_substitute}) {
        curve->low = graphIn(m_pressure);
        curve->high = graphIn(m_pressure);
        curve->high->setChannelFillGraph(curve->low);
    }
    for (Curve* curve : {&m_target, &m_substitute}) {
        curve->rim = new QCPCurve(m_pressure->axis(QCPAxis::atBottom), m_pressure->axis(QCPAxis::atLeft));
        curve->loop = new QCPCurve(m_pressure->axis(QCPAxis::atBottom), m_pressure->axis(QCPAxis::atLeft));
        curve->loop->setName(words("Friction loop"));
        curve->past = graphIn(m_pressure);
        curve->line = graphIn(m_pressure);
        curve->mean = graphIn(m_pressure);
        curve->onset = graphIn(m_pressure);
        curve->onset->setLineStyle(QCPGraph::lsNone);
        curve->line->setName(curve == &m_target ? words("Target") : words("Substitute"));
        curve->onset->setName(words("Warp onset"));
        curve->rim->setName(words("Rim range"));
        curve->past->setName(words("If round"));
    }
    m_own_scatter_low = graphIn(m_deviation);
    m_own_scatter_high = graphIn(m_deviation);
    m_own_scatter_high->setChannelFillGraph(m_own_scatter_low);
    m_deviation_line = graphIn(m_deviation);
    m_wanted = graphIn(m_pressure);
    m_wish_line = graphIn(m_deviation);
    m_wish_line->setName(words("Wanted"));
    m_wish_points = graphIn(m_deviation);
    m_wish_picked = graphIn(m_deviation);
    for (QCPGraph* points : {m_wish_points, m_wish_picked}) points->setLineStyle(QCPGraph::lsNone);
    m_mark = straightLineIn(*m_view, *m_pressure);
    m_deviation_mark = straightLineIn(*m_view, *m_deviation);
}

void CurvePlot::fit(const QFont& font) {
    const QFontMetrics metrics(font);
    fitPlotLegend(*m_view, *m_legend, m_named, metrics);
    // The legend and the lift axis take their lines; the plots share the rest.
    const int legend_lines = std::max(1, m_legend->rowCount());
    const double plot_height = (m_view->height() - (legend_lines + 2.6) * metrics.height()) / 2;
    const auto title = [&](QCPAxisRect* rect, const QString& whole, const QString& unit) {
        rect->axis(QCPAxis::atLeft)->setLabel(metrics.horizontalAdvance(whole) < plot_height ? whole : unit);
        rect->axis(QCPAxis::atLeft)
            ->ticker()
            ->setTickCount(std::clamp(static_cast<int>(plot_height / (2.0 * metrics.height())), 2, 5));
    };
    title(m_pressure, words("Pressure (MPa)"), words("MPa"));
    title(m_deviation, words("Deviation (%)"), words("%"));
    const int lift_ticks = m_view->width() / (2 * metrics.horizontalAdvance(QStringLiteral("0.00")) + 1);
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        rect->axis(QCPAxis::atBottom)->ticker()->setTickCount(std::clamp(lift_ticks, 2, 6));
    }
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

void CurvePlot::dress(const QPalette& palette, const QFont& font) {
    const DeskColours colours = DeskColours::of(palette);
    const QColor base = palette.color(QPalette::Base);
    const QColor text = palette.color(QPalette::Text);
    m_view->setBackground(base);
    for (QCPAxisRect* rect : {m_pressure, m_deviation}) {
        for (QCPAxis* axis : rect->axes()) {
            dressPlotAxis(*axis, text, base, font);
        }
    }
    dressCurve(m_target, colours.target, base, Qt::SolidLine);
    dressCurve(m_substitute, colours.substitute, base, Qt::DashLine);
    m_deviation_line->setPen(QPen(colours.substitute, 2, Qt::DashLine));
    const QPen scatter_edge(blended(colours.target, base, 0.55), 0.8);
    m_own_scatter_low->setPen(scatter_edge);
    m_own_scatter_high->setPen(scatter_edge);
    m_own_scatter_high->setBrush(blended(colours.target, base, 0.18));
    for (auto* line : {m_mark, m_deviation_mark}) {
        line->setPen(QPen(text, 1, Qt::DotLine));
    }
    m_text = text;
    m_base = base;
    const QColor handle = palette.color(QPalette::Highlight);
    const QPen wish(text, 1.5, Qt::DashDotLine);
    m_wanted->setPen(wish);
    m_wish_line->setPen(wish);
    m_wish_points->setScatterStyle(QCPScatterStyle(QCPScatterStyle::ssSquare, text, base, 9));
    m_wish_picked->setScatterStyle(QCPScatterStyle(QCPScatterStyle::ssSquare, text, handle, 12));
    dressOverlays();
    m_legend->setFont(font);
    m_legend->setTextColor(text);
    m_legend->setBrush(base);
    m_legend->setBorderPen(Qt::NoPen);
    m_view->replot(QCustomPlot::rpQueuedReplot);
}

/// Told apart by their dashes, not by colours, which mean the two stacks on the bench.
void CurvePlot::dressOverlays() {
    static const QVector<QVector<qreal>> dashes{{1, 2}, {4, 2, 1, 2}, {6, 2}, {2, 4}, {8, 2, 2, 2}};
    for (std::size_t i = 0; i < m_overlay_lines.size(); ++i) {
        QPen pen(blended(m_text, m_base, 0.75), 1.2);
        pen.setDashPattern(dashes[static_cast<qsizetype>(i) % dashes.size()]);
        m_overlay_lines[i]->setPen(pen);
    }
}

void CurvePlot::dressCurve(const Curve& curve, const QColor& colour, const QColor& base, Qt::PenStyle style) {
    QColor veil = blended(colour, base, 0.5);
    veil.setAlphaF(0.38F);
    const QPen edge(blended(colour, base, 0.55), 0.8); // of the band, to be seen on a dark ground too
    curve.low->setPen(edge);
    curve.high->setPen(edge);
    curve.high->setBrush(veil);
    curve.line->setPen(QPen(colour, 2, style));
    curve.past->setPen(QPen(colour, 1, Qt::DotLine));
    curve.mean->setPen(QPen(colour, 2, style));
    veil.setAlphaF(0.22F);
    curve.rim->setPen(QPen(colour, 1, Qt::DotLine));
    curve.rim->setBrush(veil);
    curve.loop->setPen(QPen(colour, 0.8));
    curve.loop->setBrush(QBrush(colour, style == Qt::SolidLine ? Qt::BDiagPattern : Qt::FDiagPattern));
    curve.onset->setPen(QPen(colour, 2));
    curve.onset->setScatterStyle(QCPScatterStyle(QCPScatterStyle::ssDiamond, colour, base, 10));
}

} // namespace shimledger::desk
