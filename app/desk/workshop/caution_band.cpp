// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/caution_band.h"

#include "app/desk/desk_colours.h"
#include "app/desk/sentence_label.h"
#include "app/desk/workshop/bench_type.h"

#include <QApplication>
#include <QEvent>
#include <QFontInfo>
#include <QHBoxLayout>
#include <QLabel>

namespace shimledger::desk {

CautionBand::CautionBand(double type_factor, QWidget* parent)
    : QFrame(parent), m_factor(type_factor), m_mark(new QLabel), m_text(new SentenceLabel) {
    setAutoFillBackground(true);
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(10, 6, 10, 6);
    layout->setSpacing(10);
    layout->addWidget(m_mark, 0, Qt::AlignVCenter);
    layout->addWidget(m_text, 1);
    dress();
    hide();
}

void CautionBand::tell(const QString& sentence) {
    m_text->setText(sentence);
    setAccessibleName(sentence);
    // Without a parent it would become a window of its own.
    setVisible(!sentence.isEmpty() && parentWidget() != nullptr);
}

QString CautionBand::sentence() const {
    return m_text->text();
}

void CautionBand::dress() {
    const QPalette ours = QApplication::palette();
    const QFont font = benchFont(m_factor);
    m_text->setFont(font);
    const int side = QFontInfo(font).pixelSize() * 3 / 2;
    m_mark->setPixmap(stateMarkIcon(StateMark::missing, ours).pixmap(side, side));
    QPalette band = ours;
    band.setColor(QPalette::Window, blended(DeskColours::of(ours).warning, ours.color(QPalette::Base), 0.14));
    setPalette(band);
    QPalette ink = band;
    ink.setColor(QPalette::WindowText, ours.color(QPalette::Text));
    m_text->setPalette(ink);
}

bool CautionBand::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) dress();
    return QFrame::event(event);
}

void CautionBand::changeEvent(QEvent* event) {
    // Our own setPalette sends a palette change too; the application's is the one to follow.
    if (event->type() == QEvent::ApplicationPaletteChange) dress();
    QFrame::changeEvent(event);
}

} // namespace shimledger::desk
