// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/section_painter.h"

#include "planner/stack/stack_text.h"

#include <QPainterPath>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr double piston_pixels = 26;
constexpr double clamp_pixels = 20;

QPolygonF onPaper(const SectionScale& scale, const QPolygonF& outline) {
    QPolygonF points;
    for (const QPointF& point : outline) {
        points << scale.at(point);
    }
    return points;
}

} // namespace

std::vector<double> spreadLabels(std::vector<double> wanted, double label_height, double top, double bottom) {
    double limit = bottom - label_height / 2;
    for (double& centre : wanted) { // from the lowest upward: never below its neighbour's upper edge
        centre = std::min(centre, limit);
        limit = centre - label_height;
    }
    limit = top + label_height / 2;
    for (auto centre = wanted.rbegin(); centre != wanted.rend(); ++centre) { // and back down inside the top
        *centre = std::max(*centre, limit);
        limit = *centre + label_height;
    }
    return wanted;
}

QString SectionPainter::rowName(const std::vector<planner::DiscRow>& rows, int row) {
    return QStringLiteral("%1.  %2").arg(row + 1).arg(
        QString::fromStdString(planner::rowText(rows[static_cast<std::size_t>(row)])));
}

bool SectionPainter::highlighted(const BenchSide& side, int row) const {
    const auto i = static_cast<std::size_t>(row);
    const int target_row = i < side.target_rows.size() ? side.target_rows[i] : row;
    return m_style.highlighted_row >= 0 && target_row == m_style.highlighted_row;
}

QColor SectionPainter::sideColour() const {
    return m_scale.right ? m_style.colours.substitute : m_style.colours.target;
}

void SectionPainter::fillBlock(double inner_mm, double outer_mm, double from_y, double to_y,
                               const QBrush& brush) {
    const double inner = m_scale.at({inner_mm, 0}).x();
    const double outer = m_scale.at({outer_mm, 0}).x();
    const QRectF block = QRectF(QPointF(inner, from_y), QPointF(outer, to_y)).normalized();
    m_painter.fillRect(
        block, blended(m_style.palette.color(QPalette::Text), m_style.palette.color(QPalette::Base), 0.14));
    m_painter.setBrush(brush);
    m_painter.drawRect(block);
}

void SectionPainter::drawPiston(const planner::ValveGeometry& valve, double outer_radius_mm) {
    const QColor line = m_style.colours.quiet;
    const QBrush hatch(blended(line, m_style.palette.color(QPalette::Base), 0.5), Qt::BDiagPattern);
    m_painter.setPen(QPen(line, 1));
    const double shaft = valve.shim_id.millimetres() / 2;
    const double port_inner = valve.port_inner_diameter.millimetres() / 2;
    const double port_outer = valve.port_outer_diameter.millimetres() / 2;
    const double face = m_scale.face.y();
    // A raised seat stands above the clamp plane by the preload.
    const double seat_top = m_scale.at({0, valve.preload.millimetres()}).y();
    fillBlock(shaft, port_inner, face, face + piston_pixels, hatch);
    fillBlock(port_outer, outer_radius_mm + 0.6, valve.seat_diameter ? seat_top : face, face + piston_pixels,
              hatch);
    const QPointF from((m_scale.at({port_inner, 0}).x() + m_scale.at({port_outer, 0}).x()) / 2,
                       face + piston_pixels);
    const QPointF tip = from - QPointF(0, piston_pixels - 7);
    m_painter.setPen(QPen(sideColour(), 1.6)); // which way the oil pushes
    m_painter.drawLine(from, tip);
    m_painter.drawLine(tip, tip + QPointF(-3.5, 5));
    m_painter.drawLine(tip, tip + QPointF(3.5, 5));
}

void SectionPainter::drawDiscs(const BenchSide& side, const SectionGeometry& section) {
    const QColor base = m_style.palette.color(QPalette::Base);
    for (const DiscOutline& disc : section.discs) {
        const auto row = static_cast<std::size_t>(disc.row);
        const bool replaced = row < side.replaced.size() && side.replaced[row];
        const bool marked = highlighted(side, disc.row);
        const double strength = marked ? 0.62 : disc.row % 2 == 0 ? 0.34 : 0.20;
        const QPolygonF shape = onPaper(m_scale, disc.outline);
        m_painter.setPen(QPen(sideColour(), marked ? 1.8 : 0.9));
        m_painter.setBrush(blended(sideColour(), base, strength));
        m_painter.drawPolygon(shape);
        if (replaced) { // told by hatching as well, not by colour alone
            m_painter.setBrush(QBrush(sideColour(), Qt::Dense6Pattern));
            m_painter.drawPolygon(shape);
        }
    }
}

