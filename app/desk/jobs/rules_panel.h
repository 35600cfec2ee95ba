#pragma once

#include "app/desk/kept_fields.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "planner/substitute/substitute_request.h"
#endif

#include <QWidget>

class QCheckBox;
class QDoubleSpinBox;
class QLineEdit;
class QSpinBox;

namespace shimledger::desk {

/// What a substitute may change: the rules of the next search, each at its default until it is set.
class RulesPanel : public QWidget {
    Q_OBJECT

public:
    explicit RulesPanel(QWidget* parent = nullptr);

    /// Working lift and tolerance class come from the settings, all else from the panel.
    [[nodiscard]] planner::SubstituteRules rules(double working_lift_mm,
                                                 planner::ToleranceClass tolerance) const;
    [[nodiscard]] planner::SearchLimits limits() const;
    void reset();                       ///< every rule at its default
    [[nodiscard]] QString text() const; ///< what differs from the defaults, to be kept; empty: nothing does
    [[nodiscard]] static QString draftTopic() { return QStringLiteral("rules"); } ///< where the page keeps it
    /// What text() gave; what is not there, or cannot be read, is at its default.
    void setText(const QString& text);
    [[nodiscard]] bool atDefaults() const;
    void focusFirst();

signals:
    void changed();

private:
    QDoubleSpinBox* lengthBox(double least_mm, double most_mm, const QString& name);
    [[nodiscard]] Fields fields() const;
    QDoubleSpinBox* percentBox(double least, double most, const QString& name);
    QSpinBox* countBox(int least, int most, const QString& name);
    void show(const planner::SubstituteRules& rules, const planner::SearchLimits& limits);

    QVariantMap m_defaults;
    QCheckBox* m_keep_face;
    QCheckBox* m_keep_ods;
    QDoubleSpinBox* m_od_step;
    QDoubleSpinBox* m_crossover_od;
    QDoubleSpinBox* m_crossover_gap;
    QDoubleSpinBox* m_height;
    QSpinBox* m_groups;
    QSpinBox* m_discs;
    QCheckBox* m_mix;
    QSpinBox* m_keep_in_stock;
    QLineEdit* m_bins_left;
    QDoubleSpinBox* m_low_lift;
    QDoubleSpinBox* m_low_weight;
    QDoubleSpinBox* m_high_weight;
    QSpinBox* m_most_discs;
    QDoubleSpinBox* m_choices;
    QDoubleSpinBox* m_gap;
    QSpinBox* m_seconds;
};

} // namespace shimledger::desk
