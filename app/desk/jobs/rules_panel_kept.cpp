// Rules as a text that is kept between runs of the program.

#include "app/desk/jobs/rules_panel.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QJsonDocument>
#include <QJsonObject>
#include <QLineEdit>
#include <QMetaProperty>
#include <QSpinBox>

namespace shimledger::desk {

/// By name, so that a rule that comes to be added later does not disturb what was kept.
std::map<QString, QWidget*> RulesPanel::fields() const {
    return {{QStringLiteral("keep_face"), m_keep_face},
            {QStringLiteral("keep_ods"), m_keep_ods},
            {QStringLiteral("od_step_mm"), m_od_step},
            {QStringLiteral("crossover_od_mm"), m_crossover_od},
            {QStringLiteral("crossover_gap_mm"), m_crossover_gap},
            {QStringLiteral("height_mm"), m_height},
            {QStringLiteral("groups"), m_groups},
            {QStringLiteral("discs_changed"), m_discs},
            {QStringLiteral("mix"), m_mix},
            {QStringLiteral("keep_in_stock"), m_keep_in_stock},
            {QStringLiteral("bins_left_alone"), m_bins_left},
            {QStringLiteral("low_lift_mm"), m_low_lift},
            {QStringLiteral("low_weight"), m_low_weight},
            {QStringLiteral("high_weight"), m_high_weight},
            {QStringLiteral("discs_in_stack"), m_most_discs},
            {QStringLiteral("choices_percent"), m_choices},
            {QStringLiteral("gap_percent"), m_gap},
            {QStringLiteral("seconds"), m_seconds}};
}

namespace {

/// The property in which a field keeps what a person sets.
QMetaProperty setting(const QWidget& field) {
    return field.metaObject()->userProperty();
}

} // namespace

QVariantMap RulesPanel::values() const {
    QVariantMap values;
    for (const auto& [name, field] : fields()) {
        const QVariant value = setting(*field).read(field);
        const bool words = value.typeId() == QMetaType::QString;
        values.insert(name, words ? QVariant(value.toString().trimmed()) : value);
    }
    return values;
}

/// Numbers are held inside their range by the field.
void RulesPanel::setValues(const QVariantMap& values) {
    for (const auto& [name, field] : fields()) {
        const auto value = values.constFind(name);
        if (value != values.cend()) setting(*field).write(field, *value);
    }
}

QString RulesPanel::text() const {
    QVariantMap changed;
    const QVariantMap now = values();
    for (auto value = now.cbegin(); value != now.cend(); ++value) {
        if (*value != m_defaults.value(value.key())) changed.insert(value.key(), *value);
    }
    return changed.isEmpty()
               ? QString()
               : QString::fromUtf8(
                     QJsonDocument(QJsonObject::fromVariantMap(changed)).toJson(QJsonDocument::Compact));
}

void RulesPanel::setText(const QString& text) {
    reset();
    setValues(QJsonDocument::fromJson(text.toUtf8()).object().toVariantMap());
}

} // namespace shimledger::desk
