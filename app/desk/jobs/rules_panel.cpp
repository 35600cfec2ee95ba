#include "app/desk/jobs/rules_panel.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QJsonDocument>
#include <QJsonObject>
#include <QLineEdit>
#include <QPushButton>
#include <QRegularExpression>
#include <QSpinBox>

#include <cmath>

namespace shimledger::desk {

namespace {

constexpr double micrometres_per_mm = 1000;

Length lengthOf(const QDoubleSpinBox& box) {
    return Length::fromMicrometres(std::llround(box.value() * micrometres_per_mm));
}

} // namespace

RulesPanel::RulesPanel(QWidget* parent)
    : QWidget(parent), m_keep_face(new QCheckBox(tr("The face's diameter is kept"))),
      m_keep_ods(new QCheckBox(tr("The diameters of the tapers are kept"))),
      m_od_step(lengthBox(0.5, 4, tr("Where not, a diameter may move by"))),
      m_crossover_od(lengthBox(0, 4, tr("A crossover's diameter may vary by"))),
      m_crossover_gap(lengthBox(0, 0.5, tr("A crossover's gap may differ by"))),
      m_height(lengthBox(0, 3, tr("Stack height within plus or minus"))),
      m_groups(countBox(0, 20, tr("Groups that may change besides those short"))),
      m_discs(countBox(-1, 60, tr("Discs changed at most"))),
      m_mix(new QCheckBox(tr("New and used discs may be mixed"))),
      m_keep_in_stock(countBox(0, 100, tr("Leave of each size in the drawers"))), m_bins_left(new QLineEdit),
      m_low_lift(lengthBox(0, 2, tr("Low-speed range ends at a lift of"))), m_low_weight(new QDoubleSpinBox),
      m_high_weight(new QDoubleSpinBox), m_most_discs(countBox(1, 200, tr("Discs in a stack at most"))),
      m_choices(percentBox(0, 100, tr("Further proposals may deviate by"))),
      m_gap(percentBox(0, 5, tr("Stop proving where less is to be gained than"))),
      m_seconds(countBox(1, 600, tr("Search for at most"))) {
    m_crossover_gap->setDecimals(3);
    m_crossover_gap->setSingleStep(0.005);
    m_discs->setSpecialValueText(tr("any number"));
    m_low_lift->setSpecialValueText(tr("not weighted"));
    m_seconds->setSuffix(tr(" s"));
    m_bins_left->setPlaceholderText(tr("such as A01, B12"));
    m_bins_left->setAccessibleName(tr("Bins left alone"));
    for (QDoubleSpinBox* weight : {m_low_weight, m_high_weight}) {
        weight->setRange(0.1, 10);
        weight->setSingleStep(0.5);
        weight->setLocale(QLocale::c());
        connect(weight, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
    }
    m_low_weight->setAccessibleName(tr("Weight of the low-speed range"));
    m_high_weight->setAccessibleName(tr("Weight of the high-speed range"));
    auto* defaults = new QPushButton(tr("All at their defaults"));
    auto* form = new QFormLayout(this);
    form->setVerticalSpacing(4);
    form->addRow(m_keep_face);
    form->addRow(m_keep_ods);
    form->addRow(tr("Where not, a diameter may move by"), m_od_step);
    form->addRow(tr("A crossover's diameter may vary by"), m_crossover_od);
    form->addRow(tr("A crossover's gap may differ by"), m_crossover_gap);
    form->addRow(tr("Stack height within plus or minus"), m_height);
    form->addRow(tr("Groups that may change besides those short"), m_groups);
    form->addRow(tr("Discs changed at most, a leg"), m_discs);
    form->addRow(tr("Discs in a stack at most"), m_most_discs);
    form->addRow(m_mix);
    form->addRow(tr("Leave of each size in the drawers"), m_keep_in_stock);
    form->addRow(tr("Bins left alone"), m_bins_left);
    form->addRow(tr("Low-speed range ends at a lift of"), m_low_lift);
    form->addRow(tr("Weight of the low-speed range"), m_low_weight);
    form->addRow(tr("Weight of the high-speed range"), m_high_weight);
    form->addRow(tr("Further proposals may deviate by"), m_choices);
    form->addRow(tr("Stop proving where less is to be gained than"), m_gap);
    form->addRow(tr("Search for at most"), m_seconds);
    form->addRow(defaults);
    for (QCheckBox* box : {m_keep_face, m_keep_ods, m_mix}) {
        connect(box, &QCheckBox::toggled, this, &RulesPanel::changed);
    }
    const auto step_counts = [this] {
        m_od_step->setEnabled(!m_keep_face->isChecked() || !m_keep_ods->isChecked());
    };
    for (QCheckBox* box : {m_keep_face, m_keep_ods}) connect(box, &QCheckBox::toggled, this, step_counts);
    const auto weights_count = [this] {
        const bool weighted = m_low_lift->value() > 0;
        m_low_weight->setEnabled(weighted);
        m_high_weight->setEnabled(weighted);
    };
    connect(m_low_lift, &QDoubleSpinBox::valueChanged, this, weights_count);
    weights_count();
    connect(m_bins_left, &QLineEdit::textChanged, this, &RulesPanel::changed);
    connect(defaults, &QPushButton::clicked, this, &RulesPanel::reset);
    show({}, {});
    m_defaults = values();
}

QDoubleSpinBox* RulesPanel::lengthBox(double least_mm, double most_mm, const QString& name) {
    auto* box = new QDoubleSpinBox;
    box->setRange(least_mm, most_mm);
    box->setSingleStep(0.05);
    box->setSuffix(tr(" mm"));
    box->setLocale(QLocale::c());
    box->setAccessibleName(name);
    connect(box, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
    return box;
}

QDoubleSpinBox* RulesPanel::percentBox(double least, double most, const QString& name) {
    auto* box = lengthBox(least, most, name);
    box->setSuffix(tr(" %"));
    return box;
}

QSpinBox* RulesPanel::countBox(int least, int most, const QString& name) {
    auto* box = new QSpinBox;
    box->setRange(least, most);
    box->setAccessibleName(name);
    connect(box, &QSpinBox::valueChanged, this, &RulesPanel::changed);
    return box;
}

void RulesPanel::reset() {
    setValues(m_defaults);
    emit changed();
}

void RulesPanel::show(const planner::SubstituteRules& rules, const planner::SearchLimits& limits) {
    m_keep_face->setChecked(rules.face_od_fixed);
    m_keep_ods->setChecked(rules.keep_every_od);
    m_od_step->setValue(rules.od_step.millimetres());
    m_crossover_od->setValue(rules.crossover_od_tolerance.millimetres());
    m_crossover_gap->setValue(rules.crossover_gap_tolerance.millimetres());
    m_height->setValue(rules.height_tolerance.millimetres());
    m_groups->setValue(rules.most_other_groups_changed);
    m_discs->setValue(rules.most_discs_changed.value_or(-1));
    m_mix->setChecked(rules.mix_new_and_used);
    m_keep_in_stock->setValue(static_cast<int>(rules.keep_in_stock));
    m_bins_left->clear();
    m_low_lift->setValue(rules.low_speed_lift_mm);
    m_low_weight->setValue(rules.low_speed_weight);
    m_high_weight->setValue(rules.high_speed_weight);
    m_most_discs->setValue(rules.most_discs);
    m_choices->setValue(100 * rules.most_choice_deviation);
    m_gap->setValue(100 * limits.gap);
    m_seconds->setValue(static_cast<int>(limits.seconds));
}

planner::SubstituteRules RulesPanel::rules(double working_lift_mm, planner::ToleranceClass tolerance) const {
    planner::SubstituteRules rules;
    rules.face_od_fixed = m_keep_face->isChecked();
    rules.keep_every_od = m_keep_ods->isChecked();
    rules.od_step = lengthOf(*m_od_step);
    rules.crossover_od_tolerance = lengthOf(*m_crossover_od);
    rules.crossover_gap_tolerance = lengthOf(*m_crossover_gap);
    rules.height_tolerance = lengthOf(*m_height);
    rules.most_other_groups_changed = m_groups->value();
    if (m_discs->value() >= 0) {
        rules.most_discs_changed = m_discs->value();
    }
    rules.mix_new_and_used = m_mix->isChecked();
    rules.keep_in_stock = m_keep_in_stock->value();
    static const QRegularExpression between(QStringLiteral("[,;\\s]+"));
    for (const QString& bin : m_bins_left->text().split(between, Qt::SkipEmptyParts)) {
        rules.bins_left_alone.push_back(bin.toStdString());
    }
    rules.low_speed_lift_mm = m_low_lift->value();
    rules.low_speed_weight = m_low_weight->value();
    rules.high_speed_weight = m_high_weight->value();
    rules.most_discs = m_most_discs->value();
    rules.most_choice_deviation = m_choices->value() / 100;
    rules.working_lift_mm = working_lift_mm;
    rules.tolerance = tolerance;
    return rules;
}

planner::SearchLimits RulesPanel::limits() const {
    planner::SearchLimits limits;
    limits.seconds = m_seconds->value();
    limits.gap = m_gap->value() / 100;
    return limits;
}

void RulesPanel::focusFirst() {
    m_keep_face->setFocus(Qt::ShortcutFocusReason);
}

bool RulesPanel::atDefaults() const {
    return text().isEmpty();
}

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
