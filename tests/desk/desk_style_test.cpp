// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_colours.h"
#include "app/desk/desk_style.h"
#include "app/desk/desk_theme.h"
#include "app/desk/table_manners.h"

#include <QApplication>
#include <QComboBox>
#include <QHeaderView>
#include <QImage>
#include <QLineEdit>
#include <QMainWindow>
#include <QMenuBar>
#include <QPushButton>
#include <QSpinBox>
#include <QTableWidget>
#include <QTest>
#include <QToolButton>
#include <QVBoxLayout>

#include <catch2/catch.hpp>

using namespace shimledger::desk;

namespace {

/// Our style and one of our palettes, until the end of the test.
class Dressed {
public:
    explicit Dressed(const QPalette& palette) : m_before(QApplication::palette()) {
        DeskStyle::install();
        QApplication::setPalette(palette);
    }
    ~Dressed() { QApplication::setPalette(m_before); }
    Dressed(const Dressed&) = delete;
    Dressed& operator=(const Dressed&) = delete;

private:
    QPalette m_before;
};

int pixelsOf(const QImage& picture, const QColor& colour) {
    int count = 0;
    for (int y = 0; y < picture.height(); ++y) {
        for (int x = 0; x < picture.width(); ++x) {
            count += picture.pixelColor(x, y).rgb() == colour.rgb() ? 1 : 0;
        }
    }
    return count;
}

} // namespace

TEST_CASE("The ring of the focus stands out from every ground it is drawn on by 3 : 1") {
    constexpr double wcag_non_text = 3.0;
    for (const QPalette& palette : {lightPalette(), darkPalette()}) {
        for (const QPalette::ColorRole ground :
             {QPalette::Window, QPalette::Base, QPalette::AlternateBase, QPalette::Button}) {
            INFO(static_cast<int>(ground));
            CHECK(contrastRatio(focusColour(palette), palette.color(ground)) >= wcag_non_text);
        }
        // A picked row is framed in the colour of its words.
        CHECK(contrastRatio(palette.color(QPalette::HighlightedText), palette.color(QPalette::Highlight)) >=
              wcag_non_text);
    }
}

TEST_CASE("A field, a box and a button that take the keys have a ring, and lose it with them") {
    for (const QPalette& palette : {lightPalette(), darkPalette()}) {
        const Dressed dressed(palette);
        QWidget window;
        auto* layout = new QVBoxLayout(&window);
        const std::vector<QWidget*> takers{new QLineEdit, new QComboBox, new QSpinBox,
                                           new QPushButton(QStringLiteral("Button"))};
        for (QWidget* taker : takers) layout->addWidget(taker);
        window.resize(300, 240);
        window.show();
        REQUIRE(QTest::qWaitForWindowActive(&window));
        for (QWidget* taker : takers) {
            INFO(taker->metaObject()->className());
            taker->setFocus(Qt::TabFocusReason);
            QCoreApplication::processEvents();
            const int ringed = pixelsOf(taker->grab().toImage(), focusColour(palette));
            CHECK(ringed > taker->width()); // a line above and one below, at the least half of them plain
            taker->clearFocus();
            QCoreApplication::processEvents();
            CHECK(pixelsOf(taker->grab().toImage(), focusColour(palette)) < ringed / 4);
        }
    }
}

TEST_CASE("The current row of a table is framed as a whole where it is not picked") {
    const Dressed dressed(darkPalette());
    QTableWidget table(3, 3);
    dressTable(table);
    table.setSelectionMode(QAbstractItemView::NoSelection);
    table.resize(400, 200);
    table.show();
    REQUIRE(QTest::qWaitForWindowActive(&table));
    table.setFocus(Qt::TabFocusReason);
    table.setCurrentCell(1, 0);
    QCoreApplication::processEvents();
    const QColor ring = focusColour(QApplication::palette());
    const QImage picture = table.viewport()->grab().toImage();
    for (int column = 0; column < 3; ++column) {
        const int x = table.columnViewportPosition(column) + table.columnWidth(column) / 2;
        CHECK(picture.pixelColor(x, table.rowViewportPosition(1)).rgb() == ring.rgb());
        CHECK(picture.pixelColor(x, table.rowViewportPosition(1) + table.rowHeight(1) - 1).rgb() ==
              ring.rgb());
        CHECK(picture.pixelColor(x, table.rowViewportPosition(2) + table.rowHeight(2) - 1).rgb() !=
              ring.rgb());
    }
    table.setCurrentCell(2, 0);
    QCoreApplication::processEvents();
    CHECK(pixelsOf(table.viewport()->grab().toImage(), ring) > 2 * table.columnWidth(0));
}

TEST_CASE("Columns of a table keep their words apart") {
    const Dressed dressed(lightPalette());
    QTableWidget table(1, 2);
    dressTable(table);
    table.setHorizontalHeaderLabels({QStringLiteral("Available"), QStringLiteral("State")});
    table.setItem(0, 0, new QTableWidgetItem(QStringLiteral("Available pieces")));
    table.resizeColumnsToContents();
    const int words = table.fontMetrics().horizontalAdvance(QStringLiteral("Available pieces"));
    CHECK(table.columnWidth(0) >= words + 12); // six pixels on either side
    const int head = table.horizontalHeader()->fontMetrics().horizontalAdvance(QStringLiteral("State"));
    CHECK(table.horizontalHeader()->sectionSizeHint(1) >= head + 12);
}

TEST_CASE(
    "A menu bar too narrow for its menus says so in the colour of words, also after the theme is changed") {
    const Dressed dressed(lightPalette());
    QMainWindow window;
    for (int i = 0; i < 8; ++i) window.menuBar()->addMenu(QStringLiteral("Menu %1").arg(i));
    window.resize(120, 100);
    window.show();
    REQUIRE(QTest::qWaitForWindowExposed(&window));
    const auto* more = window.menuBar()->findChild<QToolButton*>(QStringLiteral("qt_menubar_ext_button"));
    REQUIRE(more != nullptr);
    REQUIRE(more->isVisible());
    for (const QPalette& palette : {lightPalette(), darkPalette()}) {
        QApplication::setPalette(palette);
        QCoreApplication::processEvents();
        const QImage picture = window.menuBar()->grab().toImage().copy(more->geometry());
        constexpr int of_two_arrows = 8;
        CHECK(pixelsOf(picture, palette.color(QPalette::ButtonText)) >= of_two_arrows);
    }
}
