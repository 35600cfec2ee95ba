// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDoubleSpinBox>
#include <QLocale>

namespace shimledger::desk {

/// A box of numbers in which a comma is the sign of decimals, as it is everywhere in the window. Qt's own box
/// takes it for a sign of thousands, and 0,5 for 5.
class NumberSpinBox : public QDoubleSpinBox {
    Q_OBJECT

public:
    explicit NumberSpinBox(QWidget* parent = nullptr) : QDoubleSpinBox(parent) { setLocale(QLocale::c()); }

    [[nodiscard]] QValidator::State validate(QString& text, int& place) const override {
        text.replace(QLatin1Char(','), QLatin1Char('.'));
        return QDoubleSpinBox::validate(text, place);
    }
};

} // namespace shimledger::desk
