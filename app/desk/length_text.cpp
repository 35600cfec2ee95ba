// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/length_text.h"

#include "app/desk/path_text.h"

#include <QCoreApplication>

namespace shimledger::desk {

services::TypedLength readTyped(const QString& text, SizeUnit bare) {
    return services::typedLength(text.toStdString(), bare);
}

Length readLength(const QString& text, SizeUnit bare) {
    return readTyped(text, bare).length;
}

QString lengthText(Length length, SizeUnit bare, int decimals) {
    return textOf(services::typedForm(length, bare, decimals));
}

QString typingHelp(SizeUnit bare) {
    return bare == SizeUnit::inches ? QCoreApplication::translate("LengthText", "inches; mm as 0.15 mm")
                                    : QCoreApplication::translate("LengthText", "mm; inches as 0.006 in");
}

QString millimetreText(Length length, int decimals) {
    return QCoreApplication::translate("LengthText", "%1 mm").arg(textOf(length.text(decimals)));
}

} // namespace shimledger::desk
