// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/desk_theme.h"
#include "app/desk/sentence_label.h"
#include "app/desk/start_page.h"

#include <QApplication>
#include <QPushButton>
#include <QTest>

#include <catch2/catch.hpp>

using namespace shimledger::desk;
using namespace shimledger::desk::testing;

TEST_CASE("Return at a first start makes the shop's own file, not an invented one") {
    TestWindow test;
    REQUIRE(QTest::qWaitForWindowActive(&test.window));
    const auto* page = test.window.findChild<StartPage*>();
    REQUIRE(page != nullptr);
    const auto* button = qobject_cast<const QPushButton*>(page->focusProxy());
    REQUIRE(button != nullptr);
    CHECK(button->text() == test.window.actions()[ActionId::new_shop]->text());
}

TEST_CASE("The words of the start page are whole at every text size") {
    const QFont before = QApplication::font();
    for (const int percent : {100, 150, 200}) {
        QFont font = before;
        font.setPointSizeF(before.pointSizeF() * percent / 100);
        QApplication::setFont(font);
        const DeskActions actions;
        StartPage page(actions);
        page.resize(1920, 1080);
        page.show();
        QCoreApplication::processEvents();
        const auto sentences = page.findChildren<SentenceLabel*>();
        REQUIRE(sentences.size() == 5);
        for (const SentenceLabel* words : sentences) {
            INFO(percent << " %: " << words->text().toStdString());
            CHECK(words->height() >= words->heightForWidth(words->width()));
        }
    }
    QApplication::setFont(before);
}
