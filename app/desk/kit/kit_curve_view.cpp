// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/kit/kit_curve_view.h"

#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "inventory/money.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr int steps = 50; // of the handle, from the one end to the other

QString percentText(double share) {
    return QString::number(100 * share, 'f', 1) + QStringLiteral(" %");
}

} // namespace

KitCurveView::KitCurveView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Jobs built at once, over money"));
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
    setToolTip(tr("Drag the handle, or Left and Right: another budget. Return plans for it."));
}

void KitCurveView::show(std::vector<planner::KitCurvePoint> curve, std::int64_t budget) {
    m_curve = std::move(curve);
    m_budget = budget;
    m_dragging = false;
    setAccessibleDescription(sentence());
    update();
}

QRectF KitCurveView::area() const {
    const QFontMetricsF metrics(font());
    return QRectF(rect()).adjusted(metrics.horizontalAdvance(QStringLiteral("100 %")) + 10,
                                   metrics.height() * 0.8, -14, -metrics.height() * 2.9);
}

QPointF KitCurveView::at(std::int64_t budget, double share) const {
    const QRectF inside = area();
    const double most = m_curve.empty() ? 1 : static_cast<double>(m_curve.back().budget);
    return {inside.left() + static_cast<double>(budget) / most * inside.width(),
            inside.bottom() - share * inside.height()};
}

double KitCurveView::builtAt(std::int64_t budget) const {
    std::int64_t left = 0;
    double left_share = m_curve.empty() ? 0 : m_curve.front().fresh;
    if (!m_curve.empty() && budget <= m_curve.front().budget) return left_share;
    for (const planner::KitCurvePoint& point : m_curve) {
        if (budget <= point.budget) {
            const double part = static_cast<double>(budget - left) / static_cast<double>(point.budget - left);
            return left_share + part * (point.fresh - left_share);
        }
        left = point.budget;
        left_share = point.fresh;
    }
    return left_share;
}

QPointF KitCurveView::handle() const {
    return at(m_budget, builtAt(m_budget));
}

QString KitCurveView::sentence() const {
    if (m_curve.empty()) return tr("There is no plan yet.");
    return tr("For %1 about %2 of the season's jobs are built at once.")
        .arg(textOf(inventory::moneyText(m_budget)), percentText(builtAt(m_budget)));
}

void KitCurveView::moveTo(std::int64_t budget) {
    if (m_curve.empty()) return;
    budget = std::clamp<std::int64_t>(budget, 100, m_curve.back().budget);
    if (budget == m_budget) return;
    m_budget = budget;
    setAccessibleDescription(sentence());
    update();
    emit moved(m_budget);
}

void KitCurveView::moveToPixel(double x) {
    if (m_curve.empty()) return;
    const QRectF inside = area();
    const double part = (x - inside.left()) / std::max(1.0, inside.width());
    const auto whole = static_cast<std::int64_t>(part * static_cast<double>(m_curve.back().budget) / 100);
    moveTo(whole * 100); // whole euros
}

void KitCurveView::mousePressEvent(QMouseEvent* event) {
    guard(this, [&] {
        if (event->button() != Qt::LeftButton || m_curve.empty()) return;
        m_dragging = true;
        moveToPixel(event->position().x());
    });
}

void KitCurveView::mouseMoveEvent(QMouseEvent* event) {
    guard(this, [&] {
        if (m_dragging) moveToPixel(event->position().x());
    });
}

void KitCurveView::mouseReleaseEvent(QMouseEvent* /*event*/) {
    guard(this, [&] {
        if (std::exchange(m_dragging, false)) emit chosen(m_budget);
    });
}

void KitCurveView::keyPressEvent(QKeyEvent* event) {
    guard(this, [&] {
        if (m_curve.empty()) {
            QWidget::keyPressEvent(event);
            return;
        }
        const std::int64_t most = m_curve.back().budget;
        const std::int64_t step = std::max<std::int64_t>(100, most / steps / 100 * 100);
        constexpr int page = 10;
        switch (event->key()) {
        case Qt::Key_Left:
        case Qt::Key_Down:
            moveTo(m_budget - step);
            break;
        case Qt::Key_Right:
        case Qt::Key_Up:
            moveTo(m_budget + step);
            break;
        case Qt::Key_PageDown:
            moveTo(m_budget - page * step);
            break;
        case Qt::Key_PageUp:
            moveTo(m_budget + page * step);
            break;
        case Qt::Key_Home:
            moveTo(m_curve.front().budget);
            break;
        case Qt::Key_End:
            moveTo(most);
            break;
        case Qt::Key_Return:
        case Qt::Key_Enter:
            emit chosen(m_budget);
            break;
        default:
            QWidget::keyPressEvent(event);
        }
    });
}

