// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/kept_fields.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/drawers/stock_lines.h"
#include "app/desk/own_data/part_seeker.h"
#endif

#include <QString>
#include <QWidget>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QSpinBox;

namespace shimledger::desk {

class AppSettings;
class ShopSession;

/// Pieces that move without a plan: bought over the counter, bent, lent to a job, moved to another drawer.
/// Part and drawer follow the line that is picked and may be typed or scanned; what was typed and not booked
/// is kept.
class PiecesPanel : public QWidget, public PartSeeker {
    Q_OBJECT

public:
    enum What { came_in, taken_out, put_back, thrown_away, moved };

    PiecesPanel(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    bool readDraft(); ///< of the shop that was opened; whether there was one
    /// A person has picked the line, or the table has, as it was read again: an entry under way then stays.
    enum class Pick { by_person, by_table };
    void show(const StockLine& line, Pick pick);

    [[nodiscard]] std::optional<inventory::Part> partWanted() override;
    void takePart(const QString& code) override;
    void book();

    [[nodiscard]] Fields fields() const; ///< by name, for drafts and tests
    [[nodiscard]] QPushButton* bookButton() const { return m_book; }
    [[nodiscard]] QString remark() const;

signals:
    void done(const QString& sentence);

private:
    void showWhat(); ///< the fields that mean something for it
    void tellThere();
    void tellLot(const inventory::StockLot& lot);
    [[nodiscard]] inventory::Condition condition() const;
    void keepDraft();
    [[nodiscard]] bool typed() const;

    ShopSession& m_session;
    AppSettings& m_settings;
    QVariantMap m_blank;
    QVariantMap m_filled; ///< what the fields say that is nobody's entry
    QComboBox* m_what;
    QLineEdit* m_part;
    QLineEdit* m_bin;
    QComboBox* m_condition;
    QSpinBox* m_quantity;
    QLineEdit* m_to_bin;
    QLineEdit* m_job;
    QLineEdit* m_reason;
    QPushButton* m_book;
    QLabel* m_there; ///< how much of it lies there
    QLabel* m_remark;
};

} // namespace shimledger::desk
