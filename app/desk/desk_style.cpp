// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_style.h"

#include "app/desk/desk_colours.h"

#include <QApplication>
#include <QHeaderView>
#include <QIconEngine>
#include <QPainter>
#include <QPushButton>
#include <QStyleOption>
#include <QTableView>

namespace shimledger::desk {

namespace {

constexpr int ring_width = 2;
constexpr int cell_margin = 6; // left and right of the words of a cell or a head
constexpr int usual_margin = 3;

QColor ringColour(const QStyleOption& option) {
    return option.state.testFlag(QStyle::State_Selected) ? option.palette.color(QPalette::HighlightedText)
                                                         : focusColour(option.palette);
}

void drawRing(QPainter& painter, const QRect& rect, const QColor& colour, qreal radius) {
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing, radius > 0);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(colour, ring_width, Qt::SolidLine, Qt::SquareCap, Qt::MiterJoin));
    constexpr qreal half = ring_width / 2.0;
    painter.drawRoundedRect(QRectF(rect).adjusted(half, half, -half, -half), radius, radius);
    painter.restore();
}

bool picksRows(const QTableView& table) {
    return table.selectionBehavior() == QAbstractItemView::SelectRows;
}

/// The table whose current row this cell is in, where rows are picked as a whole and the keys go there.
const QTableView* rowFramedTable(const QStyleOptionViewItem& item, const QWidget* widget) {
    const auto* table = qobject_cast<const QTableView*>(widget);
    const bool framed = table != nullptr && picksRows(*table) && table->hasFocus() && item.index.isValid() &&
                        table->currentIndex().row() == item.index.row();
    return framed ? table : nullptr;
}

/// Above and below each cell, and at the ends of the row: together one frame.
void drawPartOfRowFrame(QPainter& painter, const QStyleOptionViewItem& item, const QTableView& table) {
    const QHeaderView& header = *table.horizontalHeader();
    const int place = header.visualIndex(item.index.column());
    int first = 0;
    while (first < header.count() && header.isSectionHidden(header.logicalIndex(first))) {
        ++first;
    }
    int last = header.count() - 1;
    while (last > first && header.isSectionHidden(header.logicalIndex(last))) {
        --last;
    }
    const QColor colour = ringColour(item);
    const QRect& cell = item.rect;
    painter.fillRect(QRect(cell.left(), cell.top(), cell.width(), ring_width), colour);
    painter.fillRect(QRect(cell.left(), cell.bottom() + 1 - ring_width, cell.width(), ring_width), colour);
    if (place == first) {
        painter.fillRect(QRect(cell.left(), cell.top(), ring_width, cell.height()), colour);
    }
    if (place == last) {
        painter.fillRect(QRect(cell.right() + 1 - ring_width, cell.top(), ring_width, cell.height()), colour);
    }
}

/// Two arrow heads to the right, in the colour that words have when they are drawn.
class MoreArrows : public QIconEngine {
public:
    void paint(QPainter* painter, const QRect& rect, QIcon::Mode mode, QIcon::State /*state*/) override {
        const QPalette::ColorGroup group = mode == QIcon::Disabled ? QPalette::Disabled : QPalette::Active;
        painter->save();
        painter->setRenderHint(QPainter::Antialiasing);
        painter->translate(rect.topLeft());
        painter->scale(rect.width() / 16.0, rect.height() / 16.0);
        painter->setPen(QPen(QApplication::palette().color(group, QPalette::ButtonText), 2, Qt::SolidLine,
                             Qt::RoundCap, Qt::RoundJoin));
        for (const int left : {3, 8}) {
            painter->drawPolyline(QPolygon({{left, 3}, {left + 5, 8}, {left, 13}}));
        }
        painter->restore();
    }
    QPixmap pixmap(const QSize& size, QIcon::Mode mode, QIcon::State state) override {
        QPixmap picture(size);
        picture.fill(Qt::transparent);
        QPainter painter(&picture);
        paint(&painter, QRect({}, size), mode, state);
        return picture;
    }
    [[nodiscard]] QIconEngine* clone() const override { return new MoreArrows(*this); }
};

} // namespace

