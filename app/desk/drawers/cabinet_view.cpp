#include "app/desk/drawers/cabinet_view.h"

#include "app/desk/desk_colours.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int gap = 6;
constexpr int mark_side = 16;

} // namespace

CabinetView::CabinetView(QWidget* parent) : QWidget(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(tr("Drawers of the cabinet"));
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Minimum);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

void CabinetView::setBoxes(std::vector<DrawerBox> boxes) {
    if (boxes == m_boxes) {
        return;
    }
    const QString before = current();
    m_boxes = std::move(boxes);
    m_current = -1;
    setCurrent(before);
    setMinimumHeight(heightForWidth(width()));
    updateGeometry();
    update();
}

QString CabinetView::current() const {
    return m_current < 0 ? QString() : m_boxes[static_cast<std::size_t>(m_current)].bin;
}

void CabinetView::setCurrent(const QString& bin) {
    const auto found = std::ranges::find_if(m_boxes, [&](const DrawerBox& box) { return box.bin == bin; });
    m_current = found == m_boxes.end() ? -1 : static_cast<int>(found - m_boxes.begin());
    if (m_current >= 0) {
        setAccessibleDescription(tr("%1: %2, %3").arg(found->bin, found->contents, found->amount));
    }
    update();
}

QSize CabinetView::boxSize() const {
    return {fontMetrics().horizontalAdvance(QStringLiteral("48.0 x 59.0 x 11.00")) + 2 * gap,
            3 * fontMetrics().height() + gap};
}

int CabinetView::columns(int width) const {
    return std::max(1, (width - gap) / (boxSize().width() + gap));
}

int CabinetView::heightForWidth(int width) const {
    const int each = columns(width);
    const int rows = (static_cast<int>(m_boxes.size()) + each - 1) / each;
    return gap + rows * (boxSize().height() + gap);
}

QSize CabinetView::sizeHint() const {
    const int wide = 3 * (boxSize().width() + gap) + gap;
    return {wide, heightForWidth(wide)};
}

QRect CabinetView::boxRect(int box) const {
    const int each = columns(width());
    const QSize size = boxSize();
    return {QPoint(gap + (box % each) * (size.width() + gap), gap + (box / each) * (size.height() + gap)),
            size};
}

void CabinetView::paintEvent(QPaintEvent* event) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(event->rect(), palette().color(QPalette::Base));
    const DeskColours colours = DeskColours::of(palette());
    for (int i = 0; i < static_cast<int>(m_boxes.size()); ++i) {
        const QRect box = boxRect(i);
        if (!box.intersects(event->rect())) {
            continue;
        }
        const DrawerBox& drawer = m_boxes[static_cast<std::size_t>(i)];
        const bool picked = i == m_current;
        painter.setPen(QPen(picked ? colours.target : colours.quiet, picked ? 3 : 1));
        painter.setBrush(palette().color(QPalette::AlternateBase));
        painter.drawRoundedRect(box, 3, 3);
        const int line = fontMetrics().height();
        const QRect inner = box.adjusted(gap, 2, -gap, -2);
        QFont bold = font();
        bold.setBold(true);
        painter.setFont(bold);
        painter.setPen(palette().color(QPalette::Text));
        painter.drawText(inner, Qt::AlignLeft | Qt::AlignTop, drawer.bin);
        painter.setFont(font());
        const auto write = [&](int row, const QString& text) {
            painter.drawText(QRect(inner.left(), inner.top() + row * line, inner.width(), line),
                             Qt::AlignLeft | Qt::AlignVCenter,
                             fontMetrics().elidedText(text, Qt::ElideRight, inner.width()));
        };
        write(1, drawer.contents);
        write(2, drawer.amount);
        stateMarkIcon(drawer.mark, palette())
            .paint(&painter, QRect(inner.right() - mark_side, inner.top() + 1, mark_side, mark_side));
    }
    if (m_boxes.empty()) {
        painter.setPen(colours.quiet);
        painter.drawText(rect(), Qt::AlignCenter, tr("No drawer is shown."));
    }
}

void CabinetView::go(int box) {
    m_current = std::clamp(box, 0, static_cast<int>(m_boxes.size()) - 1);
    setCurrent(current());
    emit opened(current());
}

void CabinetView::mousePressEvent(QMouseEvent* event) {
    for (int i = 0; i < static_cast<int>(m_boxes.size()); ++i) {
        if (boxRect(i).contains(event->position().toPoint())) {
            go(i);
            return;
        }
    }
}

void CabinetView::keyPressEvent(QKeyEvent* event) {
    const int each = columns(width());
    const int step = event->key() == Qt::Key_Left    ? -1
                     : event->key() == Qt::Key_Right ? 1
                     : event->key() == Qt::Key_Up    ? -each
                     : event->key() == Qt::Key_Down  ? each
                                                     : 0;
    if (step == 0 || m_boxes.empty()) {
        QWidget::keyPressEvent(event);
        return;
    }
    go(m_current < 0 ? 0 : m_current + step);
}

void CabinetView::resizeEvent(QResizeEvent* event) {
    setMinimumHeight(heightForWidth(width()));
    QWidget::resizeEvent(event);
}

} // namespace shimledger::desk
