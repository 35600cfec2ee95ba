// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/length_edit.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/length_text.h"
#include "app/desk/path_text.h"
#include "planner/units/input_error.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>

namespace shimledger::desk {

LengthEdit::LengthEdit(const QString& accessible_name, SizeUnit bare, QWidget* parent)
    : QWidget(parent), m_bare(bare), m_field(new QLineEdit), m_remark(new QLabel) {
    m_field->setAccessibleName(accessible_name);
    m_field->setToolTip(tr("In %1").arg(typingHelp(bare)));
    m_field->setMinimumWidth(m_field->fontMetrics().horizontalAdvance(QStringLiteral("0000.000 mm")));
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(m_field);
    layout->addWidget(m_remark, 1);
    setFocusProxy(m_field);
    setFocusPolicy(m_field->focusPolicy()); // else the key of a label does not lead here
    guarded(m_field, &QLineEdit::textChanged, this, &LengthEdit::understand);
    understand();
}

std::optional<Length> LengthEdit::value() const {
    return m_value;
}
QString LengthEdit::text() const {
    return m_field->text();
}
QString LengthEdit::remark() const {
    return m_remark->text();
}
void LengthEdit::setText(const QString& text) {
    m_field->setText(text);
}
void LengthEdit::setValue(Length length, int decimals) {
    m_field->setText(lengthText(length, m_bare, decimals));
}

void LengthEdit::understand() {
    m_value.reset();
    const QString typed = m_field->text();
    try {
        bool converted = false;
        if (!typed.trimmed().isEmpty()) {
            const services::TypedLength read = readTyped(typed, m_bare);
            m_value = read.length;
            converted = !read.in_millimetres || m_bare != SizeUnit::millimetres;
        }
        m_remark->setText(converted ? QStringLiteral("= ") + millimetreText(*m_value, 3)
                                    : textOf(std::string(services::unitSign(m_bare))));
    } catch (const InputError& problem) {
        m_remark->setText(withProblemMark(QString::fromUtf8(problem.what())));
    }
    emit changed();
}

} // namespace shimledger::desk
