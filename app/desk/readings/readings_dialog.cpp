// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/readings/readings_dialog.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/length_text.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/scaled_label.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "planner/units/input_error.h"

#include <QComboBox>
#include <QFormLayout>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QLocale>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

enum FarColumn { far_bin, far_part, far_condition, far_on_hand, far_off, far_says, far_columns };

QString conditionText(inventory::Condition condition) {
    return condition == inventory::Condition::used ? ReadingsDialog::tr("used") : ReadingsDialog::tr("new");
}

} // namespace

ReadingsDialog::ReadingsDialog(ShopSession& session, AppSettings& settings, QWidget* parent)
    : QDialog(parent), m_session(session), m_settings(settings), m_lot(new QComboBox), m_field(new QLineEdit),
      m_remark(new SentenceLabel), m_verdict(new ScaledLabel(1.2)), m_readings(new QListWidget),
      m_back(new QPushButton(tr("Take &back"))), m_book(new QPushButton(tr("&Write down (Ctrl+Return)"))),
      m_far_title(new QLabel), m_far(new QTableWidget(0, far_columns)), m_strip(new MessageStrip) {
    setWindowTitle(tr("Micrometer readings"));
    m_lot->setAccessibleName(tr("Lot"));
    m_lot->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon); // not by all its lines
    m_lot->setPlaceholderText(tr("nothing that has a thickness is in the drawers"));
    m_field->setAccessibleName(tr("Reading, %1").arg(typingHelp(sizeUnit())));
    m_field->setPlaceholderText(
        sizeUnit() == SizeUnit::inches
            ? tr("0.0046, Return, 0.0048, Return ..., in %1").arg(typingHelp(sizeUnit()))
            : tr("0.118, Return, 0.121, Return ..., in %1").arg(typingHelp(sizeUnit())));
    m_readings->setAccessibleName(tr("Readings, not written down yet"));
    m_readings->setFlow(QListView::LeftToRight);
    m_readings->setWrapping(true);
    m_readings->setMaximumHeight(4 * fontMetrics().lineSpacing());
    m_verdict->setTextFormat(Qt::PlainText);
    m_verdict->setWordWrap(true);
    m_verdict->setAccessibleName(tr("What the readings say"));
    m_far->setHorizontalHeaderLabels(
        {tr("Bin"), tr("Part"), tr("Condition"), tr("On hand"), tr("Off, mm"), tr("What it says")});
    m_far->setAccessibleName(tr("Lots that are too far from what their drawer says"));
    m_far->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_far->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_far->setSelectionMode(QAbstractItemView::SingleSelection);
    m_far->setAlternatingRowColors(true);
    m_far->setTabKeyNavigation(false);
    m_far->verticalHeader()->hide();
    m_far->horizontalHeader()->setSectionResizeMode(far_says, QHeaderView::Stretch);
    m_far_title->setBuddy(m_far);
    auto* form = new QFormLayout;
    form->addRow(tr("&Lot"), m_lot);
    form->addRow(tr("&Reading"), m_field);
    form->addRow(QString(), m_remark);
    auto* buttons = new QHBoxLayout;
    auto* close = new QPushButton(tr("Close"));
    buttons->addWidget(m_back);
    buttons->addWidget(m_book);
    buttons->addStretch(1);
    buttons->addWidget(close);
    for (QPushButton* button : {m_back, m_book, close}) button->setAutoDefault(false);
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(m_strip);
    layout->addLayout(form);
    layout->addWidget(m_readings);
    layout->addWidget(m_verdict);
    layout->addLayout(buttons);
    layout->addWidget(m_far_title);
    layout->addWidget(m_far, 1);
    resize(900, 640);
    guarded(m_lot, &QComboBox::currentIndexChanged, this, &ReadingsDialog::lotPicked);
    guarded(m_back, &QPushButton::clicked, this, &ReadingsDialog::takeBack);
    guarded(m_book, &QPushButton::clicked, this, &ReadingsDialog::book);
    guarded(close, &QPushButton::clicked, this, &ReadingsDialog::reject);
    guarded(m_far, &QTableWidget::itemActivated, this, [this](const QTableWidgetItem* item) {
        const Lot& lot = m_far_lots.at(static_cast<std::size_t>(item->row()));
        pickLot(lot.part, lot.bin, lot.condition);
        m_field->setFocus(Qt::OtherFocusReason);
    });
    guarded(&session, &ShopSession::changed, this, &ReadingsDialog::readShop);
    readShop();
    m_field->setFocus();
}