void SectionPainter::drawClamp(const planner::ValveGeometry& valve, double height_mm, double shaft_mm) {
    const double top = m_scale.at({0, height_mm}).y();
    m_painter.setPen(QPen(m_style.colours.quiet, 1));
    const QBrush hatch(blended(m_style.colours.quiet, m_style.palette.color(QPalette::Base), 0.5),
                       Qt::FDiagPattern);
    fillBlock(valve.shim_id.millimetres() / 2, valve.clamp_od.millimetres() / 2, top - clamp_pixels, top,
              hatch);
    const double shaft_top = m_scale.at({0, shaft_mm}).y() - clamp_pixels - 6;
    fillBlock(0, valve.shim_id.millimetres() / 2, shaft_top, m_scale.face.y() + piston_pixels, Qt::NoBrush);
}

void SectionPainter::drawTouches(const SectionGeometry& section) {
    m_painter.setPen(Qt::NoPen);
    m_painter.setBrush(m_style.palette.color(QPalette::Text));
    for (const TouchPoint& touch : section.touches) {
        m_painter.drawEllipse(m_scale.at(touch.at), 2.2, 2.2);
    }
}

void SectionPainter::drawLabels(const BenchSide& side, const SectionGeometry& section) {
    const auto& rows = side.stack.rows();
    const QFontMetricsF metrics(m_painter.font());
    const bool two_lines =
        m_style.labels.height() >= static_cast<double>(rows.size()) * 2.2 * metrics.height();
    const double height = (two_lines ? 2.1 : 1.1) * metrics.height();
    std::vector<QPointF> edges(rows.size());
    std::vector<double> wanted(rows.size());
    for (const DiscOutline& disc : section.discs) { // the upper disc of a row is the last of it
        const auto middle = disc.outline.size() / 2;
        const QPointF edge = (disc.outline[middle - 1] + disc.outline[middle]) / 2;
        edges[static_cast<std::size_t>(disc.row)] = m_scale.at(edge);
        wanted[static_cast<std::size_t>(disc.row)] = m_scale.at(edge).y();
    }
    const auto centres = spreadLabels(wanted, height, m_style.labels.top(), m_style.labels.bottom());
    const bool right = m_scale.right;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const int row = static_cast<int>(i);
        const bool marked = highlighted(side, row);
        QFont font = m_painter.font();
        font.setBold(marked);
        m_painter.save();
        m_painter.setFont(font);
        const double near = right ? m_style.labels.left() : m_style.labels.right();
        const QPointF knee(near - (right ? 14.0 : -14.0), centres[i]);
        m_painter.setPen(QPen(blended(m_style.colours.quiet, m_style.palette.color(QPalette::Base), 0.6), 1));
        m_painter.drawPolyline(QPolygonF{{edges[i], knee, QPointF(near - (right ? 3 : -3), centres[i])}});
        QRectF place(m_style.labels.left(), centres[i] - height / 2, m_style.labels.width(), height);
        const auto align = static_cast<int>((right ? Qt::AlignLeft : Qt::AlignRight) | Qt::AlignVCenter);
        const QString name = rowName(rows, row);
        m_painter.setPen(m_style.palette.color(QPalette::Text));
        if (two_lines) {
            place.setHeight(height / 2);
        }
        m_painter.drawText(place, align, QFontMetricsF(font).elidedText(name, Qt::ElideRight, place.width()));
        if (two_lines && row < side.row_notes.size()) {
            font.setBold(false);
            m_painter.setFont(font);
            place.translate(0, height / 2);
            m_painter.setPen(m_style.colours.quiet);
            m_painter.drawText(place, align,
                               metrics.elidedText(side.row_notes[row], Qt::ElideRight, place.width()));
        }
        m_painter.restore();
    }
}

} // namespace shimledger::desk
