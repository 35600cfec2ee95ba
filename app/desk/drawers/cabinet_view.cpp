// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/cabinet_view.h"

#include "app/desk/desk_colours.h"
#include "app/desk/desk_style.h"

#include <QEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <cstdlib>

namespace shimledger::desk {

namespace {

constexpr int gap = 6;

QFont boldOf(QFont font) {
    font.setBold(true);
    return font;
}

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
    placeAll();
}

void CabinetView::placeAll() {
    m_places = placesAt(width());
    setMinimumHeight(m_places.height);
    updateGeometry();
    update();
}

QString CabinetView::current() const {
    return m_current < 0 ? QString() : m_boxes[static_cast<std::size_t>(m_current)].bin;
}

QRect CabinetView::currentPlace() const {
    const auto box = static_cast<std::size_t>(std::max(0, m_current));
    return m_current < 0 || box >= m_places.boxes.size() ? QRect() : m_places.boxes[box];
}

void CabinetView::setCurrent(const QString& bin) {
    const auto found = std::ranges::find_if(m_boxes, [&](const DrawerBox& box) { return box.bin == bin; });
    m_current = found == m_boxes.end() ? -1 : static_cast<int>(found - m_boxes.begin());
    if (m_current >= 0) {
        QStringList words{found->contents.isEmpty() ? tr("empty") : found->contents};
        for (const QString& word : {found->amount, found->state}) {
            if (!word.isEmpty()) {
                words << word;
            }
        }
        setAccessibleDescription(tr("%1: %2").arg(found->bin, words.join(QStringLiteral(", "))));
    }
    update();
}

/// Wide enough for a seal's size, for a count with its reservation, and for a code with its state.
QSize CabinetView::boxSize() const {
    const QFontMetrics plain = fontMetrics();
    const QFontMetrics bold(boldOf(font()));
    const int words = std::max({plain.horizontalAdvance(QStringLiteral("48.0 x 59.0 x 11.00")),
                                plain.horizontalAdvance(tr("%1 (%2 reserved)").arg(99).arg(99)),
                                bold.horizontalAdvance(QStringLiteral("A99")) + gap +
                                    plain.horizontalAdvance(tr("none left")) + gap + plain.height()});
    return {words + 2 * gap, 3 * plain.height() + gap};
}

CabinetView::Places CabinetView::placesAt(int width) const {
    Places places;
    const QSize size = boxSize();
    const int each = std::max(1, (width - gap) / (size.width() + gap));
    const int heading = fontMetrics().height();
    int y = gap;
    int column = 0;
    for (std::size_t i = 0; i < m_boxes.size(); ++i) {
        const bool new_cabinet = i == 0 || m_boxes[i].cabinet != m_boxes[i - 1].cabinet;
        if (i > 0 && (new_cabinet || column == each)) {
            y += size.height() + gap;
            column = 0;
        }
        if (new_cabinet && !m_boxes[i].cabinet.isEmpty()) {
            places.headings.emplace_back(QRect(gap, y, width - 2 * gap, heading),
                                         tr("Cabinet %1").arg(m_boxes[i].cabinet));
            y += heading + gap / 2;
        }
        places.boxes.push_back(QRect(QPoint(gap + column++ * (size.width() + gap), y), size));
    }
    places.height = m_boxes.empty() ? gap : y + size.height() + gap;
    return places;
}

int CabinetView::heightForWidth(int width) const {
    return placesAt(width).height;
}

QSize CabinetView::sizeHint() const {
    const int wide = 3 * (boxSize().width() + gap) + gap;
    return {wide, heightForWidth(wide)};
}

void CabinetView::paintEvent(QPaintEvent* event) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(event->rect(), palette().color(QPalette::Base));
    if (m_boxes.empty()) {
        painter.setPen(DeskColours::of(palette()).quiet);
        painter.drawText(
            rect().adjusted(gap, gap, -gap, -gap), Qt::AlignCenter | Qt::TextWordWrap,
            tr("There are no drawers yet. Type what lies where into the grid of sizes (Ctrl+G), or "
               "import a sheet that you have (Ctrl+I)."));
        return;
    }
    painter.setFont(boldOf(font()));
    painter.setPen(palette().color(QPalette::Text));
    for (const auto& [place, name] : m_places.headings) {
        painter.drawText(place, Qt::AlignLeft | Qt::AlignVCenter, name);
    }
    for (int i = 0; i < static_cast<int>(m_boxes.size()); ++i) {
        if (m_places.boxes[static_cast<std::size_t>(i)].intersects(event->rect())) {
            paintBox(painter, i);
        }
    }
}