SizeUnit ReadingsDialog::sizeUnit() const {
    return m_settings.choices().size_unit;
}

services::AllowedOff ReadingsDialog::allowed() const {
    return {m_settings.choices().tolerance, {}};
}

const ReadingsDialog::Lot* ReadingsDialog::picked() const {
    const int row = m_lot->currentIndex();
    return row < 0 ? nullptr : &m_lots.at(static_cast<std::size_t>(row));
}

QString ReadingsDialog::verdict() const {
    return m_verdict->text();
}

QString ReadingsDialog::remark() const {
    return m_remark->text();
}

void ReadingsDialog::readShop() {
    if (const auto problem = problemOf([this] {
            readLots();
            showFar();
        })) {
        m_strip->showMessage(MessageStrip::Kind::problem, *problem);
    }
}

/// What somebody else books keeps the picked lot and what was typed for it.
void ReadingsDialog::readLots() {
    const auto before = m_lot_of_readings;
    {
        const QSignalBlocker quiet(m_lot);
        m_lot->clear();
        m_lots.clear();
        QStringList lines;
        for (const inventory::StockLot& lot : inventory::stockSnapshot(m_session.shop()).lots) {
            if (!lot.thickness) continue;
            m_lots.push_back({lot.part, lot.bin, lot.condition});
            lines << tr("%1: %2, %3, %4 there")
                         .arg(textOf(lot.bin), textOf(lot.part), conditionText(lot.condition))
                         .arg(lot.on_hand);
        }
        m_lot->addItems(lines); // at once, since each takes the whole list to be measured again
        m_lot->setCurrentIndex(m_lots.empty() ? -1 : 0);
    }
    if (before) {
        const auto same = std::ranges::find(m_lots, *before);
        if (same == m_lots.end() && !m_values.empty()) { // emptied meanwhile: what was typed stays
            m_lots.push_back(*before);
            m_lot->addItem(
                tr("%1: %2, %3, nothing there any more")
                    .arg(textOf(before->bin), textOf(before->part), conditionText(before->condition)));
        }
        pickLot(before->part, before->bin, before->condition);
    }
    lotPicked();
}

void ReadingsDialog::pickLot(const std::string& part, const std::string& bin,
                             inventory::Condition condition) {
    const auto found = std::ranges::find(m_lots, Lot{part, bin, condition});
    if (found != m_lots.end()) m_lot->setCurrentIndex(static_cast<int>(found - m_lots.begin()));
}

/// Readings are of the lot that they were typed for.
void ReadingsDialog::lotPicked() {
    const Lot* lot = picked();
    const auto now = lot == nullptr ? std::nullopt : std::optional(*lot);
    if (now != m_lot_of_readings && !m_values.empty()) {
        m_remark->setText(tr("The readings of the lot before were not written down, and are dropped."));
        m_values.clear();
        m_readings->clear();
    }
    m_lot_of_readings = now;
    showVerdict();
}

void ReadingsDialog::take() {
    const QString typed = m_field->text().trimmed();
    const Lot* lot = picked();
    if (typed.isEmpty() || lot == nullptr) return;
    Length length;
    bool as_typed = true;
    if (const auto problem = problemOf([&] {
            const services::TypedLength read = readTyped(typed, sizeUnit());
            length = read.length;
            as_typed = read.in_millimetres;
            if (length <= Length()) throw InputError("a reading must be above 0");
            services::mustBePlausible(m_session.shop(), lot->part, length);
        })) {
        m_remark->setText(withProblemMark(*problem));
        m_field->selectAll();
        return;
    }
    m_values.push_back(length);
    m_told_of_loss = false;
    m_readings->addItem(textOf(length.text(3)));
    m_readings->scrollToBottom();
    m_remark->setText(as_typed ? QString() : tr("%1 is %2").arg(typed, millimetreText(length, 3)));
    m_field->clear();
    showVerdict();
}

void ReadingsDialog::takeBack() {
    if (m_values.empty()) return;
    const int row = m_readings->currentRow() >= 0 ? m_readings->currentRow() : m_readings->count() - 1;
    m_values.erase(m_values.begin() + row);
    delete m_readings->takeItem(row);
    m_readings->setCurrentRow(-1);
    m_remark->clear();
    showVerdict();
    m_field->setFocus(Qt::OtherFocusReason);
}

