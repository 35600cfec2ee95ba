// SPDX-License-Identifier: GPL-3.0-or-later
// desk_speed [SHOP.db]: times the window in one run, without a display. Times are measured here and asserted
// nowhere: machines differ.
#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/stack_view/bench_panel.h"

#include <QApplication>
#include <QElapsedTimer>
#include <QHeaderView>
#include <QLocale>
#include <QMainWindow>
#include <QScrollBar>
#include <QTableView>

#include <algorithm>
#include <clocale>
#include <cstdio>
#include <utility>
#include <vector>

namespace {

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

void settleEvents() {
    for (int i = 0; i < 10; ++i) {
        QCoreApplication::processEvents();
    }
}

template <typename Work>
double milliseconds(Work&& work) {
    QElapsedTimer timer;
    timer.start();
    work();
    return static_cast<double>(timer.nsecsElapsed()) / 1e6;
}

void tell(const char* what, std::vector<double> times) {
    std::sort(times.begin(), times.end());
    std::printf("%-58s median %8.2f ms, worst %8.2f ms, of %zu\n", what, times[times.size() / 2],
                times.back(), times.size());
}

void timeStart(const QString& shop) {
    std::vector<double> empty;
    std::vector<double> full;
    for (int i = 0; i < 5; ++i) {
        empty.push_back(milliseconds([] {
            QMainWindow window;
            window.resize(1280, 800);
            window.show();
            settleEvents();
            (void)window.grab();
        }));
        full.push_back(milliseconds([&] {
            TestWindow test;
            test.window.resize(1280, 800);
            test.window.openShop(shop);
            settleEvents();
            (void)test.window.grab();
        }));
    }
    tell("An empty Qt window, shown and painted", empty);
    tell("The window with the shop open, shown and painted", full);
}

/// Each page of a window that was just opened on the shop: until it is painted and takes keys, and until all
/// that was read and reckoned in the background is there as well.
void timePages(const QString& shop) {
    const std::vector<std::pair<const char*, ActionId>> pages{{"Strip", ActionId::go_strip},
                                                              {"Inspect", ActionId::go_inspect},
                                                              {"Pull", ActionId::go_pull},
                                                              {"Build", ActionId::go_build},
                                                              {"Drawers", ActionId::go_drawers},
                                                              {"Find by measuring", ActionId::go_measure},
                                                              {"Loose pieces", ActionId::go_pieces},
                                                              {"Count", ActionId::go_count},
                                                              {"History", ActionId::go_history},
                                                              {"Reorder", ActionId::go_reorder},
                                                              {"Jobs again", ActionId::go_jobs},
                                                              {"Shims by size", ActionId::shim_grid},
                                                              {"The shop's own data", ActionId::own_data},
                                                              {"Readings", ActionId::take_readings},
                                                              {"Value of the stock", ActionId::stock_value}};
    TestWindow test;
    test.window.resize(1280, 800);
    test.window.openShop(shop);
    (void)settle([&] { return !test.window.busy(); });
    for (const auto& [name, action] : pages) {
        QElapsedTimer timer;
        timer.start();
        test.window.actions()[action]->trigger();
        (void)test.window.grab();
        settleEvents();
        const double shown = static_cast<double>(timer.nsecsElapsed()) / 1e6;
        (void)settle([&] { return !test.window.busy(); });
        std::printf("%-24s shown in %8.1f ms, all of it there in %8.1f ms\n", name, shown,
                    static_cast<double>(timer.nsecsElapsed()) / 1e6);
    }
}

void timeEdits(const QString& shop) {
    TestWindow test;
    test.window.resize(1280, 800);
    test.window.openShop(shop);
    (void)settle([&] { return !test.window.busy(); });
    TargetDraft& draft = test.window.jobs().target().draft();
    if (draft.rows().empty()) {
        return;
    }
    std::vector<double> times;
    for (int i = 0; i < 30; ++i) {
        times.push_back(milliseconds([&] {
            planner::DiscRow row = draft.rows().front();
            row.count = 3 + i % 4;
            draft.setRow(0, row);
            while (test.window.jobs().bench().busy()) {
                QCoreApplication::processEvents();
            }
            (void)test.window.jobs().bench().grab(); // section and curves as they are now
        }));
    }
    tell("An edit of the target until section and curves are painted", times);
}

void timeTable() {
    std::vector<StockLine> lines;
    for (int i = 0; i < 20000; ++i) {
        inventory::StockLot lot;
        lot.part = "SH-" + std::to_string(i);
        lot.kind = inventory::PartKind::shim;
        lot.od = Length::fromMicrometres(10000 + i % 300 * 100);
        lot.id = Length::fromMicrometres(6000);
        lot.thickness = Length::fromMicrometres(50 + i % 30 * 10);
        lot.bin = "B" + std::to_string(i / 4);
        lot.walking_order = i;
        lot.on_hand = i % 50;
        lines.push_back({lot,
                         QString::fromStdString(lot.od->text(1) + " x 6.0 x " + lot.thickness->text(2)),
                         lot.on_hand,
                         {}});
    }
    StockTableModel model;
    StockFilterModel filter;
    filter.setSourceModel(&model);
    QTableView table;
    table.setModel(&filter);
    table.resize(1200, 700);
    table.show();
    std::vector<double> fill{milliseconds([&] {
        model.setLines(lines);
        settleEvents();
    })};
    tell("20 000 lines set and shown", fill);
    StockLevels levels;
    for (const StockLine& line : lines) {
        levels[line.lot.part] = std::make_shared<const services::StockLevel>(
            services::StockLevel{line.part_available, 0, 0, {}, 4, line.part_available <= 4, {}});
    }
    std::vector<double> stand{milliseconds([&] {
        model.setLevels(levels);
        settleEvents();
    })};
    tell("How 20 000 parts stand, told and shown", stand);
    std::vector<double> pages;
    for (int i = 0; i < 200; ++i) {
        pages.push_back(milliseconds([&] {
            table.verticalScrollBar()->setValue(i * 97);
            (void)table.viewport()->grab();
        }));
    }
    tell("A step of scrolling through 20 000 lines, painted", pages);
    std::vector<double> keys;
    for (const char* words : {"1", "12", "12.", "12.4", "12.4 0", "12.4 0.1", "12.4 0.10", ""}) {
        keys.push_back(milliseconds([&] { filter.setWords(QString::fromLatin1(words)); }));
    }
    tell("A key typed into the find field, 20 000 lines", keys);
    std::vector<double> sorts{milliseconds([&] { filter.sort(StockTableModel::size); }),
                              milliseconds([&] { filter.sort(StockTableModel::on_hand); })};
    tell("Sorting 20 000 lines", sorts);
}

} // namespace

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    QLocale::setDefault(QLocale::c());
    QApplication application(argc, argv);
    std::setlocale(LC_ALL, "C");
    const DemoShopCopy demo;
    const QString shop = argc > 1 ? QString::fromLocal8Bit(argv[1]) : demo.path();
    timeStart(shop);
    timePages(shop);
    timeEdits(demo.path());
    timeTable();
    return 0;
}
