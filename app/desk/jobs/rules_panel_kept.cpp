// Rules as a text that is kept between runs of the program.

#include "app/desk/jobs/rules_panel.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QLineEdit>
#include <QSpinBox>

namespace shimledger::desk {

Fields RulesPanel::fields() const {
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

QString RulesPanel::text() const {
    return changesText(m_defaults, valuesOf(fields()));
}

void RulesPanel::setText(const QString& text) {
    reset();
    setValues(fields(), readChanges(text));
}

} // namespace shimledger::desk
