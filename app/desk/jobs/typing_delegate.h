// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStyledItemDelegate>

namespace shimledger::desk {

/// Cells edited as plain text, telling each keystroke, so that others can follow before Return is pressed.
class TypingDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;

    QWidget* createEditor(QWidget* parent, const QStyleOptionViewItem& option,
                          const QModelIndex& index) const override;
    /// What is being typed is not overwritten by what follows from it.
    void setEditorData(QWidget* editor, const QModelIndex& index) const override;

signals:
    void typed(const QModelIndex& index, const QString& text) const;
};

} // namespace shimledger::desk
