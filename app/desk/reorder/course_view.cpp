// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/course_view.h"

#include "app/desk/desk_colours.h"
#include "app/desk/path_text.h"

#include <QDate>
#include <QFontInfo>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::desk {

namespace {

/// From days and pieces to pixels.
struct Scale {
    QRectF area;
    double first_day = 0, last_day = 1, top = 1;

    [[nodiscard]] QPointF at(const services::CoursePoint& point) const {
        return {x(point.day), y(point.pieces)};
    }
    [[nodiscard]] double x(inventory::CalendarDate day) const {
        const auto days = static_cast<double>(day.day().time_since_epoch().count());
        return area.left() + (days - first_day) / (last_day - first_day) * area.width();
    }
    [[nodiscard]] double y(double pieces) const { return area.bottom() - pieces / top * area.height(); }
};

double dayNumber(const services::CoursePoint& point) {
    return static_cast<double>(point.day.day().time_since_epoch().count());
}

double greatest(const services::StockCourse& course) {
    double top = std::max(1.0, static_cast<double>(course.reorder_point.value_or(0)));
    for (const auto* points : {&course.past, &course.without, &course.with}) {
        for (const auto& point : *points) top = std::max(top, point.pieces);
    }
    return top * 1.1;
}

} // namespace

std::vector<double> CourseView::piecesMarked(double most) {
    double step = std::pow(10, std::floor(std::log10(std::max(1.0, most))));
    // Whole pieces, three to six lines.
    for (const double part : {0.2, 0.5, 1.0, 2.0}) {
        if (step * part >= 1 && most / (step * part) <= 5.5) {
            step *= part;
            break;
        }
    }
    std::vector<double> marks;
    const auto steps = static_cast<int>(most / step);
    for (int i = 0; i <= steps; ++i) marks.push_back(i * step);
    return marks;
}

namespace {

/// Stock stands still until it is moved: the past is drawn in steps. Ahead it is expected to wear down day by
/// day, but a delivery comes at once.
QPainterPath pathOf(const std::vector<services::CoursePoint>& points, const Scale& scale, bool steps) {
    QPainterPath path;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const QPointF place = scale.at(points[i]);
        if (i == 0) {
            path.moveTo(place);
            continue;
        }
        const bool delivered = points[i].pieces > points[i - 1].pieces;
        if (steps || delivered) path.lineTo(place.x(), path.currentPosition().y());
        path.lineTo(place);
    }
    return path;
}

void legend(QPainter& painter, const QRectF& area, const std::vector<std::pair<QString, QPen>>& entries) {
    double x = area.left();
    const auto width = [&] {
        double sum = 0;
        for (const auto& entry : entries) {
            sum += 42 + QFontMetricsF(painter.font()).horizontalAdvance(entry.first);
        }
        return sum;
    };
    const double full = width();
    if (full > area.width()) { // in large type beside a wide table
        QFont narrower = painter.font();
        narrower.setPixelSize(
            static_cast<int>(std::max(0.6, area.width() / full) * QFontInfo(narrower).pixelSize()));
        painter.setFont(narrower);
    }
    const QFontMetricsF metrics(painter.font());
    for (const auto& [words, pen] : entries) {
        const double y = area.center().y();
        painter.setPen(pen);
        painter.drawLine(QPointF(x, y), QPointF(x + 24, y));
        painter.setPen(painter.pen().color());
        painter.drawText(QPointF(x + 30, y + metrics.ascent() / 2 - 1), words);
        x += 42 + metrics.horizontalAdvance(words);
    }
}

} // namespace

std::vector<double> CourseView::monthsMarked(double first_day, double last_day) {
    std::vector<double> marks;
    const QDate epoch(1970, 1, 1);
    QDate month = epoch.addDays(static_cast<qint64>(std::ceil(first_day)));
    if (month.day() > 1) month = QDate(month.year(), month.month(), 1).addMonths(1);
    for (; static_cast<double>(epoch.daysTo(month)) <= last_day; month = month.addMonths(1)) {
        marks.push_back(static_cast<double>(epoch.daysTo(month)));
    }
    return marks;
}

CourseView::CourseView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Stock over time"));
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
}

void CourseView::show(std::optional<services::StockCourse> course) {
    m_course = std::move(course);
    setAccessibleDescription(m_course ? sentence(*m_course) : QString());
    setToolTip(accessibleDescription());
    update();
}

