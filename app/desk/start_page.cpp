// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/start_page.h"

#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/scaled_label.h"
#include "app/desk/sentence_label.h"

#include <QApplication>
#include <QEvent>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

StartPage::StartPage(const DeskActions& actions, QWidget* parent)
    : QWidget(parent), m_recent(new QListWidget), m_recent_box(new QWidget) {
    auto* title = new ScaledLabel(2.2);
    title->setText(tr("Shimledger"));
    auto* what = new SentenceLabel;
    what->setText(
        tr("Keeps the drawers of a suspension shop true, and finds stacks that open like the one you "
           "want from the discs that you have: for the tuner, the tech at the bench, and who buys."));

    auto* choices = new QGridLayout;
    choices->setHorizontalSpacing(16);
    choices->setVerticalSpacing(14);
    choices->setColumnStretch(1, 1);
    int row = 0;
    const auto offer = [&](ActionId id, const QString& why) {
        QPushButton* button = actions.button(id);
        button->setMinimumSize(220, 40);
        button->setAutoDefault(true); // Return presses it
        auto* words = new SentenceLabel;
        words->setText(why);
        choices->addWidget(button, row, 0, Qt::AlignTop);
        choices->addWidget(words, row++, 1); // not aligned: then the grid asks how high it is at its width
        if (row == 1) {
            setFocusProxy(button);
        }
    };
    // Return at a real shop's first start must not begin with an invented one.
    offer(ActionId::new_shop,
          tr("An empty shop file. What lies in the drawers is then typed into a grid of sizes (Ctrl+G) or "
             "comes in from any sheet that you have (Ctrl+I). F1 says how a shop begins."));
    offer(ActionId::open_shop,
          tr("The file of a shop that exists. Several windows may have it open at once."));
    offer(
        ActionId::open_server,
        tr("A shop that several benches share: a PostgreSQL database, by the address that you were given."));
    offer(ActionId::make_demo, tr("An invented shop with drawers, jobs and a year of history, to try out."));

    auto* recent_title = new QLabel(tr("Last &used"));
    recent_title->setBuddy(m_recent);
    m_recent->setAccessibleName(tr("Shops used last"));
    m_recent->setMaximumHeight(160);
    auto* recent_layout = new QVBoxLayout(m_recent_box);
    recent_layout->setContentsMargins(0, 12, 0, 0);
    recent_layout->addWidget(recent_title);
    recent_layout->addWidget(m_recent);
    m_recent_box->hide();

    auto* middle = new QWidget;
    m_middle = middle;
    setWidth();
    auto* column = new QVBoxLayout(middle);
    column->setSpacing(12);
    column->addWidget(title);
    column->addWidget(what);
    column->addSpacing(12);
    column->addLayout(choices);
    column->addWidget(m_recent_box);
    auto* layout = new QVBoxLayout(this);
    layout->addStretch(2);
    auto* centred = new QHBoxLayout; // for the same reason
    centred->addStretch();
    centred->addWidget(middle);
    centred->addStretch();
    layout->addLayout(centred);
    layout->addStretch(3);

    guarded(m_recent, &QListWidget::itemActivated, this,
            [this](const QListWidgetItem* item) { emit recentShopPicked(item->text()); });
}

/// A line of words that is read at ease, however large the text is.
void StartPage::setWidth() {
    constexpr int characters = 110; // the button beside the words has its share
    m_middle->setFixedWidth(
        std::max(720, characters * QFontMetrics(QApplication::font()).averageCharWidth()));
}

void StartPage::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) {
        setWidth();
    }
    QWidget::changeEvent(event);
}

void StartPage::setRecentShops(const QStringList& paths) {
    m_recent->clear();
    m_recent->addItems(paths);
    if (!paths.isEmpty()) {
        m_recent->setCurrentRow(0);
    }
    m_recent_box->setVisible(!paths.isEmpty());
}

} // namespace shimledger::desk
