// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/sentence_label.h"

#include <QEnterEvent>

namespace shimledger::desk {

SentenceLabel::SentenceLabel(QWidget* parent) : QLabel(parent) {
    setWordWrap(true);
    setTextFormat(Qt::PlainText);
}

int SentenceLabel::heightForWidth(int width) const {
    if (text() != m_measured_text) {
        m_measured_text = text();
        m_heights.clear();
    }
    const auto known = m_heights.constFind(width);
    return known != m_heights.cend() ? *known : *m_heights.insert(width, QLabel::heightForWidth(width));
}

/// A font, a style or a word wrap may have changed.
void SentenceLabel::changeEvent(QEvent* event) {
    m_heights.clear();
    QLabel::changeEvent(event);
}

void SentenceLabel::enterEvent(QEnterEvent* event) {
    if (textInteractionFlags() == Qt::NoTextInteraction ||
        textInteractionFlags() == Qt::LinksAccessibleByMouse) {
        setTextInteractionFlags(Qt::TextSelectableByMouse);
        m_heights.clear();
    }
    QLabel::enterEvent(event);
}

} // namespace shimledger::desk
