// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/own_data/part_seeker.h"
#include "app/services/parts_finder.h"
#endif

#include <QWidget>

class QLabel;
class QLineEdit;
class QPushButton;
class QSpinBox;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class ShopSession;

/// What is this in my hand? Measured values find the part; discs that were reclaimed are put away from here.
class MeasurePanel : public QWidget, public PartSeeker {
    Q_OBJECT

public:
    /// Of the matches; behind them comes one for each size that was measured: by how much it is off.
    enum Column { what, available, bins, part, first_off };

    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;

    MeasurePanel(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    void readDraft(); ///< what was typed for the shop that was opened, and not put away

    [[nodiscard]] QLineEdit* field() const { return m_field; }
    [[nodiscard]] QTableWidget* matches() const { return m_matches; }
    [[nodiscard]] QLineEdit* bin() const { return m_bin; }
    [[nodiscard]] QSpinBox* quantity() const { return m_quantity; }
    [[nodiscard]] QPushButton* putAwayButton() const { return m_put_away; }
    [[nodiscard]] QString remark() const; ///< the verdict, or what was wrong

signals:
    void partPicked(const QString& part, const QString& bin); ///< bin: the first it lies in; empty: none
    void done(const QString& sentence);

private:
    void search();
    void tellUnit(); ///< of sizes that are typed without one
    void fillMatches();
    void matchPicked();
    void putAway();
    void keepDraft();

    ShopSession& m_session;
    AppSettings& m_settings;
    bool m_filling = false;
    services::PartSearch m_found;
    QLineEdit* m_field;
    QLabel* m_remark;
    QTableWidget* m_matches;
    QSpinBox* m_quantity;
    QLineEdit* m_bin;
    QPushButton* m_put_away;
};

} // namespace shimledger::desk
