// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/app_settings.h"

#include <QDialog>

class QComboBox;
class QDoubleSpinBox;
class QLineEdit;
class QPushButton;
class QSpinBox;

namespace shimledger::desk {

class LengthEdit;

/// What a person may set. Nothing is taken over before the dialog is accepted.
class SettingsDialog : public QDialog {
    Q_OBJECT

public:
    explicit SettingsDialog(const DeskChoices& choices, QWidget* parent = nullptr);

    [[nodiscard]] DeskChoices choices() const;
    [[nodiscard]] QComboBox* sizeUnit() const { return m_size_unit; }
    [[nodiscard]] LengthEdit* workingLift() const { return m_lift; }
    [[nodiscard]] QDoubleSpinBox* waitingDay() const { return m_waiting_day; }
    [[nodiscard]] QPushButton* acceptButton() const { return m_accept; }

private:
    DeskChoices m_before;
    QComboBox* m_theme;
    QSpinBox* m_text_size;
    QComboBox* m_paper;
    QComboBox* m_size_unit;
    LengthEdit* m_lift;
    QComboBox* m_tolerance;
    QDoubleSpinBox* m_waiting_day;
    QLineEdit* m_person;
    QPushButton* m_accept;
};

} // namespace shimledger::desk
