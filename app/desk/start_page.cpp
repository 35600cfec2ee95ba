#include "app/desk/start_page.h"

#include "app/desk/desk_actions.h"
#include "app/desk/desk_colours.h"
#include "app/desk/scaled_label.h"

#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QVBoxLayout>

namespace shimledger::desk {

StartPage::StartPage(const DeskActions& actions, QWidget* parent)
    : QWidget(parent), m_recent(new QListWidget), m_recent_box(new QWidget) {
    auto* title = new ScaledLabel(2.2);
    title->setText(tr("Shimledger"));
    auto* what =
        new QLabel(tr("Keeps the drawers of a suspension shop true, and finds stacks that open like the one "
                      "you want from the discs that you have."));
    what->setWordWrap(true);

    auto* choices = new QGridLayout;
    choices->setHorizontalSpacing(16);
    choices->setVerticalSpacing(10);
    choices->setColumnStretch(1, 1);
    int row = 0;
    const auto offer = [&](ActionId id, const QString& why) {
        QPushButton* button = actions.button(id);
        button->setMinimumSize(220, 40);
        button->setAutoDefault(true); // Return presses it
        auto* words = new QLabel(why);
        words->setWordWrap(true);
        choices->addWidget(button, row, 0);
        choices->addWidget(words, row++, 1);
        if (row == 1) {
            setFocusProxy(button);
        }
    };
    offer(ActionId::make_demo,
          tr("An invented shop with drawers, jobs and a year of history, to try everything on."));
    offer(ActionId::new_shop, tr("An empty shop file. Opening stock is then brought in from a CSV file "
                                 "(Ctrl+I) or a folder of them (Ctrl+Shift+I), with every problem listed."));
    offer(ActionId::open_shop,
          tr("The file of a shop that exists. Several windows may have it open at once."));

    auto* recent_title = new QLabel(tr("Last &used"));
    recent_title->setBuddy(m_recent);
    m_recent->setAccessibleName(tr("Shop files used last"));
    m_recent->setMaximumHeight(160);
    auto* recent_layout = new QVBoxLayout(m_recent_box);
    recent_layout->setContentsMargins(0, 12, 0, 0);
    recent_layout->addWidget(recent_title);
    recent_layout->addWidget(m_recent);
    m_recent_box->hide();

    auto* middle = new QWidget;
    middle->setFixedWidth(720);
    auto* column = new QVBoxLayout(middle);
    column->setSpacing(12);
    column->addWidget(title);
    column->addWidget(what);
    column->addSpacing(12);
    column->addLayout(choices);
    column->addWidget(m_recent_box);
    auto* layout = new QVBoxLayout(this);
    layout->addStretch(2);
    layout->addWidget(middle, 0, Qt::AlignHCenter);
    layout->addStretch(3);

    connect(m_recent, &QListWidget::itemActivated, this,
            [this](const QListWidgetItem* item) { emit recentShopPicked(item->text()); });
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
