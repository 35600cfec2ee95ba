// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "planner/units/length.h"
#endif

#include <QWidget>

#include <optional>

class QLabel;
class QLineEdit;

namespace shimledger::desk {

/// A field for a length in mm. Inches may be typed ("0.006 in"); what they come to stands beside the field.
/// What is no length is told beside it as well.
class LengthEdit : public QWidget {
    Q_OBJECT

public:
    explicit LengthEdit(const QString& accessible_name, QWidget* parent = nullptr);

    [[nodiscard]] std::optional<Length> value() const; ///< none: empty, or no length
    [[nodiscard]] QString text() const;
    [[nodiscard]] QString remark() const; ///< the conversion or the problem that is shown
    void setText(const QString& text);
    void setValue(Length length, int decimals = 2);
    [[nodiscard]] QLineEdit* field() const { return m_field; }

signals:
    void changed();

private:
    void understand();

    QLineEdit* m_field;
    QLabel* m_remark;
    std::optional<Length> m_value;
};

} // namespace shimledger::desk
