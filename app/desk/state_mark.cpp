// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/state_mark.h"

#include "app/desk/desk_colours.h"

#include <QPainter>
#include <QPixmap>
#include <QPixmapCache>

namespace shimledger::desk {

namespace {

constexpr int side = 16;
constexpr int oversampling = 3; // stays crisp when the screen is scaled
const QString picked_suffix = QStringLiteral("/picked");

void paintMark(QPainter& painter, StateMark mark, const DeskColours& colours, const QColor& base) {
    switch (mark) {
    case StateMark::good:
        painter.setPen(QPen(colours.good, 2.4, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        painter.drawPolyline(QPolygonF{{QPointF(3, 8.5), QPointF(6.5, 12), QPointF(13, 4)}});
        break;
    case StateMark::held:
        painter.setPen(Qt::NoPen);
        painter.setBrush(colours.target);
        painter.drawRect(QRectF(3.5, 3.5, 9, 9));
        break;
    case StateMark::done:
        painter.setPen(Qt::NoPen);
        painter.setBrush(colours.quiet);
        painter.drawEllipse(QRectF(3, 3, 10, 10));
        break;
    case StateMark::missing:
        painter.setPen(Qt::NoPen);
        painter.setBrush(colours.bad);
        painter.drawPolygon(QPolygonF{{QPointF(8, 1.5), QPointF(15, 14.5), QPointF(1, 14.5)}});
        painter.setPen(QPen(base, 1.8, Qt::SolidLine, Qt::RoundCap));
        painter.drawLine(QPointF(8, 6.5), QPointF(8, 10));
        painter.drawPoint(QPointF(8, 12.4));
        break;
    case StateMark::low:
        painter.setPen(Qt::NoPen);
        painter.setBrush(colours.warning);
        painter.drawPolygon(QPolygonF{{QPointF(2, 4), QPointF(14, 4), QPointF(8, 13)}});
        break;
    case StateMark::unknown:
        painter.setPen(QPen(colours.quiet, 1.6));
        painter.drawEllipse(QRectF(3.5, 3.5, 9, 9));
        break;
    case StateMark::none:
        break;
    }
}

QPixmap pixmapOf(StateMark mark, const DeskColours& colours, const QColor& base) {
    QPixmap pixmap(side * oversampling, side * oversampling);
    pixmap.setDevicePixelRatio(oversampling);
    pixmap.fill(Qt::transparent);
    QPainter painter(&pixmap);
    painter.setRenderHint(QPainter::Antialiasing);
    paintMark(painter, mark, colours, base);
    return pixmap;
}

QIcon iconOf(const QPixmap& pixmap, const QPixmap& picked) {
    QIcon icon(pixmap);
    icon.addPixmap(picked, QIcon::Selected);
    return icon;
}

} // namespace

QIcon stateMarkIcon(StateMark mark, const QPalette& palette) {
    // Tables ask for a mark with every cell that they paint.
    const QString key =
        QStringLiteral("state-mark/%1/%2").arg(static_cast<int>(mark)).arg(palette.cacheKey());
    QPixmap pixmap;
    QPixmap picked;
    if (QPixmapCache::find(key, &pixmap) && QPixmapCache::find(key + picked_suffix, &picked)) {
        return iconOf(pixmap, picked);
    }
    pixmap = pixmapOf(mark, DeskColours::of(palette), palette.color(QPalette::Base));
    // On the ground of a picked row its colours would be lost; the shape tells it there.
    const QColor ink = palette.color(QPalette::HighlightedText);
    picked = pixmapOf(mark, {ink, ink, ink, ink, ink, ink}, palette.color(QPalette::Highlight));
    QPixmapCache::insert(key, pixmap);
    QPixmapCache::insert(key + picked_suffix, picked);
    return iconOf(pixmap, picked);
}

} // namespace shimledger::desk
