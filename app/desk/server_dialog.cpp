// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/server_dialog.h"

#include "app/desk/attempt.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/desk/sentence_label.h"
#include "inventory/shop_address.h"
#include "inventory/shop_file.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

const QString begin = QStringLiteral("postgresql://");

} // namespace

ServerDialog::ServerDialog(const QStringList& recent, QWidget* parent)
    : QDialog(parent), m_field(new QComboBox), m_sentence(new SentenceLabel) {
    setWindowTitle(tr("Open a shop on a server"));
    auto* what = new SentenceLabel;
    what->setText(
        tr("Several benches share one shop in a PostgreSQL database. Whoever looks after the server "
           "gives you its address, such as postgresql://host/shop or postgresql://you@host/shop. "
           "A password does not belong in it: it stands in your file ~/.pgpass."));
    auto* name = new QLabel(tr("&Address"));
    name->setBuddy(m_field);
    m_field->setEditable(true);
    m_field->setInsertPolicy(QComboBox::NoInsert);
    m_field->setCompleter(nullptr); // what is completed unasked might be another shop
    m_field->addItems(recent);
    m_field->setCurrentIndex(recent.isEmpty() ? -1 : 0);
    if (recent.isEmpty()) m_field->setEditText(begin);
    m_field->setAccessibleName(tr("Address of the shop"));
    m_field->setMinimumHeight(m_field->fontMetrics().height() + 12);
    m_sentence->setMinimumHeight(3 * m_sentence->fontMetrics().height()); // nothing moves when it is said
    m_sentence->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel);
    m_open = buttons->addButton(tr("&Open"), QDialogButtonBox::AcceptRole);
    m_open->setDefault(true);
    buttons->button(QDialogButtonBox::Cancel)->setAutoDefault(false); // Return never gives up what was typed
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(what);
    layout->addWidget(name);
    layout->addWidget(m_field);
    layout->addWidget(m_sentence);
    layout->addStretch();
    layout->addWidget(buttons);
    constexpr int characters = 90;
    setMinimumWidth(characters * fontMetrics().averageCharWidth());
    guarded(buttons, &QDialogButtonBox::accepted, this, &ServerDialog::accept);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    guarded(m_field, &QComboBox::editTextChanged, this, &ServerDialog::typed);
    guarded(m_field->lineEdit(), &QLineEdit::returnPressed, this, &ServerDialog::accept);
    guarded(&m_try, &BackgroundRun::failed, this, [this](const QString& problem) {
        tell(problem, true);
        m_open->setEnabled(true); // the server may be back in a moment
    });
    typed();
    if (recent.isEmpty()) {
        m_field->lineEdit()->end(false);
    } else {
        m_field->lineEdit()->selectAll();
    }
    m_field->setFocus();
}

QString ServerDialog::address() const {
    return m_field->currentText().trimmed();
}

QString ServerDialog::sentence() const {
    return m_sentence->text();
}

void ServerDialog::tell(const QString& sentence, bool problem) {
    m_sentence->setText(problem ? withProblemMark(sentence) : sentence);
}

void ServerDialog::typed() {
    if (m_try.running()) m_try.cancel();
    const QString text = address();
    const bool only_begun = begin.startsWith(text);
    const auto problem = problemOf([&] { inventory::checkServer(pathOf(text)); });
    m_open->setEnabled(!problem);
    if (only_begun) {
        tell(tr("Type where the shop is: %1, then the server's name, a slash, and the name of the database.")
                 .arg(begin),
             false);
    } else {
        tell(problem.value_or(QString()), problem.has_value());
    }
}

void ServerDialog::accept() {
    if (m_try.running() || !m_open->isEnabled()) return;
    m_open->setEnabled(false);
    tell(tr("Asking the server..."), false);
    m_try.start([this, shop = pathOf(address())](const RunControl& /*control*/) -> RunDelivery {
        static_cast<void>(inventory::ShopFile::openAsAllowed(shop));
        return [this] { QDialog::accept(); };
    });
}

} // namespace shimledger::desk