void KitCurveView::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    update();
}

void KitCurveView::focusOutEvent(QFocusEvent* event) {
    QWidget::focusOutEvent(event);
    update();
}

void KitCurveView::paintEvent(QPaintEvent* /*event*/) {
    QPainter painter(this);
    painter.fillRect(rect(), palette().base());
    const DeskColours colours = DeskColours::of(palette());
    if (m_curve.empty()) {
        painter.setPen(colours.quiet);
        painter.drawText(rect(), Qt::AlignCenter | Qt::TextWordWrap,
                         tr("Jobs built at once, over money: drawn once a plan is there."));
        return;
    }
    painter.setRenderHint(QPainter::Antialiasing);
    const QFontMetricsF metrics(font());
    const double line = metrics.height();
    const QRectF inside = area();
    for (const int percent : {0, 25, 50, 75, 100}) {
        const double y = at(0, percent / 100.0).y();
        painter.setPen(palette().color(QPalette::AlternateBase));
        painter.drawLine(QPointF(inside.left(), y), QPointF(inside.right(), y));
        painter.setPen(colours.quiet);
        painter.drawText(QRectF(0, y - line / 2, inside.left() - 6, line), Qt::AlignRight | Qt::AlignVCenter,
                         QStringLiteral("%1 %").arg(percent));
    }
    painter.setPen(colours.quiet);
    painter.drawRect(inside);
    const std::int64_t most = m_curve.back().budget;
    constexpr int marks = 4;
    for (int i = 0; i <= marks; ++i) {
        const std::int64_t budget = most * i / marks;
        const double x = at(budget, 0).x();
        const QString words = QString::number(budget / 100);
        const double width = metrics.horizontalAdvance(words);
        painter.drawText(QPointF(std::min(x - width / 2, inside.right() - width), inside.bottom() + line),
                         words);
    }
    const auto path = [&](auto share) {
        QPainterPath way;
        for (const planner::KitCurvePoint& point : m_curve) {
            const QPointF place = at(point.budget, share(point));
            if (way.elementCount() == 0)
                way.moveTo(place);
            else
                way.lineTo(place);
        }
        return way;
    };
    const QPen plain(colours.quiet, 2, Qt::DashLine), ours(colours.target, 2);
    painter.strokePath(path([](const auto& point) { return point.plain; }), plain);
    painter.strokePath(path([](const auto& point) { return point.fresh; }), ours);
    painter.setBrush(colours.target);
    painter.setPen(Qt::NoPen);
    for (const planner::KitCurvePoint& point : m_curve)
        painter.drawEllipse(at(point.budget, point.fresh), 3, 3);
    const QPointF place = handle();
    painter.setPen(QPen(colours.good, 1, Qt::DotLine));
    painter.drawLine(QPointF(place.x(), inside.top()), QPointF(place.x(), inside.bottom()));
    painter.setPen(QPen(palette().color(QPalette::Text), hasFocus() ? 3 : 1.5));
    painter.setBrush(colours.good);
    painter.drawEllipse(place, 8, 8);
    // What the lines are, and where the handle stands.
    double x = inside.left();
    const double y = inside.bottom() + 2.2 * line;
    for (const auto& [words, pen] :
         {std::pair{tr("this plan"), ours}, std::pair{tr("reorder points"), plain}}) {
        painter.setPen(pen);
        painter.drawLine(QPointF(x, y - line / 3), QPointF(x + 22, y - line / 3));
        painter.setPen(palette().color(QPalette::Text));
        painter.drawText(QPointF(x + 27, y), words);
        x += 42 + metrics.horizontalAdvance(words);
    }
    const QString here =
        tr("%1: %2").arg(textOf(inventory::moneyText(m_budget)), percentText(builtAt(m_budget)));
    painter.drawText(QRectF(x, y - line, inside.right() - x, 1.3 * line), Qt::AlignRight | Qt::AlignVCenter,
                     here);
}

} // namespace shimledger::desk
