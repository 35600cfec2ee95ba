// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/kept_fields.h"

#include <QJsonDocument>
#include <QJsonObject>
#include <QMetaProperty>
#include <QWidget>

namespace shimledger::desk {

namespace {

/// The property in which a field keeps what a person sets.
QMetaProperty setting(const QWidget& field) {
    return field.metaObject()->userProperty();
}

} // namespace

QVariantMap valuesOf(const Fields& fields) {
    QVariantMap values;
    for (const auto& [name, field] : fields) {
        const QVariant value = setting(*field).read(field);
        const bool words = value.typeId() == QMetaType::QString;
        values.insert(name, words ? QVariant(value.toString().trimmed()) : value);
    }
    return values;
}

void setValues(const Fields& fields, const QVariantMap& values) {
    for (const auto& [name, field] : fields) {
        const auto value = values.constFind(name);
        if (value != values.cend()) setting(*field).write(field, *value);
    }
}

QString changesText(const QVariantMap& before, const QVariantMap& now) {
    QVariantMap changed;
    for (auto value = now.cbegin(); value != now.cend(); ++value) {
        if (*value != before.value(value.key())) changed.insert(value.key(), *value);
    }
    return changed.isEmpty()
               ? QString()
               : QString::fromUtf8(
                     QJsonDocument(QJsonObject::fromVariantMap(changed)).toJson(QJsonDocument::Compact));
}

QVariantMap readChanges(const QString& text) {
    return QJsonDocument::fromJson(text.toUtf8()).object().toVariantMap();
}

} // namespace shimledger::desk
