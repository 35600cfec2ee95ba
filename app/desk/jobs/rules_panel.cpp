#include "app/desk/jobs/rules_panel.h"

#include "app/desk/guard.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
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
        guarded(weight, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
    }
    m_low_weight->setAccessibleName(tr("Weight of the low-speed range"));
    m_high_weight->setAccessibleName(tr("Weight of the high-speed range"));
    auto* defaults = new QPushButton(tr("All at their defaults"));
    auto* form = new QFormLayout(this);
    form->setVerticalSpacing(4);
    form->setRowWrapPolicy(QFormLayout::WrapLongRows); // with large text
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
        guarded(box, &QCheckBox::toggled, this, &RulesPanel::changed);
    }
    const auto step_counts = [this] {
        m_od_step->setEnabled(!m_keep_face->isChecked() || !m_keep_ods->isChecked());
    };
    for (QCheckBox* box : {m_keep_face, m_keep_ods}) guarded(box, &QCheckBox::toggled, this, step_counts);
    const auto weights_count = [this] {
        const bool weighted = m_low_lift->value() > 0;
        m_low_weight->setEnabled(weighted);
        m_high_weight->setEnabled(weighted);
    };
    guarded(m_low_lift, &QDoubleSpinBox::valueChanged, this, weights_count);
    weights_count();
    guarded(m_bins_left, &QLineEdit::textChanged, this, &RulesPanel::changed);
    guarded(defaults, &QPushButton::clicked, this, &RulesPanel::reset);
    show({}, {});
    m_defaults = valuesOf(fields());
}

QDoubleSpinBox* RulesPanel::lengthBox(double least_mm, double most_mm, const QString& name) {
    auto* box = new QDoubleSpinBox;
    box->setRange(least_mm, most_mm);
    box->setSingleStep(0.05);
    box->setSuffix(tr(" mm"));
    box->setLocale(QLocale::c());
    box->setAccessibleName(name);
    guarded(box, &QDoubleSpinBox::valueChanged, this, &RulesPanel::changed);
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
    guarded(box, &QSpinBox::valueChanged, this, &RulesPanel::changed);
    return box;
}

void RulesPanel::reset() {
    setValues(fields(), m_defaults);
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

} // namespace shimledger::desk
