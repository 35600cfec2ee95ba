// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/lot_check.h"
#include "app/services/typed_length.h"
#endif

#include <QDialog>

#include <optional>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QListWidget;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class MessageStrip;
class ShopSession;

/// Micrometer readings of one lot by keys: number, Return, number, Return; mean, spread and how far that is
/// from what the drawer says stand beside them at once. Beneath it the lots that are too far off.
class ReadingsDialog : public QDialog {
    Q_OBJECT

public:
    ReadingsDialog(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    void pickLot(const std::string& part, const std::string& bin, inventory::Condition condition);

    [[nodiscard]] QComboBox* lot() const { return m_lot; }
    [[nodiscard]] QLineEdit* field() const { return m_field; }
    [[nodiscard]] QListWidget* readings() const { return m_readings; }
    [[nodiscard]] QString verdict() const; ///< mean, spread and how far off
    [[nodiscard]] QString remark() const;  ///< what was understood of the last one, or what is wrong with it
    [[nodiscard]] QTableWidget* farOff() const { return m_far; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }
    void book(); ///< writes all of them down

protected:
    void keyPressEvent(QKeyEvent* event) override;
    void reject() override;

private:
    struct Lot {
        std::string part;
        std::string bin;
        inventory::Condition condition = inventory::Condition::fresh;

        bool operator==(const Lot&) const = default;
    };
    void readShop();
    void readLots();
    void showFar();
    void take();     ///< the typed reading joins the others
    void takeBack(); ///< the picked one, or the last, is taken out again
    void lotPicked();
    void showVerdict();
    [[nodiscard]] services::SizeUnit sizeUnit() const;
    [[nodiscard]] services::AllowedOff allowed() const;
    [[nodiscard]] const Lot* picked() const;

    ShopSession& m_session;
    AppSettings& m_settings;
    std::vector<Lot> m_lots; ///< of the box, in its order
    std::vector<Lot> m_far_lots;
    std::optional<Lot> m_lot_of_readings;
    std::vector<Length> m_values;
    bool m_told_of_loss = false; ///< closing has been held up once
    QComboBox* m_lot;
    QLineEdit* m_field;
    QLabel* m_remark;
    QLabel* m_verdict;
    QListWidget* m_readings;
    QPushButton* m_back;
    QPushButton* m_book;
    QLabel* m_far_title;
    QTableWidget* m_far;
    MessageStrip* m_strip;
};

} // namespace shimledger::desk
