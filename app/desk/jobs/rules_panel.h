// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/kept_fields.h"
#include "app/desk/length_text.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "planner/substitute/search_rules.h"
#endif

#include <QWidget>

namespace shimledger::desk {

/// What a substitute may change: the rules of the next search as they are declared (planner::searchRules()),
/// each at its default until it is set.
class RulesPanel : public QWidget {
    Q_OBJECT

public:
    explicit RulesPanel(SizeUnit bare = SizeUnit::millimetres, QWidget* parent = nullptr);

    void setSizeUnit(SizeUnit bare); ///< of sizes that are typed without one

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
    /// The field of one rule: a box to tick, a number, or words.
    [[nodiscard]] QWidget* fieldOf(const planner::SearchRule& rule);
    void enableFields();

    Fields m_fields; ///< by the rule's key
    QVariantMap m_defaults;
};

} // namespace shimledger::desk
