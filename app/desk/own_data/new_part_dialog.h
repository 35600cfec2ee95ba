// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/length_text.h"
#include "inventory/part.h"
#endif

#include <QDialog>

#include <vector>

class QComboBox;
class QFormLayout;
class QLineEdit;
class QPushButton;

namespace shimledger::desk {

class LengthEdit;
class MessageStrip;
class ShopSession;

/// Makes one part while something else is being entered: filled with what was typed there, small, and gone
/// again. All that a shop can say of a part is in its own data.
class NewPartDialog : public QDialog {
    Q_OBJECT

public:
    NewPartDialog(ShopSession& session, SizeUnit bare, const inventory::Part& wanted,
                  QWidget* parent = nullptr);

    [[nodiscard]] QComboBox* kind() const { return m_kind; }
    [[nodiscard]] LengthEdit* size(const QString& column) const; ///< "od_mm"; shown where the kind has it
    [[nodiscard]] QLineEdit* code() const { return m_code; }
    [[nodiscard]] QLineEdit* description() const { return m_description; }
    [[nodiscard]] QPushButton* makeButton() const { return m_make; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

signals:
    void made(const QString& code);

private:
    void showKind(); ///< the sizes that it has
    void make();
    [[nodiscard]] inventory::Part typed() const;
    [[nodiscard]] inventory::PartKind kindPicked() const;

    struct Size {
        QString column;
        LengthEdit* edit;
        QString lent; ///< as it was filled in
        std::optional<Length> wanted;
    };

    ShopSession& m_session;
    MessageStrip* m_strip;
    QComboBox* m_kind;
    QLineEdit *m_size_code, *m_code, *m_description;
    std::vector<Size> m_sizes;
    QFormLayout* m_form = nullptr;
    QPushButton* m_make = nullptr;
};

} // namespace shimledger::desk
