// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/pieces_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/services/stock_flow.h"
#include "app/services/wanted_part.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_snapshot.h"

#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalBlocker>
#include <QSpinBox>

namespace shimledger::desk {

namespace {

const QString topic = QStringLiteral("pieces");

enum Condition { fresh, used }; // as the box has them

using Booking = services::FlowStep (*)(inventory::ShopFile&, const services::PieceMove&);

Booking bookingOf(int what) {
    switch (what) {
    case PiecesPanel::came_in:
        return &services::receivePieces;
    case PiecesPanel::taken_out:
        return &services::issuePieces;
    case PiecesPanel::put_back:
        return &services::returnPieces;
    case PiecesPanel::thrown_away:
        return &services::scrapPieces;
    default:
        return &services::movePieces;
    }
}

} // namespace

PiecesPanel::PiecesPanel(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_settings(settings), m_what(new QComboBox), m_part(new QLineEdit),
      m_bin(new QLineEdit), m_condition(new QComboBox), m_quantity(new QSpinBox), m_to_bin(new QLineEdit),
      m_job(new QLineEdit), m_reason(new QLineEdit), m_book(new QPushButton(tr("Boo&k it"))),
      m_there(new SentenceLabel), m_remark(new SentenceLabel) {
    m_what->addItems({tr("came in without an order"), tr("taken out"), tr("put back"), tr("thrown away"),
                      tr("moved to another drawer")});
    m_condition->addItems({tr("new"), tr("used")});
    m_quantity->setRange(0, 1'000'000);
    m_book->setToolTip(tr("Once the quantity is given."));
    m_job->setPlaceholderText(tr("none"));
    m_book->setMinimumHeight(40);
    auto* form = new QFormLayout(this);
    form->setRowWrapPolicy(QFormLayout::WrapLongRows); // with large text
    const auto add = [form](const QString& label, QWidget* field) {
        form->addRow(label, field);
        field->setAccessibleName(QString(label).remove(QLatin1Char('&')));
    };
    add(tr("&What happened"), m_what);
    add(tr("&Part"), m_part);
    add(tr("&Drawer"), m_bin);
    form->addRow(m_there);
    add(tr("New or &used"), m_condition);
    add(tr("&Quantity"), m_quantity);
    add(tr("&To drawer"), m_to_bin);
    add(tr("For job"), m_job);
    add(tr("Wh&y"), m_reason);
    form->addRow(m_book);
    form->addRow(m_remark);
    setFocusProxy(m_what);
    m_blank = valuesOf(fields());
    m_filled = m_blank;
    m_book->setEnabled(false);
    for (QLineEdit* field : {m_part, m_bin})
        guarded(field, &QLineEdit::textEdited, this, &PiecesPanel::tellThere);
    guarded(m_condition, &QComboBox::currentIndexChanged, this, &PiecesPanel::tellThere);
    for (QLineEdit* field : {m_part, m_bin, m_to_bin, m_job, m_reason}) {
        guarded(field, &QLineEdit::textEdited, this, &PiecesPanel::keepDraft);
        guarded(field, &QLineEdit::returnPressed, this, [this] { focusNextChild(); }); // scanners send it
    }
    guarded(m_what, &QComboBox::currentIndexChanged, this, &PiecesPanel::showWhat);
    guarded(m_what, &QComboBox::currentIndexChanged, this, &PiecesPanel::keepDraft);
    guarded(m_condition, &QComboBox::currentIndexChanged, this, &PiecesPanel::keepDraft);
    guarded(m_quantity, &QSpinBox::valueChanged, this, &PiecesPanel::keepDraft);
    guarded(m_book, &QPushButton::clicked, this, &PiecesPanel::book);
    showWhat(); // and keeps nothing: a draft of the last time may be waiting
}

Fields PiecesPanel::fields() const {
    return {{QStringLiteral("what"), m_what},         {QStringLiteral("part"), m_part},
            {QStringLiteral("bin"), m_bin},           {QStringLiteral("condition"), m_condition},
            {QStringLiteral("quantity"), m_quantity}, {QStringLiteral("to_bin"), m_to_bin},
            {QStringLiteral("job"), m_job},           {QStringLiteral("reason"), m_reason}};
}

QString PiecesPanel::remark() const {
    return m_remark->text();
}

void PiecesPanel::showWhat() {
    auto* form = static_cast<QFormLayout*>(layout());
    const int what = m_what->currentIndex();
    form->setRowVisible(m_to_bin, what == moved);
    form->setRowVisible(m_job, what == taken_out || what == put_back || what == thrown_away);
    m_reason->setPlaceholderText(what == thrown_away ? tr("bent, worn: must be said")
                                                     : tr("may be left empty"));
}

void PiecesPanel::show(const StockLine& line, Pick pick) {
    if (pick == Pick::by_table && typed()) {
        tellThere(); // the table has been read again under an entry that is under way
        return;
    }
    if (m_part->text() != textOf(line.lot.part)) m_remark->clear();
    const QVariantMap filled{
        {QStringLiteral("part"), textOf(line.lot.part)},
        {QStringLiteral("bin"), textOf(line.lot.bin)},
        {QStringLiteral("condition"),
         m_condition->itemText(line.lot.condition == inventory::Condition::used ? used : fresh)}};
    const QSignalBlocker quiet(m_condition);
    setValues(fields(), filled);
    m_filled.insert(filled);
    tellLot(line.lot);
    keepDraft();
}

inventory::Condition PiecesPanel::condition() const {
    return m_condition->currentIndex() == used ? inventory::Condition::used : inventory::Condition::fresh;
}

void PiecesPanel::tellLot(const inventory::StockLot& lot) {
    m_there->setText(lot.on_hand == 0 ? QString()
                                      : tr("%1 there: %2 on hand, %3 reserved")
                                            .arg(textOf(inventory::partKindRule(lot.kind).noun))
                                            .arg(lot.on_hand)
                                            .arg(lot.reserved));
}

/// Of the part, drawer and condition that the form says, whoever has said so.
void PiecesPanel::tellThere() {
    m_there->clear();
    const std::string part = m_part->text().trimmed().toStdString();
    if (!m_session.isOpen() || part.empty()) {
        return;
    }
    const auto problem = problemOf([&] {
        for (const inventory::StockLot& lot : inventory::stockSnapshotOf(m_session.shop(), {part}).lots) {
            if (lot.condition != condition() || textOf(lot.bin) != m_bin->text().trimmed()) continue;
            tellLot(lot);
        }
    });
    if (problem) m_there->setText(*problem);
}

std::optional<inventory::Part> PiecesPanel::partWanted() {
    return services::wantedPart(m_part->text().toStdString(), inventory::PartKind::shim,
                                m_settings.choices().size_unit);
}

void PiecesPanel::takePart(const QString& code) {
    m_part->setText(code);
    m_remark->clear();
    tellThere();
    keepDraft();
    m_part->setFocus(Qt::OtherFocusReason);
}

bool PiecesPanel::typed() const {
    return valuesOf(fields()) != m_filled;
}

void PiecesPanel::keepDraft() {
    m_book->setEnabled(m_quantity->value() > 0);
    m_settings.drafts().keep(topic, typed() ? changesText({}, valuesOf(fields())) : QString());
}

bool PiecesPanel::readDraft() {
    const QVariantMap draft = readChanges(m_settings.drafts().text(topic));
    m_filled = m_blank;
    setValues(fields(), m_blank);
    setValues(fields(), draft);
    keepDraft();
    tellThere();
    m_remark->setText(draft.isEmpty() ? QString()
                                      : tr("As it was left the last time; nothing is booked yet."));
    return !draft.isEmpty();
}

void PiecesPanel::book() {
    services::PieceMove move;
    move.part = m_part->text().trimmed().toStdString();
    move.bin = m_bin->text().toStdString();
    move.quantity = m_quantity->value();
    move.condition = condition();
    const int what = m_what->currentIndex();
    if (what == moved) move.to_bin = m_to_bin->text().toStdString();
    if (what != came_in && what != moved) move.job = m_job->text().trimmed().toStdString();
    move.reason = m_reason->text().trimmed().toStdString();
    services::FlowStep step;
    if (const auto problem = problemOf([&] { step = bookingOf(what)(m_session.shop(), move); })) {
        m_remark->setText(withProblemMark(*problem));
        return;
    }
    m_remark->clear();
    m_quantity->setValue(0); // a second click books nothing
    for (QLineEdit* field : {m_to_bin, m_job, m_reason}) field->clear();
    m_filled = valuesOf(fields()); // the next entry begins from here
    keepDraft();
    m_session.announceChange();
    QStringList sentences;
    for (const std::string& sentence : step.sentences) sentences << textOf(sentence);
    emit done(sentences.join(QLatin1Char(' ')));
}

} // namespace shimledger::desk
