// Rules as a text that is kept between runs of the program.

#include "app/desk/jobs/rules_panel.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QJsonDocument>
#include <QJsonObject>
#include <QLineEdit>
#include <QSpinBox>

namespace shimledger::desk {

/// By name, so that a rule that comes to be added later does not disturb what was kept.
QVariantMap RulesPanel::values() const {
    return {{QStringLiteral("keep_face"), m_keep_face->isChecked()},
            {QStringLiteral("keep_ods"), m_keep_ods->isChecked()},
            {QStringLiteral("od_step_mm"), m_od_step->value()},
            {QStringLiteral("crossover_od_mm"), m_crossover_od->value()},
            {QStringLiteral("crossover_gap_mm"), m_crossover_gap->value()},
            {QStringLiteral("height_mm"), m_height->value()},
            {QStringLiteral("groups"), m_groups->value()},
            {QStringLiteral("discs_changed"), m_discs->value()},
            {QStringLiteral("mix"), m_mix->isChecked()},
            {QStringLiteral("keep_in_stock"), m_keep_in_stock->value()},
            {QStringLiteral("bins_left_alone"), m_bins_left->text().trimmed()},
            {QStringLiteral("low_lift_mm"), m_low_lift->value()},
            {QStringLiteral("low_weight"), m_low_weight->value()},
            {QStringLiteral("high_weight"), m_high_weight->value()},
            {QStringLiteral("discs_in_stack"), m_most_discs->value()},
            {QStringLiteral("choices_percent"), m_choices->value()},
            {QStringLiteral("gap_percent"), m_gap->value()},
            {QStringLiteral("seconds"), m_seconds->value()}};
}

void RulesPanel::setValues(const QVariantMap& values) {
    const auto take = [&values](const char* name, auto&& set) {
        const auto value = values.constFind(QString::fromLatin1(name));
        if (value != values.cend()) set(*value);
    };
    const auto check = [&](const char* name, QCheckBox& box) {
        take(name, [&box](const QVariant& value) { box.setChecked(value.toBool()); });
    };
    const auto measure = [&](const char* name, QDoubleSpinBox& box) { // held inside its range by the box
        take(name, [&box](const QVariant& value) { box.setValue(value.toDouble()); });
    };
    const auto count = [&](const char* name, QSpinBox& box) {
        take(name, [&box](const QVariant& value) { box.setValue(value.toInt()); });
    };
    check("keep_face", *m_keep_face);
    check("keep_ods", *m_keep_ods);
    measure("od_step_mm", *m_od_step);
    measure("crossover_od_mm", *m_crossover_od);
    measure("crossover_gap_mm", *m_crossover_gap);
    measure("height_mm", *m_height);
    count("groups", *m_groups);
    count("discs_changed", *m_discs);
    check("mix", *m_mix);
    count("keep_in_stock", *m_keep_in_stock);
    take("bins_left_alone", [this](const QVariant& value) { m_bins_left->setText(value.toString()); });
    measure("low_lift_mm", *m_low_lift);
    measure("low_weight", *m_low_weight);
    measure("high_weight", *m_high_weight);
    count("discs_in_stack", *m_most_discs);
    measure("choices_percent", *m_choices);
    measure("gap_percent", *m_gap);
    count("seconds", *m_seconds);
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
