// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/length_spin_box.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "planner/units/input_error.h"

#include <QLineEdit>
#include <QSignalBlocker>

#include <cmath>
#include <optional>

namespace shimledger::desk {

namespace {

std::optional<double> millimetresIn(const QString& text, SizeUnit bare) {
    try {
        return readLength(text, bare).millimetres();
    } catch (const InputError&) {
        return std::nullopt;
    }
}

} // namespace

LengthSpinBox::LengthSpinBox(SizeUnit bare, QWidget* parent) : QDoubleSpinBox(parent), m_bare(bare) {
    setDecimals(3); // whole micrometres
    guarded(this, &QDoubleSpinBox::valueChanged, this, [this] {
        if (!lineEdit()->isModified()) m_before = value();
    });
    guarded(this, &QDoubleSpinBox::editingFinished, this, [this] { m_before = value(); });
}

void LengthSpinBox::setSizeUnit(SizeUnit bare) {
    if (bare == m_bare) return;
    m_bare = bare;
    const QSignalBlocker quiet(this); // the size is the same, only written otherwise
    setSpecialValueText(specialValueText());
}

QString LengthSpinBox::textFromValue(double value) const {
    constexpr double micrometres = 1000;
    return lengthText(Length::fromMicrometres(std::llround(value * micrometres)), m_bare, 2) +
           QLatin1Char(' ') + textOf(std::string(services::unitSign(m_bare)));
}

double LengthSpinBox::valueFromText(const QString& text) const {
    return answered(this, value(), [&] { return millimetresIn(text, m_bare).value_or(value()); });
}

void LengthSpinBox::fixup(QString& text) const {
    text = textFromValue(m_before);
}

QValidator::State LengthSpinBox::validate(QString& text, int& /*place*/) const {
    return answered(this, QValidator::Intermediate, [&] {
        const auto typed = millimetresIn(text, m_bare);
        return typed && *typed >= minimum() && *typed <= maximum() ? QValidator::Acceptable
                                                                   : QValidator::Intermediate;
    });
}

} // namespace shimledger::desk
