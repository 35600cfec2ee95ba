// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/state_mark.h"

#include <QFrame>

class QLabel;

namespace shimledger::desk {

/// Something to mind at this step, in large type on a tinted ground, there as long as it holds: unlike a
/// message it cannot be dismissed.
class CautionBand : public QFrame {
    Q_OBJECT

public:
    explicit CautionBand(double type_factor, QWidget* parent = nullptr);

    void tell(const QString& sentence); ///< empty: hides the band
    [[nodiscard]] QString sentence() const;

protected:
    void changeEvent(QEvent* event) override;
    bool event(QEvent* event) override;

private:
    void dress();

    double m_factor;
    QLabel* m_mark;
    QLabel* m_text;
};

} // namespace shimledger::desk
