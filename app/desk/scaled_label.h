// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>

namespace shimledger::desk {

/// A label whose text is larger than the window's by a factor, also after the text size was changed.
class ScaledLabel : public QLabel {
    Q_OBJECT

public:
    explicit ScaledLabel(double factor, bool bold = true, QWidget* parent = nullptr);

protected:
    bool event(QEvent* event) override;

private:
    void scale();

    double m_factor;
    bool m_bold;
};

} // namespace shimledger::desk
