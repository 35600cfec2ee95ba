// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/count_panel.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/shop_session.h"
#include "app/services/count_sheet.h"
#include "inventory/inventory_error.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"

#include <QApplication>
#include <QEvent>
#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>

namespace shimledger::desk {

namespace {

const QString reason_topic = QStringLiteral("count/reason");
const QString aside_topic = QStringLiteral("/aside");
const QString last_topic = QStringLiteral("count/last");

/// The digits are read from where the drawer is.
class LargeField : public QLineEdit {
public:
    LargeField() { scale(); }

protected:
    bool event(QEvent* event) override {
        if (event->type() == QEvent::ApplicationFontChange) {
            scale();
        }
        return QLineEdit::event(event);
    }

private:
    void scale() {
        constexpr double factor = 1.6;
        QFont large = QApplication::font();
        large.setPointSizeF(factor * large.pointSizeF());
        setFont(large);
    }
};

} // namespace

CountPanel::CountPanel(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_settings(settings), m_where(new ScaledLabel(1.6)),
      m_place(new QLabel), m_counted(new LargeField), m_aside_label(new QLabel), m_aside(new QLineEdit),
      m_reason(new QLineEdit), m_book(new QPushButton(tr("Boo&k"))), m_remark(new QLabel) {
    m_where->setTextFormat(Qt::PlainText);
    m_where->setWordWrap(true);
    m_place->setTextFormat(Qt::PlainText);
    m_counted->setAccessibleName(tr("Counted"));
    m_counted->setMinimumHeight(48);
    m_aside->setAccessibleName(tr("Laid aside in a job's tray, not in the drawer"));
    m_aside->setPlaceholderText(tr("none"));
    m_aside_label->setTextFormat(Qt::PlainText);
    m_aside_label->setWordWrap(true);
    m_aside_label->setBuddy(m_aside);
    m_reason->setAccessibleName(tr("Why it differs from the books"));
    m_reason->setPlaceholderText(tr("lost, found, bent, miscounted"));
    m_book->setMinimumHeight(48);
    m_book->setToolTip(tr("Books what was counted and goes on with the next line (Enter in the field)."));
    m_remark->setTextFormat(Qt::PlainText);
    m_remark->setWordWrap(true);
    auto* counted = new QLabel(tr("Cou&nted (Enter books it)"));
    counted->setBuddy(m_counted);
    auto* why = new QLabel(tr("If it differs, why"));
    why->setBuddy(m_reason);
    auto* form = new QGridLayout(this);
    form->setContentsMargins(0, 0, 0, 0);
    form->setColumnStretch(1, 1);
    form->addWidget(m_where, 0, 0, 1, 3);
    form->addWidget(m_place, 1, 0, 1, 3);
    form->addWidget(counted, 2, 0, Qt::AlignVCenter);
    form->addWidget(m_counted, 2, 1);
    form->addWidget(m_book, 2, 2);
    form->addWidget(m_aside_label, 3, 0, Qt::AlignVCenter);
    form->addWidget(m_aside, 3, 1, 1, 2);
    form->addWidget(why, 4, 0, Qt::AlignVCenter);
    form->addWidget(m_reason, 4, 1, 1, 2);
    form->addWidget(m_remark, 5, 0, 1, 3);
    setFocusProxy(m_counted);
    guarded(m_counted, &QLineEdit::returnPressed, this, &CountPanel::take);
    guarded(m_aside, &QLineEdit::returnPressed, this, &CountPanel::take);
    guarded(m_aside, &QLineEdit::textEdited, this, &CountPanel::keepDraft);
    guarded(m_book, &QPushButton::clicked, this, [this] {
        take();
        m_counted->setFocus(Qt::OtherFocusReason);
    });
    guarded(m_counted, &QLineEdit::textEdited, this, &CountPanel::keepDraft);
    guarded(m_reason, &QLineEdit::textEdited, this,
            [this](const QString& reason) { m_settings.drafts().keep(reason_topic, reason); });
    show(std::nullopt);
}

void CountPanel::showPlace(int place, int of, const QString& next_bin) {
    m_place->setText(place < 1            ? QString()
                     : next_bin.isEmpty() ? tr("Line %1 of %2, the last.").arg(place).arg(of)
                                          : tr("Line %1 of %2, then %3.").arg(place).arg(of).arg(next_bin));
}

QString CountPanel::where() const {
    return m_where->text();
}

QString CountPanel::remark() const {
    return m_remark->text();
}

void CountPanel::tell(const QString& sentence) {
    m_remark->setText(sentence);
}

void CountPanel::show(const std::optional<StockLine>& line, Pick pick) {
    if (m_found && pick == Pick::by_table) return;
    m_found = false;
    m_line = line && !line->out() ? line : std::nullopt;
    showLine();
}

std::optional<inventory::Part> CountPanel::partWanted() {
    if (!m_line) return std::nullopt;
    inventory::Part wanted;
    wanted.kind = m_line->lot.kind; // as its neighbours, more often than not
    if (wanted.kind == inventory::PartKind::shim) wanted.id = m_line->lot.id;
    return wanted;
}

void CountPanel::takePart(const QString& code) {
    if (!m_line) return;
    const auto part = inventory::PartCatalogue(m_session.shop()).find(code.toStdString());
    if (!part) return;
    const QString counted = m_counted->text();
    m_counted->clear();
    keepDraft(); // the number is of the part that was found, not of its neighbour
    StockLine found;
    found.lot.part = part->code;
    found.lot.kind = part->kind;
    found.lot.bin = m_line->lot.bin;
    found.lot.condition = m_line->lot.condition;
    found.size = textOf(inventory::partSizeText(*part));
    found.cabinet = m_line->cabinet;
    m_line = found;
    m_found = true;
    showLine();
    m_counted->setText(counted);
    keepDraft();
    m_counted->setFocus(Qt::OtherFocusReason);
}

void CountPanel::showLine() {
    m_counted->setEnabled(m_line.has_value());
    m_book->setEnabled(m_line.has_value());
    m_counted->setText(m_line ? m_settings.drafts().text(topic()) : QString());
    showTrays();
    if (!m_line) {
        m_where->setText(tr("Pick a line of the table to count it."));
        showPlace(0, 0, {});
        return;
    }
    // What the books say is not shown: a count that knows the answer is no count.
    m_where->setText(tr("%1: %2 %3, %4")
                         .arg(textOf(m_line->lot.bin), textOf(inventory::partKindRule(m_line->lot.kind).noun),
                              m_line->whatText(), textOf(inventory::conditionName(m_line->lot.condition))));
}

/// Asked for only where something is reserved; the jobs are named, so that their trays can be looked into.
void CountPanel::showTrays() {
    QStringList jobs;
    if (m_line && m_line->lot.reserved > 0) {
        for (const inventory::Reservation& held : inventory::StockLedger(m_session.shop()).reservations()) {
            if (held.part == m_line->lot.part && held.bin == m_line->lot.bin &&
                held.condition == m_line->lot.condition)
                jobs << textOf(held.job);
        }
    }
    jobs.removeDuplicates();
    m_aside_label->setText(tr("In the tray of %1").arg(jobs.join(QStringLiteral(", "))));
    m_aside->setToolTip(tr("So many of the reserved ones lie in a job's tray and not in the drawer: they are "
                           "not counted, and not lost."));
    m_aside_label->setVisible(!jobs.isEmpty());
    m_aside->setVisible(!jobs.isEmpty());
    m_aside->setText(jobs.isEmpty() ? QString() : m_settings.drafts().text(topic() + aside_topic));
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
    m_settings.drafts().keep(topic() + aside_topic, m_aside->text());
    m_settings.drafts().keep(last_topic, typed.isEmpty() ? QString()
                                                         : textOf(m_line->lot.bin) + QLatin1Char('\n') +
                                                               textOf(m_line->lot.part));
}

void CountPanel::readDrafts() {
    m_reason->setText(m_settings.drafts().text(reason_topic));
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
        tell(withProblemMark(
            tr("\"%1\" is no count: give a whole number, 0 or more.").arg(m_counted->text())));
        return;
    }
    const QString aside_text = m_aside->text().trimmed();
    const qlonglong aside = aside_text.isEmpty() ? 0 : aside_text.toLongLong(&good);
    if (!good || aside < 0) {
        tell(withProblemMark(
            tr("\"%1\" is no number of pieces in a tray: give a whole number, or nothing.").arg(aside_text)));
        return;
    }
    services::CountLine line;
    line.bin = m_line->lot.bin;
    line.part = m_line->lot.part;
    line.what = m_line->size.toStdString();
    line.condition = m_line->lot.condition;
    line.books = m_line->lot.on_hand;
    line.counted = number;
    line.laid_aside = aside;
    const QString reason = m_reason->text().trimmed();
    line.reason = (reason.isEmpty() ? tr("counted, no reason given") : reason).toStdString();
    try {
        const services::CountReview review = services::postCount(m_session.shop(), {line});
        QStringList sentences;
        for (const std::string& left_short : review.shortSentences()) {
            sentences << withProblemMark(textOf(left_short));
        }
        sentences.push_front(review.differences.empty() ? tr("%1 agrees.").arg(textOf(line.bin))
                                                        : textOf(review.differences.front().sentence));
        tell(sentences.join(QLatin1Char('\n')));
        m_counted->clear();
        m_aside->clear();
        keepDraft();
        m_found = false;
        if (!review.differences.empty()) {
            m_session.announceChange();
        }
        emit next();
    } catch (const InputError& problem) {
        tell(withProblemMark(QString::fromUtf8(problem.what())));
    } catch (const inventory::ShopFileFault& fault) {
        tell(QString::fromUtf8(fault.what()));
    }
}

} // namespace shimledger::desk
