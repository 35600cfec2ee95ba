// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/help/help_dialog.h"

#include "app/desk/guard.h"

#include <QDialogButtonBox>
#include <QFile>
#include <QHBoxLayout>
#include <QListWidget>
#include <QTextBrowser>
#include <QUrl>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

namespace {

/// In the order of the list; each is a file of app/help.
constexpr const char* pages[] = {"start",  "tech",   "tuner", "manager", "kit",
                                 "sheets", "server", "words", "limits"};

QString markdownOf(const QString& page) {
    QFile file(QStringLiteral(":/help/%1.md").arg(page));
    return file.open(QIODevice::ReadOnly) ? QString::fromUtf8(file.readAll()) : QString();
}

} // namespace

HelpDialog::HelpDialog(QWidget* parent) : QDialog(parent), m_list(new QListWidget), m_text(new QTextBrowser) {
    setWindowTitle(tr("Help"));
    m_list->setAccessibleName(tr("Pages of the help"));
    m_text->setAccessibleName(tr("The page"));
    m_text->setOpenLinks(false); // between pages alone, see below
    for (const char* page : pages) {
        const QString name = QString::fromLatin1(page);
        QString title = markdownOf(name).section(QLatin1Char('\n'), 0, 0); // "# How a shop begins"
        auto* item = new QListWidgetItem(title.remove(QLatin1String("# ")), m_list);
        item->setData(Qt::UserRole, name);
    }
    m_list->setFixedWidth(m_list->sizeHintForColumn(0) + 32);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close);
    guarded(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    guarded(m_list, &QListWidget::currentRowChanged, this, &HelpDialog::showPicked);
    guarded(m_text, &QTextBrowser::anchorClicked, this, [this](const QUrl& link) {
        QString page = link.fileName();
        if (page.endsWith(QLatin1String(".md"))) open(page.chopped(3));
    });
    auto* columns = new QHBoxLayout;
    columns->addWidget(m_list);
    columns->addWidget(m_text, 1);
    auto* layout = new QVBoxLayout(this);
    layout->addLayout(columns, 1);
    layout->addWidget(buttons);
    resize(980, 640);
}

void HelpDialog::open(const QString& page) {
    int row = 0;
    for (int i = 0; i < m_list->count(); ++i) {
        if (m_list->item(i)->data(Qt::UserRole) == page) row = i;
    }
    m_list->setCurrentRow(row);
    m_text->setFocus();
    show();
    raise();
    activateWindow();
}

QString HelpDialog::page() const {
    const QListWidgetItem* item = m_list->currentItem();
    return item == nullptr ? QString() : item->data(Qt::UserRole).toString();
}

void HelpDialog::showPicked() {
    m_text->setMarkdown(markdownOf(page()));
}

} // namespace shimledger::desk
