#include "app/desk/drawers/count_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/services/count_sheet.h"
#include "inventory/inventory_error.h"
#include "inventory/part_kinds.h"

#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>

namespace shimledger::desk {

namespace {

const QString reason_topic = QStringLiteral("count/reason");
const QString last_topic = QStringLiteral("count/last");

QString usualReason() {
    return CountPanel::tr("miscounted");
}

} // namespace

CountPanel::CountPanel(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_settings(settings), m_where(new ScaledLabel(1.6)),
      m_counted(new QLineEdit), m_reason(new QLineEdit(usualReason())), m_remark(new QLabel) {
    m_where->setTextFormat(Qt::PlainText);
    m_where->setWordWrap(true);
    m_counted->setAccessibleName(tr("Counted"));
    m_counted->setMinimumHeight(48);
    m_reason->setAccessibleName(tr("Why it differs from the books"));
    m_remark->setTextFormat(Qt::PlainText);
    m_remark->setWordWrap(true);
    auto* form = new QFormLayout(this);
    form->addRow(m_where);
    form->addRow(tr("Counted, then Return"), m_counted);
    form->addRow(tr("Reason of a difference"), m_reason);
    form->addRow(m_remark);
    setFocusProxy(m_counted);
    connect(m_counted, &QLineEdit::returnPressed, this, &CountPanel::take);
    connect(m_counted, &QLineEdit::textEdited, this, &CountPanel::keepDraft);
    connect(m_reason, &QLineEdit::textEdited, this, [this](const QString& reason) {
        m_settings.drafts().keep(reason_topic, reason == usualReason() ? QString() : reason);
    });
    show(std::nullopt);
}

QString CountPanel::remark() const {
    return m_remark->text();
}

void CountPanel::tell(const QString& sentence) {
    m_remark->setText(sentence);
}

void CountPanel::show(const std::optional<StockLine>& line) {
    m_line = line && !line->out() ? line : std::nullopt;
    m_counted->setEnabled(m_line.has_value());
    m_counted->setText(m_line ? m_settings.drafts().text(topic()) : QString());
    if (!m_line) {
        m_where->setText(tr("Pick a line of the table to count it."));
        return;
    }
    // What the books say is not shown: a count that knows the answer is no count.
    m_where->setText(tr("%1: %2 %3, %4")
                         .arg(textOf(m_line->lot.bin), textOf(inventory::partKindRule(m_line->lot.kind).noun),
                              m_line->size, textOf(inventory::conditionName(m_line->lot.condition))));
}

QString CountPanel::topic() const {
    return QStringLiteral("count/%1/%2/%3")
        .arg(textOf(m_line->lot.bin), textOf(m_line->lot.part),
             textOf(inventory::conditionName(m_line->lot.condition)));
}

void CountPanel::keepDraft() {
    if (!m_line) {
        return;
    }
    const QString typed = m_counted->text();
    m_settings.drafts().keep(topic(), typed);
    m_settings.drafts().keep(last_topic, typed.isEmpty() ? QString()
                                                         : textOf(m_line->lot.bin) + QLatin1Char('\n') +
                                                               textOf(m_line->lot.part));
}

void CountPanel::readDrafts() {
    const QString reason = m_settings.drafts().text(reason_topic);
    m_reason->setText(reason.isEmpty() ? usualReason() : reason);
    m_remark->clear();
}

std::optional<std::pair<QString, QString>> CountPanel::unbooked() const {
    const QStringList last = m_settings.drafts().text(last_topic).split(QLatin1Char('\n'));
    return last.size() == 2 ? std::optional(std::pair(last[0], last[1])) : std::nullopt;
}

void CountPanel::take() {
    bool good = false;
    const qlonglong number = m_counted->text().trimmed().toLongLong(&good);
    if (!m_line || !good || number < 0) {
        tell(QString(QChar(0x25B2)) +
             tr(" \"%1\" is no count: give a whole number, 0 or more.").arg(m_counted->text()));
        return;
    }
    services::CountLine line;
    line.bin = m_line->lot.bin;
    line.part = m_line->lot.part;
    line.what = m_line->size.toStdString();
    line.condition = m_line->lot.condition;
    line.books = m_line->lot.on_hand;
    line.counted = number;
    line.reason = m_reason->text().toStdString();
    try {
        const services::CountReview review = services::postCount(m_session.shop(), {line});
        tell(review.differences.empty() ? tr("%1 agrees.").arg(textOf(line.bin))
                                        : textOf(review.differences.front().sentence));
        m_counted->clear();
        keepDraft();
        if (!review.differences.empty()) {
            m_session.announceChange();
        }
        emit next();
    } catch (const InputError& problem) {
        tell(QString(QChar(0x25B2)) + QLatin1Char(' ') + QString::fromUtf8(problem.what()));
    } catch (const inventory::ShopFileFault& fault) {
        tell(QString::fromUtf8(fault.what()));
    }
}

} // namespace shimledger::desk
