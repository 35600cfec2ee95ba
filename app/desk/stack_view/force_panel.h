// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/force_curves.h"

#include <QWidget>

#include <memory>
#include <optional>

class QLabel;

namespace shimledger::desk {

class ForcePlot;

/// Force over shaft speed of target and substitute. The speed that is marked (the one at which the target
/// stands open by the slider's lift, or the mouse's while it is over the panel) is read out in words beneath,
/// so that nothing needs a mouse.
class ForcePanel : public QWidget {
    Q_OBJECT

public:
    explicit ForcePanel(QWidget* parent = nullptr);
    ~ForcePanel() override;

    /// Null: nothing to draw (yet), and `why` says so.
    void setCurves(std::shared_ptr<const ForceCurves> curves, const QString& substitute_name,
                   const QString& why = {});
    void setMarkedLift(double lift_mm);

    /// The values at the drawn speed nearest to this one as a sentence; empty where nothing is drawn.
    [[nodiscard]] QString reading(double speed_m_s) const;
    [[nodiscard]] const ForceCurves* curves() const { return m_curves.get(); }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void hover(std::optional<double> speed_m_s);

    std::unique_ptr<ForcePlot> m_plot;
    QLabel* m_reading = nullptr;
    QString m_substitute_name;
    QString m_why;
    std::shared_ptr<const ForceCurves> m_curves;
    double m_marked_lift_mm = 0;
};

} // namespace shimledger::desk
