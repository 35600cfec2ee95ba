// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/typing_delegate.h"

#include "app/desk/guard.h"

#include <QLineEdit>
#include <QPersistentModelIndex>

namespace shimledger::desk {

QWidget* TypingDelegate::createEditor(QWidget* parent, const QStyleOptionViewItem& /*option*/,
                                      const QModelIndex& index) const {
    auto* editor = new QLineEdit(parent);
    editor->setFrame(false);
    editor->setAccessibleName(index.data(Qt::AccessibleTextRole).toString());
    guarded(editor, &QLineEdit::textEdited, this,
            [this, place = QPersistentModelIndex(index)](const QString& text) { emit typed(place, text); });
    return editor;
}

void TypingDelegate::setEditorData(QWidget* editor, const QModelIndex& index) const {
    const auto* line = qobject_cast<QLineEdit*>(editor);
    if (line == nullptr || !line->isModified()) {
        QStyledItemDelegate::setEditorData(editor, index);
    }
}

} // namespace shimledger::desk