void ReadingsDialog::showVerdict() {
    const Lot* lot = picked();
    m_back->setEnabled(!m_values.empty());
    m_book->setEnabled(!m_values.empty() && lot != nullptr);
    if (m_values.empty() || lot == nullptr) {
        m_verdict->setText(tr("No reading yet."));
        return;
    }
    services::LotCheck check;
    if (const auto problem = problemOf(
            [&] { check = services::checkReadings(m_session.shop(), lot->part, m_values, allowed()); })) {
        m_verdict->setText(*problem);
        return;
    }
    QString text = textOf(check.sentence);
    text[0] = text[0].toUpper();
    if (check.measured.readings > 1) {
        text += tr("; standard deviation %1").arg(QLocale::c().toString(check.measured.deviation_mm, 'f', 4));
    }
    m_verdict->setText(check.tooFar() ? withProblemMark(text) : text);
}

void ReadingsDialog::book() {
    const Lot* lot = picked();
    if (lot == nullptr || m_values.empty()) return;
    if (!m_field->text().trimmed().isEmpty()) {
        m_remark->setText(
            withProblemMark(tr("One reading is still being typed: Return takes it, or clear it.")));
        m_field->setFocus(Qt::OtherFocusReason);
        return;
    }
    services::LotCheck check;
    const Lot booked = *lot;
    if (const auto problem = problemOf([&] {
            check = services::writeReadings(m_session.shop(), booked.part, booked.bin, booked.condition,
                                            m_values, allowed());
        })) {
        m_strip->showMessage(MessageStrip::Kind::problem, *problem);
        return;
    }
    const QString count = counted(static_cast<qint64>(m_values.size()), tr("1 reading"), tr("%1 readings"));
    m_values.clear();
    m_readings->clear();
    m_remark->clear();
    m_session.announceChange();
    m_strip->showDone(tr("%1 of %2 in %3 written down; in all it %4.")
                          .arg(count, textOf(booked.part), textOf(booked.bin), textOf(check.sentence)));
    m_field->setFocus(Qt::OtherFocusReason);
}

void ReadingsDialog::showFar() {
    const auto checks = services::checkedLots(m_session.shop(), allowed(), true);
    m_far_lots.clear();
    m_far->setRowCount(static_cast<int>(checks.size()));
    for (int row = 0; row < m_far->rowCount(); ++row) {
        const services::LotCheck& check = checks[static_cast<std::size_t>(row)];
        m_far_lots.push_back({check.part, check.bin, check.condition});
        const QStringList cells{textOf(check.bin),
                                textOf(check.part),
                                conditionText(check.condition),
                                QString::number(check.on_hand),
                                textOf(check.off().text(3)),
                                textOf(check.sentence)};
        for (int column = 0; column < cells.size(); ++column) {
            auto* item = new QTableWidgetItem(cells[column]);
            item->setToolTip(cells[column]);
            m_far->setItem(row, column, item);
        }
    }
    for (int column = 0; column < far_says; ++column) m_far->resizeColumnToContents(column);
    m_far_title->setText(
        checks.empty() ? tr("No lot that was read is too far from what its drawer says.")
                       : tr("&Too far from what the drawer says (Return takes one up to read it again)"));
}

void ReadingsDialog::keyPressEvent(QKeyEvent* event) {
    const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    if (enter && event->modifiers().testFlag(Qt::ControlModifier)) {
        guard(this, [this] { book(); });
    } else if (enter && focusWidget() == m_field) {
        guard(this, [this] { take(); });
    } else if (enter && qobject_cast<QPushButton*>(focusWidget()) != nullptr) {
        qobject_cast<QPushButton*>(focusWidget())->click();
    } else if (!enter) {
        QDialog::keyPressEvent(event);
    }
}

/// What was typed is not lost by a slip of Esc.
void ReadingsDialog::reject() {
    if (!m_values.empty() && !m_told_of_loss) {
        m_told_of_loss = true;
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("The readings are not written down: Ctrl+Return does that, closing once more "
                                "drops them."));
        return;
    }
    QDialog::reject();
}

} // namespace shimledger::desk
