// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/own_data/new_part_dialog.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/length_edit.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/services/own_data.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

QString capital(std::string_view noun) {
    QString words = textOf(std::string(noun));
    words[0] = words[0].toUpper();
    return words;
}

bool hasSize(inventory::PartKind kind, const inventory::SizeField& size) {
    const inventory::PartKindRule& rule = inventory::partKindRule(kind);
    const bool needed = std::any_of(rule.needs.begin(), rule.needs.end(),
                                    [&](const auto* need) { return need->column == size.column; });
    const bool either = rule.needs_od_or_id && (size.column == "od_mm" || size.column == "id_mm");
    return needed || either || rule.takes_any_size;
}

} // namespace

NewPartDialog::NewPartDialog(ShopSession& session, SizeUnit bare, const inventory::Part& wanted,
                             QWidget* parent)
    : QDialog(parent), m_session(session), m_strip(new MessageStrip), m_kind(new QComboBox),
      m_size_code(new QLineEdit), m_code(new QLineEdit), m_description(new QLineEdit) {
    setWindowTitle(tr("A new part"));
    for (const inventory::PartKindRule& rule : inventory::allPartKinds())
        m_kind->addItem(textOf(std::string(rule.noun)), static_cast<int>(rule.kind));
    m_kind->setCurrentIndex(m_kind->findData(static_cast<int>(wanted.kind)));
    m_form = new QFormLayout;
    const auto add = [this](const QString& label, QWidget* field, QWidget* named) {
        auto* caption = new QLabel(label);
        caption->setBuddy(field);
        named->setAccessibleName(QString(label).remove(QLatin1Char('&')));
        m_form->addRow(caption, field);
    };
    add(tr("&Kind"), m_kind, m_kind);
    for (const inventory::SizeField& size : inventory::allSizeFields()) {
        auto* edit = new LengthEdit({}, bare);
        const std::optional<Length> length = wanted.*size.member;
        if (length) edit->setValue(*length, size.column == "thickness_mm" ? 2 : 1);
        add(capital(size.noun), edit, edit->field());
        m_sizes.push_back({textOf(std::string(size.column)), edit, edit->text(), length});
    }
    m_size_code->setPlaceholderText(tr("such as 210 or P18: stands for both sizes"));
    add(tr("Si&ze code"), m_size_code, m_size_code);
    m_code->setText(textOf(wanted.code));
    m_code->setPlaceholderText(tr("made of kind and sizes where it is left empty"));
    add(tr("&Code"), m_code, m_code);
    m_description->setText(textOf(wanted.description));
    m_description->setPlaceholderText(tr("may be left empty"));
    add(tr("&Description"), m_description, m_description);
    auto* about =
        new QLabel(tr("Sizes are the nominal ones, not what a worn piece measures. What was being entered "
                      "stays as it is, and goes on with this part."));
    about->setWordWrap(true);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel);
    m_make = buttons->addButton(tr("&Make the part"), QDialogButtonBox::AcceptRole);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(m_form);
    layout->addWidget(about);
    layout->addWidget(buttons);
    // Only now that they are of this dialog: Return makes the part, and never gives it up.
    buttons->button(QDialogButtonBox::Cancel)->setAutoDefault(false);
    m_make->setDefault(true);
    guarded(m_kind, &QComboBox::currentIndexChanged, this, &NewPartDialog::showKind);
    guarded(buttons, &QDialogButtonBox::accepted, this, &NewPartDialog::make);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    showKind();
    m_kind->setFocus();
    for (const Size& size : m_sizes) { // what is missing comes first, else what is nominal is looked at
        if (!m_form->isRowVisible(size.edit)) continue;
        size.edit->field()->setFocus();
        size.edit->field()->selectAll();
        break;
    }
}

LengthEdit* NewPartDialog::size(const QString& column) const {
    const auto found = std::ranges::find(m_sizes, column, &Size::column);
    return found == m_sizes.end() ? nullptr : found->edit;
}

inventory::PartKind NewPartDialog::kindPicked() const {
    return static_cast<inventory::PartKind>(m_kind->currentData().toInt());
}

void NewPartDialog::showKind() {
    std::size_t i = 0;
    for (const inventory::SizeField& size : inventory::allSizeFields())
        m_form->setRowVisible(m_sizes[i++].edit, hasSize(kindPicked(), size));
    m_form->setRowVisible(m_size_code, kindPicked() == inventory::PartKind::oRing);
}

inventory::Part NewPartDialog::typed() const {
    inventory::Part part;
    part.kind = kindPicked();
    std::size_t i = 0;
    for (const inventory::SizeField& field : inventory::allSizeFields()) {
        const Size& size = m_sizes[i++];
        if (!m_form->isRowVisible(size.edit) || size.edit->text().trimmed().isEmpty()) continue;
        if (!size.edit->value()) {
            size.edit->field()->setFocus();
            throw InputError(
                tr("%1: %2").arg(size.edit->field()->accessibleName(), size.edit->remark()).toStdString());
        }
        part.*field.member = size.edit->value();
    }
    if (part.kind == inventory::PartKind::oRing) part.size_code = m_size_code->text().trimmed().toStdString();
    part.code = m_code->text().trimmed().toStdString();
    part.description = m_description->text().trimmed().toStdString();
    if (part.kind == inventory::PartKind::fluid) part.unit = inventory::QuantityUnit::millilitre;
    return part;
}

void NewPartDialog::make() {
    QString code;
    if (const auto problem =
            problemOf([&] { code = textOf(services::addPart(m_session.shop(), typed())); })) {
        m_strip->showProblem(*problem);
        return;
    }
    accept();
    emit made(code);
}

} // namespace shimledger::desk
