// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/plot_parts.h"

#include "app/desk/desk_colours.h"

#include <qcustomplot.h>

#include <QFontMetrics>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int legend_margins = 24;

} // namespace

void dressPlotAxis(QCPAxis& axis, const QColor& text, const QColor& base, const QFont& font) {
    const QPen pen(blended(text, base, 0.6));
    axis.setBasePen(pen);
    axis.setTickPen(pen);
    axis.setSubTickPen(pen);
    axis.setLabelColor(text);
    axis.setTickLabelColor(text);
    axis.setLabelFont(font);
    axis.setTickLabelFont(font);
    axis.grid()->setPen(QPen(blended(text, base, 0.15)));
    axis.grid()->setZeroLinePen(QPen(blended(text, base, 0.5)));
}

QCPItemStraightLine* straightLineIn(QCustomPlot& plot, QCPAxisRect& rect) {
    auto* line = new QCPItemStraightLine(&plot);
    line->setClipAxisRect(&rect);
    for (QCPItemPosition* position : {line->point1, line->point2}) {
        position->setAxisRect(&rect);
        position->setAxes(rect.axis(QCPAxis::atBottom), rect.axis(QCPAxis::atLeft));
    }
    return line;
}

QCPLegend* addPlotLegend(QCustomPlot& plot) {
    auto* legend = new QCPLegend;
    plot.plotLayout()->addElement(0, 0, legend);
    plot.plotLayout()->setRowStretchFactor(0, 0.001); // as low as its text
    legend->setLayer(QStringLiteral("legend"));
    legend->setFillOrder(QCPLayoutGrid::foColumnsFirst);
    legend->setMargins(QMargins(legend_margins - 4, 2, 4, 0));
    return legend;
}

void fitPlotLegend(QCustomPlot& plot, QCPLegend& legend, const std::vector<QCPAbstractPlottable*>& named,
                   const QFontMetrics& metrics) {
    constexpr int line_pixels = 22;
    constexpr int gaps = 20; // around a name, and to the next
    constexpr std::size_t most_in_two_lines = 4;
    const bool low = plot.height() < 17 * metrics.height();
    const std::size_t shown = low ? std::min(named.size(), most_in_two_lines) : named.size();
    int needed = 0;
    for (std::size_t i = 0; i < shown; ++i)
        needed += metrics.horizontalAdvance(named[i]->name()) + line_pixels + gaps;
    legend.clearItems();
    legend.setIconSize(line_pixels, metrics.height());
    const int all = static_cast<int>(shown);
    legend.setWrap(needed <= plot.width() - legend_margins ? std::max(1, all) : std::max(1, (all + 1) / 2));
    for (std::size_t i = 0; i < shown; ++i) named[i]->addToLegend(&legend);
    // A legend without names would be as narrow as nothing, and the plots beneath it with it.
    constexpr int wider_than_any_view = 100'000;
    legend.setMaximumSize(shown == 0 ? wider_than_any_view : QWIDGETSIZE_MAX, QWIDGETSIZE_MAX);
    for (int column = 0; column < legend.columnCount(); ++column)
        legend.setColumnStretchFactor(column, 0.001);
}

} // namespace shimledger::desk