QString CourseView::sentence(const services::StockCourse& course) {
    const auto pieces = [](const std::vector<services::CoursePoint>& points) {
        return points.empty() ? 0LL : std::llround(points.back().pieces);
    };
    QString words =
        tr("%1: %2 on hand now; in %3 weeks %4 are expected if nothing is ordered, %5 as planned.")
            .arg(textOf(course.part))
            .arg(pieces(course.past))
            .arg(std::max<std::size_t>(1, course.with.size()) - 1)
            .arg(pieces(course.without))
            .arg(pieces(course.with));
    for (std::size_t i = 1; i < course.with.size(); ++i) {
        if (course.with[i].pieces <= course.with[i - 1].pieces) continue;
        words += tr(" The delivery is expected by %1.").arg(textOf(course.with[i].day.text()));
        break;
    }
    if (course.reorder_point) words += tr(" The reorder point is %1.").arg(*course.reorder_point);
    return words;
}

void CourseView::paintEvent(QPaintEvent* /*event*/) {
    QPainter painter(this);
    painter.fillRect(rect(), palette().base());
    const DeskColours colours = DeskColours::of(palette());
    const QFontMetricsF metrics(font());
    if (!m_course || m_course->past.empty() || m_course->with.empty()) {
        painter.setPen(colours.quiet);
        painter.drawText(rect(), Qt::AlignCenter, tr("Pick a line to see its stock over time."));
        return;
    }
    painter.setRenderHint(QPainter::Antialiasing);
    const services::StockCourse& course = *m_course;
    Scale scale;
    scale.top = greatest(course);
    scale.first_day = dayNumber(course.past.front());
    scale.last_day = dayNumber(course.with.back());
    const double line = metrics.height();
    const double side = metrics.horizontalAdvance(QString::number(std::llround(scale.top))) + 12;
    scale.area = QRectF(rect()).adjusted(side, line * 1.5, -12, -line * 2.8);

    painter.setPen(colours.quiet);
    painter.drawText(QPointF(side, line), tr("%1, pieces; a line a month").arg(textOf(course.what)));
    for (const double pieces : piecesMarked(scale.top)) {
        const double y = scale.y(pieces);
        painter.setPen(colours.quiet);
        painter.drawText(QRectF(0, y - line / 2, side - 6, line), Qt::AlignRight | Qt::AlignVCenter,
                         QString::number(std::llround(pieces)));
        painter.setPen(palette().color(QPalette::AlternateBase));
        painter.drawLine(QPointF(scale.area.left(), y), QPointF(scale.area.right(), y));
    }
    painter.setPen(palette().color(QPalette::AlternateBase));
    for (const double month : monthsMarked(scale.first_day, scale.last_day)) {
        const double x = scale.area.left() +
                         (month - scale.first_day) / (scale.last_day - scale.first_day) * scale.area.width();
        painter.drawLine(QPointF(x, scale.area.top()), QPointF(x, scale.area.bottom()));
    }
    painter.setPen(colours.quiet);
    painter.drawRect(scale.area);
    const double today = scale.x(course.past.back().day);
    painter.drawLine(QPointF(today, scale.area.top()), QPointF(today, scale.area.bottom()));
    const QRectF dates(side, scale.area.bottom() + 2, scale.area.width(), line);
    painter.drawText(dates, Qt::AlignLeft, textOf(course.past.front().day.text()));
    painter.drawText(dates, Qt::AlignRight, textOf(course.with.back().day.text()));
    const QString now = tr("today, %1").arg(textOf(course.past.back().day.text()));
    const double now_width = metrics.horizontalAdvance(now);
    const double beside = dates.right() - metrics.horizontalAdvance(now.right(10)) - 12; // the last date
    painter.drawText(
        QPointF(std::min(today - now_width / 2, beside - now_width), dates.top() + metrics.ascent()), now);

    const QPen was(colours.target, 2), nothing(colours.bad, 2, Qt::DotLine),
        planned(colours.good, 2, Qt::DashLine), point(colours.quiet, 1, Qt::DashDotLine);
    painter.strokePath(pathOf(course.past, scale, true), was);
    painter.strokePath(pathOf(course.without, scale, false), nothing);
    painter.strokePath(pathOf(course.with, scale, false), planned);
    std::vector<std::pair<QString, QPen>> entries{
        {tr("on hand"), was}, {tr("nothing ordered"), nothing}, {tr("as planned"), planned}};
    if (course.reorder_point) {
        const double y = scale.y(static_cast<double>(*course.reorder_point));
        painter.setPen(point);
        painter.drawLine(QPointF(scale.area.left(), y), QPointF(scale.area.right(), y));
        entries.emplace_back(tr("reorder point %1").arg(*course.reorder_point), point);
    }
    legend(painter, QRectF(side, dates.bottom(), scale.area.width(), line * 1.5), entries);
}

} // namespace shimledger::desk
