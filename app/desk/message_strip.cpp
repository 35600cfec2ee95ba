// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/message_strip.h"

#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/sentence_label.h"

#include <QAccessible>
#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QToolButton>

namespace shimledger::desk {

MessageStrip::MessageStrip(QWidget* parent)
    : QFrame(parent), m_text(new SentenceLabel(this)), m_dismiss(new QToolButton(this)) {
    setFrameShape(QFrame::NoFrame);
    setAutoFillBackground(true);
    m_dismiss->setText(tr("Dismiss"));
    m_dismiss->setAutoRaise(true);
    m_dismiss->setAccessibleName(tr("Dismiss this message"));
    guarded(m_dismiss, &QToolButton::clicked, this, &MessageStrip::clear);
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(10, 5, 6, 5);
    layout->addWidget(m_text, 1);
    layout->addWidget(m_dismiss, 0, Qt::AlignTop);
    hide();
}

void MessageStrip::showMessage(Kind kind, const QString& sentence) {
    if (parentWidget() != nullptr && parentWidget()->isVisible()) endSeen(*window());
    m_kind = kind;
    m_sentence = sentence;
    const QString mark = kind == Kind::done      ? QString(QChar(0x2713)) + tr(" Done: ")
                         : kind == Kind::problem ? QString(QChar(0x25B2)) + tr(" Problem: ")
                                                 : QString(QChar(0x25CB)) + tr(" Note: ");
    m_text->setText(mark + sentence);
    setAccessibleName(m_text->text());
    dress();
    show();
    QAccessibleEvent alert(this, QAccessible::Alert);
    QAccessible::updateAccessibility(&alert);
}

void MessageStrip::clear() {
    m_sentence.clear();
    m_text->clear(); // one line's place is kept, where it is kept
    hide();
}

void MessageStrip::keepPlace() {
    QSizePolicy policy = sizePolicy();
    policy.setRetainSizeWhenHidden(true);
    setSizePolicy(policy);
}

void MessageStrip::endSeen(const QWidget& window) {
    for (MessageStrip* strip : window.findChildren<MessageStrip*>()) {
        if (strip->m_kind != Kind::problem && strip->isVisible()) strip->clear();
    }
}

void MessageStrip::dress() {
    const QPalette ours = QPalette(parentWidget() != nullptr ? parentWidget()->palette() : palette());
    const DeskColours colours = DeskColours::of(ours);
    const QColor ink = m_kind == Kind::done      ? colours.good
                       : m_kind == Kind::problem ? colours.bad
                                                 : ours.color(QPalette::Text);
    QPalette strip = ours;
    strip.setColor(QPalette::Window, blended(ink, ours.color(QPalette::Base), 0.10));
    setPalette(strip);
    QPalette text = strip;
    text.setColor(QPalette::WindowText, ours.color(QPalette::Text));
    m_text->setPalette(text);
}

void MessageStrip::changeEvent(QEvent* event) {
    // Our own setPalette sends a palette change too; the application's is the one to follow.
    if (event->type() == QEvent::ApplicationPaletteChange && isVisible()) {
        dress();
    }
    QFrame::changeEvent(event);
}

} // namespace shimledger::desk
