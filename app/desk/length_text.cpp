// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/length_text.h"

#include "app/desk/path_text.h"
#include "planner/units/input_error.h"

#include <QCoreApplication>
#include <QLocale>

#include <cmath>

namespace shimledger::desk {

namespace {

constexpr double micrometres_per_inch = 25400; // exact, by definition of the inch
constexpr double most_inches = 39000;          // what a Length can hold

/// The number without its unit, with a decimal point.
QString bareNumber(QString text) {
    text = text.trimmed().toLower();
    for (const QLatin1String unit : {QLatin1String("inch"), QLatin1String("in"), QLatin1String("mm"),
                                     QLatin1String("\""), QLatin1String("''")}) {
        if (text.endsWith(unit)) {
            text.chop(unit.size());
            break;
        }
    }
    return text.trimmed().replace(QLatin1Char(','), QLatin1Char('.'));
}

} // namespace

bool isInches(const QString& text) {
    const QString lower = text.trimmed().toLower();
    return lower.endsWith(QLatin1String("in")) || lower.endsWith(QLatin1String("inch")) ||
           lower.endsWith(QLatin1Char('"')) || lower.endsWith(QLatin1String("''"));
}

Length readLength(const QString& text) {
    const QString number = bareNumber(text);
    if (!isInches(text)) {
        return Length::parseMillimetres(number.toStdString());
    }
    bool good = false;
    const double inches = QLocale::c().toDouble(number, &good);
    if (!good || std::abs(inches) > most_inches) {
        throw InputError(
            QCoreApplication::translate("LengthText", "\"%1\" is no length in inches: write 0.006 in")
                .arg(text.trimmed())
                .toStdString());
    }
    return Length::fromMicrometres(std::llround(inches * micrometres_per_inch));
}

QString millimetreText(Length length, int decimals) {
    return QCoreApplication::translate("LengthText", "%1 mm").arg(textOf(length.text(decimals)));
}

} // namespace shimledger::desk