QColor focusColour(const QPalette& palette) {
    return DeskColours::of(palette).target;
}

void DeskStyle::install() {
    if (qobject_cast<DeskStyle*>(QApplication::style()) == nullptr) {
        QApplication::setStyle(new DeskStyle); // the application owns it
    }
    // The analyser does not see into the application.
    // NOLINTNEXTLINE(clang-analyzer-cplusplus.NewDeleteLeaks)
}

void DeskStyle::drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                              const QWidget* widget) const {
    if (element == PE_FrameFocusRect) {
        const auto* table = qobject_cast<const QTableView*>(widget);
        const bool framed = table != nullptr && picksRows(*table);               // the row has a frame
        const bool ringed = qobject_cast<const QPushButton*>(widget) != nullptr; // about its edge
        if (!framed && !ringed) {
            drawRing(*painter, option->rect, ringColour(*option), 0);
        }
        return;
    }
    QProxyStyle::drawPrimitive(element, option, painter, widget);
    if (element == PE_PanelLineEdit && option->state.testFlag(State_HasFocus)) {
        const auto* frame = qstyleoption_cast<const QStyleOptionFrame*>(option);
        if (frame != nullptr && frame->lineWidth > 0) { // without a frame it is part of a larger field
            drawRing(*painter, option->rect, focusColour(option->palette), 2);
        }
    }
}

void DeskStyle::drawControl(ControlElement element, const QStyleOption* option, QPainter* painter,
                            const QWidget* widget) const {
    if (const auto* head = qstyleoption_cast<const QStyleOptionHeader*>(option);
        head != nullptr && element == CE_HeaderLabel) {
        QStyleOptionHeaderV2 narrower;
        static_cast<QStyleOptionHeader&>(narrower) = *head;
        constexpr int more = cell_margin - usual_margin;
        narrower.rect.adjust(more, 0, -more, 0);
        QProxyStyle::drawControl(element, &narrower, painter, widget);
        return;
    }
    QProxyStyle::drawControl(element, option, painter, widget);
    if (element == CE_PushButton && option->state.testFlag(State_HasFocus)) {
        drawRing(*painter, option->rect, focusColour(option->palette), 2);
    }
    if (element == CE_ItemViewItem) {
        const auto* item = qstyleoption_cast<const QStyleOptionViewItem*>(option);
        const QTableView* table = item != nullptr ? rowFramedTable(*item, widget) : nullptr;
        if (table != nullptr) {
            drawPartOfRowFrame(*painter, *item, *table);
        }
    }
}

void DeskStyle::drawComplexControl(ComplexControl control, const QStyleOptionComplex* option,
                                   QPainter* painter, const QWidget* widget) const {
    QProxyStyle::drawComplexControl(control, option, painter, widget);
    const bool ringed = control == CC_ComboBox || control == CC_SpinBox;
    if (ringed && option->state.testFlag(State_HasFocus)) {
        drawRing(*painter, option->rect, focusColour(option->palette), 2);
    }
}

int DeskStyle::pixelMetric(PixelMetric metric, const QStyleOption* option, const QWidget* widget) const {
    // A table's cells keep one pixel more than this from their edges.
    if (metric == PM_FocusFrameHMargin && qobject_cast<const QTableView*>(widget) != nullptr) {
        return cell_margin - 1;
    }
    return QProxyStyle::pixelMetric(metric, option, widget);
}

QIcon DeskStyle::standardIcon(StandardPixmap which, const QStyleOption* option, const QWidget* widget) const {
    if (which == SP_ToolBarHorizontalExtensionButton) {
        return QIcon(new MoreArrows); // which the icon owns
    }
    return QProxyStyle::standardIcon(which, option, widget);
}

QSize DeskStyle::sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                                  const QWidget* widget) const {
    const QSize whole = QProxyStyle::sizeFromContents(type, option, size, widget);
    return type == CT_HeaderSection ? whole + QSize(2 * (cell_margin - usual_margin), 0) : whole;
}

} // namespace shimledger::desk
