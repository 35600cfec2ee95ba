// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/wrapping_layout.h"

#include <QWidget>

#include <algorithm>

namespace shimledger::desk {

WrappingLayout::WrappingLayout(int spacing, QWidget* parent) : QLayout(parent) {
    setSpacing(spacing);
    setContentsMargins(0, 0, 0, 0);
}

WrappingLayout::~WrappingLayout() {
    for (QLayoutItem* item : m_items) delete item;
}

void WrappingLayout::addItem(QLayoutItem* item) {
    m_items.push_back(item);
}

QLayoutItem* WrappingLayout::itemAt(int index) const {
    return index >= 0 && index < count() ? m_items[static_cast<std::size_t>(index)] : nullptr;
}

QLayoutItem* WrappingLayout::takeAt(int index) {
    QLayoutItem* item = itemAt(index);
    if (item != nullptr) m_items.erase(m_items.begin() + index);
    return item;
}

int WrappingLayout::arrange(const QRect& room, bool place) const {
    QPoint next = room.topLeft();
    int line_height = 0;
    for (QLayoutItem* item : m_items) {
        if (item->isEmpty()) continue;
        const QSize size(item->minimumSize().width(),
                         item->sizeHint().height()); // a button's are alike unless told
        if (next.x() > room.left() && next.x() + size.width() > room.left() + room.width()) {
            next = {room.left(), next.y() + line_height + spacing()};
            line_height = 0;
        }
        if (place) item->setGeometry({next, QSize(std::min(size.width(), room.width()), size.height())});
        next.rx() += size.width() + spacing();
        line_height = std::max(line_height, size.height());
    }
    return next.y() + line_height - room.top();
}

int WrappingLayout::heightForWidth(int width) const {
    return arrange({0, 0, width, 0}, false);
}

QSize WrappingLayout::sizeHint() const {
    QSize size;
    for (const QLayoutItem* item : m_items) {
        if (item->isEmpty()) continue;
        const QSize one = item->sizeHint();
        size = {size.width() + one.width() + (size.width() > 0 ? spacing() : 0),
                std::max(size.height(), one.height())};
    }
    return size;
}

QSize WrappingLayout::minimumSize() const {
    QSize size;
    for (const QLayoutItem* item : m_items) {
        if (!item->isEmpty()) size = size.expandedTo(item->minimumSize());
    }
    return size.expandedTo({0, m_height});
}

void WrappingLayout::setGeometry(const QRect& room) {
    QLayout::setGeometry(room);
    const int height = arrange(room, true);
    if (height != m_height) {
        m_height = height;
        invalidate();
        if (parentWidget() != nullptr) parentWidget()->updateGeometry();
    }
}

} // namespace shimledger::desk
