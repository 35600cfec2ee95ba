// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/length_text.h"

#include <QDoubleSpinBox>

namespace shimledger::desk {

/// A box of millimetres that shows and takes them as every other field of sizes: decimal comma or point,
/// "0.006 in", and in the unit of the settings where none is written. Qt's own box reads 0,05 as 5.
class LengthSpinBox : public QDoubleSpinBox {
    Q_OBJECT

public:
    explicit LengthSpinBox(SizeUnit bare = SizeUnit::millimetres, QWidget* parent = nullptr);

    void setSizeUnit(SizeUnit bare);

    [[nodiscard]] QString textFromValue(double value) const override;
    [[nodiscard]] double valueFromText(const QString& text) const override;
    [[nodiscard]] QValidator::State validate(QString& text, int& place) const override;
    void fixup(QString& text) const override; ///< what is no length leaves the value as it was before

private:
    SizeUnit m_bare;
    double m_before = 0; ///< the value before it was typed over: its beginnings are values already
};

} // namespace shimledger::desk
