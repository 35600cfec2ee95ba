// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/length_text.h"
#include "app/desk/own_data/part_seeker.h"
#include "app/desk/workshop/bench_step.h"

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/strip_sheet.h"
#endif

#include <QStringList>

#include <optional>
#include <string>

class QComboBox;
class QLabel;
class QLineEdit;
class QPlainTextEdit;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class CautionBand;

/// What came out of a leg, typed row by row from the piston face as the discs are measured: Return takes the
/// row, Up fetches the last one back. What is typed is kept until it is written down.
class StripPanel : public BenchStep, public PartSeeker {
    Q_OBJECT

public:
    StripPanel(ShopSession& session, const DeskActions& actions, AppSettings& settings,
               QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job);

    /// Of the row being typed, else of a row that is not identified: the picked one before the last.
    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;

    [[nodiscard]] QLineEdit* entry() const { return m_entry; }
    [[nodiscard]] QTableWidget* table() const { return m_table; }
    [[nodiscard]] QString problem() const;
    [[nodiscard]] QString state() const; ///< how much of the leg is typed, and whether it is written down

    enum Column { place, count, od, readings, part, mean, bin, remark, column_count };

protected:
    bool event(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void layOut();
    void setType();
    [[nodiscard]] SizeUnit sizeUnit() const;
    void tellWhatIsTyped(); ///< in the empty field
    void fillRow(int row, const services::StripLine& line);
    void fillRefused(int row); ///< as it was typed
    void takeRow();
    void fetchBack(int row);
    void nextLeg();
    void writeDown();
    void putAway();
    void fillLegs(int first, int last);
    void readLeg(); ///< the draft of the leg, or what was written down
    void readWritten();
    void identify(); ///< names the parts and shows the rows
    void keepDraft();
    void tellState();
    void showSides(); ///< how the legs differ, what is to be put away
    void tell(const QString& sentence);
    void enableActions() override;
    [[nodiscard]] int unknownRow() const; ///< see partWanted(); below 0: none
    [[nodiscard]] int leg() const;
    [[nodiscard]] QString topic() const;
    [[nodiscard]] static std::vector<inventory::StripRow> rowsOf(const QStringList& typed);
    [[nodiscard]] std::vector<services::StripLine> identified(const QStringList& typed) const;

    AppSettings& m_settings;
    QStringList m_typed;              ///< a row each, as kept: in mm
    std::optional<int> m_row_of_part; ///< that a part is being made for; none: the one being typed
    bool m_written = false;           ///< the rows are those that the shop file has
    CautionBand* m_mind;
    QComboBox* m_leg;
    QLineEdit* m_entry;
    QLabel* m_problem;
    QLabel* m_state;
    QTableWidget* m_table;
    QPlainTextEdit* m_sides;
};

} // namespace shimledger::desk
