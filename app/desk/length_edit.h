// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/length_text.h"
#include "planner/units/length.h"
#endif

#include <QWidget>

#include <optional>

class QLabel;
class QLineEdit;

namespace shimledger::desk {

/// A field for a length, in the unit that the settings say; another one is written behind the number ("0.006
/// in"). What it comes to in mm stands beside the field.
/// What is no length is told beside it as well.
class LengthEdit : public QWidget {
    Q_OBJECT

public:
    explicit LengthEdit(const QString& accessible_name, SizeUnit bare = SizeUnit::millimetres,
                        QWidget* parent = nullptr);

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

    SizeUnit m_bare;
    QLineEdit* m_field;
    QLabel* m_remark;
    std::optional<Length> m_value;
};

} // namespace shimledger::desk
