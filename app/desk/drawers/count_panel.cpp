#include "app/desk/drawers/count_panel.h"

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

CountPanel::CountPanel(ShopSession& session, QWidget* parent)
    : QWidget(parent), m_session(session), m_where(new ScaledLabel(1.6)), m_counted(new QLineEdit),
      m_reason(new QLineEdit(tr("miscounted"))), m_remark(new QLabel) {
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
    if (!m_line) {
        m_where->setText(tr("Pick a line of the table to count it."));
        return;
    }
    // What the books say is not shown: a count that knows the answer is no count.
    m_where->setText(tr("%1: %2 %3, %4")
                         .arg(textOf(m_line->lot.bin), textOf(inventory::partKindRule(m_line->lot.kind).noun),
                              m_line->size, textOf(inventory::conditionName(m_line->lot.condition))));
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