void CabinetView::paintBox(QPainter& painter, int index) const {
    const DeskColours colours = DeskColours::of(palette());
    const QRect& box = m_places.boxes[static_cast<std::size_t>(index)];
    const DrawerBox& drawer = m_boxes[static_cast<std::size_t>(index)];
    const bool picked = index == m_current;
    const QColor ground =
        palette().color(drawer.contents.isEmpty() ? QPalette::Base : QPalette::AlternateBase);
    const QColor ink = drawer.found ? palette().color(QPalette::Text)
                                    : blended(palette().color(QPalette::Text), ground, 0.45);
    const QColor edge = picked         ? focusColour(palette())
                        : drawer.found ? colours.quiet
                                       : blended(colours.quiet, ground, 0.4);
    painter.setPen(QPen(edge, picked ? 3 : 1, drawer.contents.isEmpty() ? Qt::DashLine : Qt::SolidLine));
    painter.setBrush(ground);
    painter.drawRoundedRect(box, 3, 3);
    const int line = fontMetrics().height();
    const QRect inner = box.adjusted(gap, 2, -gap, -2);
    painter.setPen(ink);
    painter.setFont(boldOf(font()));
    painter.drawText(inner, Qt::AlignLeft | Qt::AlignTop, drawer.bin);
    painter.setFont(font());
    const auto write = [&](int row, const QString& text) {
        painter.drawText(QRect(inner.left(), inner.top() + row * line, inner.width(), line),
                         Qt::AlignLeft | Qt::AlignVCenter,
                         fontMetrics().elidedText(text, Qt::ElideRight, inner.width()));
    };
    write(1, drawer.contents.isEmpty() ? tr("empty") : drawer.contents);
    write(2, drawer.amount);
    if (drawer.mark == StateMark::none) {
        return;
    }
    painter.drawText(inner.adjusted(0, 0, -line - gap / 2, 0), Qt::AlignRight | Qt::AlignTop, drawer.state);
    if (!drawer.found) {
        painter.setOpacity(0.45);
    }
    stateMarkIcon(drawer.mark, palette())
        .paint(&painter, QRect(inner.right() + 1 - line, inner.top(), line, line).adjusted(1, 1, -1, -1));
    painter.setOpacity(1);
}

void CabinetView::go(int box) {
    m_current = std::clamp(box, 0, static_cast<int>(m_boxes.size()) - 1);
    setCurrent(current());
    emit opened(current());
}

void CabinetView::mousePressEvent(QMouseEvent* event) {
    for (std::size_t i = 0; i < m_places.boxes.size(); ++i) {
        if (m_places.boxes[i].contains(event->position().toPoint())) {
            go(static_cast<int>(i));
            return;
        }
    }
}

/// Up and down go to the row above or below, to the drawer that is nearest there.
int CabinetView::boxBeside(int key) const {
    const int last = static_cast<int>(m_boxes.size()) - 1;
    if (m_current < 0 || key == Qt::Key_Left || key == Qt::Key_Right) {
        return m_current < 0 ? 0 : std::clamp(m_current + (key == Qt::Key_Left ? -1 : 1), 0, last);
    }
    const auto place = [this](int box) { return m_places.boxes[static_cast<std::size_t>(box)]; };
    const int step = key == Qt::Key_Up ? -1 : 1;
    int row = m_current;
    while (row >= 0 && row <= last && place(row).top() == place(m_current).top()) {
        row += step;
    }
    if (row < 0 || row > last) {
        return m_current;
    }
    const auto far = [&](int box) { return std::abs(place(box).left() - place(m_current).left()); };
    int nearest = row;
    for (int box = row; box >= 0 && box <= last && place(box).top() == place(row).top(); box += step) {
        nearest = far(box) < far(nearest) ? box : nearest;
    }
    return nearest;
}

void CabinetView::keyPressEvent(QKeyEvent* event) {
    const int key = event->key();
    const bool arrow =
        key == Qt::Key_Left || key == Qt::Key_Right || key == Qt::Key_Up || key == Qt::Key_Down;
    if (!arrow || m_boxes.empty()) {
        QWidget::keyPressEvent(event);
        return;
    }
    go(boxBeside(key));
}

void CabinetView::resizeEvent(QResizeEvent* event) {
    m_places = placesAt(width());
    setMinimumHeight(m_places.height);
    QWidget::resizeEvent(event);
}

void CabinetView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) {
        placeAll();
    }
    QWidget::changeEvent(event);
}

} // namespace shimledger::desk
