// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/rules_panel.h"

#include "app/desk/guard.h"
#include "app/desk/length_spin_box.h"
#include "app/desk/number_spin_box.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QLineEdit>
#include <QPushButton>
#include <QRegularExpressionValidator>
#include <QSpinBox>

#include <cmath>

namespace shimledger::desk {

namespace {

using Kind = planner::SearchRule::Kind;

// What the range of the command allows is more than a person at the window scrolls to.
constexpr double least_step_mm = 0.005;

QString keyOf(const planner::SearchRule& rule) {
    return QString::fromStdString(rule.key());
}

/// What the field says, as the rule takes it.
std::string textOf(const QWidget* field) {
    if (const auto* box = qobject_cast<const QCheckBox*>(field)) return box->isChecked() ? "yes" : "no";
    if (const auto* box = qobject_cast<const QSpinBox*>(field)) return std::to_string(box->value());
    if (const auto* box = qobject_cast<const QDoubleSpinBox*>(field))
        return QString::number(box->value(), 'g', 12).toStdString();
    return qobject_cast<const QLineEdit*>(field)->text().toStdString();
}

} // namespace

RulesPanel::RulesPanel(SizeUnit bare, QWidget* parent) : QWidget(parent) {
    auto* form = new QFormLayout(this);
    form->setVerticalSpacing(4);
    form->setRowWrapPolicy(QFormLayout::WrapLongRows); // with large text
    for (const planner::SearchRule& rule : planner::searchRules()) {
        const QString label = tr(rule.label);
        if (label.isEmpty()) continue;
        QWidget* field = fieldOf(rule);
        field->setAccessibleName(label);
        field->setToolTip(tr(rule.help) + QStringLiteral("."));
        m_fields[keyOf(rule)] = field;
        if (rule.kind == Kind::yes_no)
            form->addRow(field);
        else
            form->addRow(label, field);
    }
    auto* defaults = new QPushButton(tr("All at their defaults"));
    form->addRow(defaults);
    guarded(defaults, &QPushButton::clicked, this, &RulesPanel::reset);
    guarded(this, &RulesPanel::changed, this, &RulesPanel::enableFields);
    setSizeUnit(bare);
    m_defaults = valuesOf(m_fields);
    enableFields();
}

QWidget* RulesPanel::fieldOf(const planner::SearchRule& rule) {
    const std::string standard = rule.standard();
    switch (rule.kind) {
    case Kind::yes_no: {
        auto* box = new QCheckBox(tr(rule.label));
        box->setChecked(standard == "yes");
        guarded(box, &QCheckBox::toggled, this, &RulesPanel::changed);
        return box;
    }
    case Kind::words:
    case Kind::rows:
    case Kind::curve:
    case Kind::choice: {
        auto* line = new QLineEdit(QString::fromStdString(standard));
        line->setPlaceholderText(tr("with commas between them"));
        static const QRegularExpression rows(QStringLiteral("([1-9][0-9]{0,3}[, ]*)*"));
        if (rule.kind == Kind::rows) line->setValidator(new QRegularExpressionValidator(rows, line));
        guarded(line, &QLineEdit::textChanged, this, &RulesPanel::changed);
        return line;
    }
    case Kind::count:
    case Kind::seconds: {
        auto* box = new QSpinBox;
        box->setRange(static_cast<int>(std::ceil(rule.least)), static_cast<int>(rule.most));
        if (rule.kind == Kind::seconds) {
            box->setMinimum(1);
            box->setSuffix(tr(" s"));
        }
        if (rule.least < 0) box->setSpecialValueText(tr("any number"));
        box->setValue(QString::fromStdString(standard).toInt());
        guarded(box, &QSpinBox::valueChanged, this, &RulesPanel::changed);
        return box;
    }
    case Kind::millimetres: {
        auto* box = new LengthSpinBox;
        box->setRange(rule.least, rule.most);
        box->setSingleStep(10 * least_step_mm);
        box->setValue(QString::fromStdString(standard).toDouble());
        guarded(box, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
        return box;
    }
    case Kind::number:
    case Kind::percent: {
        auto* box = new NumberSpinBox;
        box->setDecimals(3);
        box->setRange(rule.least, rule.most);
        box->setSingleStep(rule.kind == Kind::number ? 0.1 : 10 * least_step_mm);
        if (rule.kind == Kind::percent) box->setSuffix(tr(" %"));
        box->setValue(QString::fromStdString(standard).toDouble());
        guarded(box, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
        return box;
    }
    }
    return nullptr;
}

void RulesPanel::setSizeUnit(SizeUnit bare) {
    for (LengthSpinBox* box : findChildren<LengthSpinBox*>()) box->setSizeUnit(bare);
}

/// A step that nothing may take, and weights of a range that is not weighted, count for nothing.
void RulesPanel::enableFields() {
    const auto text = [&](const char* key) { return textOf(m_fields.at(QString::fromLatin1(key))); };
    const bool moves = text("move_face") == "yes" || text("move_ods") == "yes" || !text("move_rows").empty();
    m_fields.at(QStringLiteral("od_step"))->setEnabled(moves);
    const bool weighted = text("low_speed_lift") != "0";
    m_fields.at(QStringLiteral("low_speed_weight"))->setEnabled(weighted);
    m_fields.at(QStringLiteral("high_speed_weight"))->setEnabled(weighted);
    m_fields.at(QStringLiteral("no_mixing"))->setEnabled(text("only_new") == "no");
}

void RulesPanel::reset() {
    setValues(m_fields, m_defaults);
    emit changed();
}

planner::SubstituteRules RulesPanel::rules(double working_lift_mm, planner::ToleranceClass tolerance) const {
    planner::SubstituteRules rules;
    planner::SearchLimits limits;
    for (const planner::SearchRule& rule : planner::searchRules()) {
        const auto field = m_fields.find(keyOf(rule));
        if (field != m_fields.end()) planner::setRule(rule, textOf(field->second), rules, limits);
    }
    rules.working_lift_mm = working_lift_mm;
    rules.tolerance = tolerance;
    return rules;
}

planner::SearchLimits RulesPanel::limits() const {
    planner::SubstituteRules rules;
    planner::SearchLimits limits;
    for (const planner::SearchRule& rule : planner::searchRules()) {
        const auto field = m_fields.find(keyOf(rule));
        if (field != m_fields.end()) planner::setRule(rule, textOf(field->second), rules, limits);
    }
    return limits;
}

QString RulesPanel::text() const {
    return changesText(m_defaults, valuesOf(m_fields));
}

void RulesPanel::setText(const QString& text) {
    reset();
    setValues(m_fields, readChanges(text));
}

void RulesPanel::focusFirst() {
    m_fields.at(QString::fromStdString(planner::searchRules().front().key()))
        ->setFocus(Qt::ShortcutFocusReason);
}

bool RulesPanel::atDefaults() const {
    return text().isEmpty();
}

} // namespace shimledger::desk
