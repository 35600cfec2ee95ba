// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/own_data/part_seeker.h"
#include "app/desk/workshop/bench_step.h"

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/wear_inspection.h"
#endif

#include <optional>
#include <string>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QPlainTextEdit;
class QSpinBox;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;

/// The inspection of a job: every wear part of its model, leg by leg, and the places looked at. K, R or D on
/// a line keeps, replaces or defers it; what a decision needs is typed beneath. The kit follows.
class InspectPanel : public BenchStep, public PartSeeker {
    Q_OBJECT

public:
    InspectPanel(ShopSession& session, const DeskActions& actions, AppSettings& settings,
                 QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job);

    /// A part that the model does not list: it is named on the line for another place.
    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;

    [[nodiscard]] QTableWidget* table() const { return m_table; }
    [[nodiscard]] QSpinBox* percent() const { return m_percent; }
    [[nodiscard]] QLineEdit* place() const { return m_place; }
    [[nodiscard]] QComboBox* decision() const { return m_decision; }
    [[nodiscard]] QLineEdit* reason() const { return m_reason; }
    [[nodiscard]] QPlainTextEdit* kit() const { return m_kit; }

protected:
    bool event(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void layOut();
    void setType();
    void read();                               ///< the sheet and the kit; the picked line stays
    void fillForm();                           ///< from the picked line's finding, or what was being typed
    void decide(inventory::WearDecision what); ///< by a key in the table
    void writeDown();
    void makeKit();
    void keepDraft();
    void enableActions() override;
    [[nodiscard]] const services::InspectionLine* picked() const; ///< none: a place that is new
    [[nodiscard]] inventory::WearFinding typed() const;
    [[nodiscard]] QString topic() const;

    AppSettings& m_settings;
    std::vector<services::InspectionLine> m_lines;
    bool m_filling = false; ///< the form is being filled by the program
    QTableWidget* m_table;
    QSpinBox* m_leg;
    QLineEdit* m_place;
    QSpinBox* m_percent;
    QComboBox* m_state;
    QComboBox* m_decision;
    QSpinBox* m_pieces;
    QLineEdit* m_reason;
    QLineEdit* m_note;
    QPlainTextEdit* m_kit;
};

} // namespace shimledger::desk
