// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <QVariantMap>

#include <map>

class QWidget;

namespace shimledger::desk {

/// The fields of a form by name, so that a field that comes to be added later does not disturb what was kept.
using Fields = std::map<QString, QWidget*>;

/// What each field says, by name: the property in which it keeps what a person sets.
[[nodiscard]] QVariantMap valuesOf(const Fields& fields);
/// What is not there is left as it is; numbers are held inside their range by the field.
void setValues(const Fields& fields, const QVariantMap& values);

/// What of `now` differs from `before`, as a text to be kept; empty: nothing does.
[[nodiscard]] QString changesText(const QVariantMap& before, const QVariantMap& now);
[[nodiscard]] QVariantMap readChanges(const QString& text); ///< what cannot be read is nothing

} // namespace shimledger::desk
