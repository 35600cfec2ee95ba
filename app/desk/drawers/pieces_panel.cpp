#include "app/desk/drawers/pieces_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/services/stock_flow.h"
#include "inventory/part_kinds.h"

#include <QComboBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>

namespace shimledger::desk {

namespace {

const QString topic = QStringLiteral("pieces");

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
    m_quantity->setRange(1, 1'000'000);
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
    for (QLineEdit* field : {m_part, m_bin, m_to_bin, m_job, m_reason}) {
        connect(field, &QLineEdit::textEdited, this, &PiecesPanel::keepDraft);
        connect(field, &QLineEdit::returnPressed, this, [this] { focusNextChild(); }); // scanners send it
    }
    connect(m_what, &QComboBox::currentIndexChanged, this, &PiecesPanel::showWhat);
    connect(m_what, &QComboBox::currentIndexChanged, this, &PiecesPanel::keepDraft);
    connect(m_condition, &QComboBox::currentIndexChanged, this, &PiecesPanel::keepDraft);
    connect(m_quantity, &QSpinBox::valueChanged, this, &PiecesPanel::keepDraft);
    connect(m_book, &QPushButton::clicked, this, &PiecesPanel::book);
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

void PiecesPanel::show(const std::optional<StockLine>& line) {
    if (!line) {
        m_there->clear();
        return;
    }
    if (m_part->text() != textOf(line->lot.part)) m_remark->clear();
    m_part->setText(textOf(line->lot.part));
    m_bin->setText(textOf(line->lot.bin));
    m_condition->setCurrentIndex(line->lot.condition == inventory::Condition::used ? 1 : 0);
    m_there->setText(tr("%1 %2: %3 on hand, %4 reserved")
                         .arg(textOf(inventory::partKindRule(line->lot.kind).noun), line->whatText())
                         .arg(line->lot.on_hand)
                         .arg(line->lot.reserved));
}

/// What a picked line fills in is no entry of a person's.
bool PiecesPanel::typed() const {
    return !m_reason->text().isEmpty() || !m_to_bin->text().isEmpty() || !m_job->text().isEmpty() ||
           m_quantity->value() != 1;
}

std::optional<std::pair<QString, QString>> PiecesPanel::unbooked() const {
    return typed() ? std::optional(std::pair(m_bin->text(), m_part->text())) : std::nullopt;
}

void PiecesPanel::keepDraft() {
    m_settings.drafts().keep(topic, typed() ? changesText(m_blank, valuesOf(fields())) : QString());
}

void PiecesPanel::readDraft() {
    const QVariantMap draft = readChanges(m_settings.drafts().text(topic));
    setValues(fields(), m_blank);
    setValues(fields(), draft);
    keepDraft();
    m_remark->setText(draft.isEmpty() ? QString()
                                      : tr("As it was left the last time; nothing is booked yet."));
}

void PiecesPanel::book() {
    services::PieceMove move;
    move.part = m_part->text().trimmed().toStdString();
    move.bin = m_bin->text().toStdString();
    move.quantity = m_quantity->value();
    move.condition =
        m_condition->currentIndex() == 1 ? inventory::Condition::used : inventory::Condition::fresh;
    const int what = m_what->currentIndex();
    if (what == moved) move.to_bin = m_to_bin->text().toStdString();
    if (what != came_in && what != moved) move.job = m_job->text().trimmed().toStdString();
    move.reason = m_reason->text().trimmed().toStdString();
    services::FlowStep step;
    if (const auto problem = problemOf([&] { step = bookingOf(what)(m_session.shop(), move); })) {
        m_remark->setText(QString(QChar(0x25B2)) + QLatin1Char(' ') + *problem);
        return;
    }
    m_remark->clear();
    m_quantity->setValue(1);
    for (QLineEdit* field : {m_to_bin, m_job, m_reason}) field->clear();
    keepDraft();
    m_session.announceChange();
    QStringList sentences;
    for (const std::string& sentence : step.sentences) sentences << textOf(sentence);
    emit done(sentences.join(QLatin1Char(' ')));
}

} // namespace shimledger::desk
