// SPDX-License-Identifier: GPL-3.0-or-later
// desk_screenshots OUTDIR: pictures of every screen, empty and full, at two window sizes, light and dark.

#include "desk_fixture.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/length_edit.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/settings_dialog.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/stack_checklist.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"

#include <QApplication>
#include <QDir>
#include <QFile>
#include <QLineEdit>
#include <QLocale>
#include <QTableView>
#include <QTableWidget>
#include <QTest>

#include <algorithm>
#include <clocale>
#include <cstdio>

namespace {

using namespace shimledger::desk;
using namespace shimledger::desk::testing;

class Album {
public:
    Album(QString folder, QString suffix, QSize size)
        : m_folder(std::move(folder)), m_suffix(std::move(suffix)), m_size(size) {}

    void take(TestWindow& test, const QString& name) const {
        test.window.resize(m_size);
        (void)settle([&] { return !test.window.busy() && !test.window.jobs().bench().warping(); });
        for (int i = 0; i < 20; ++i) {
            QCoreApplication::processEvents();
        }
        test.window.grab().save(QStringLiteral("%1/%2-%3.png").arg(m_folder, name, m_suffix));
    }

    void takeWidget(QWidget& widget, const QString& name) const {
        QCoreApplication::processEvents();
        widget.grab().save(QStringLiteral("%1/%2-%3.png").arg(m_folder, name, m_suffix));
    }

private:
    QString m_folder;
    QString m_suffix;
    QSize m_size;
};

void trigger(TestWindow& test, ActionId id) {
    test.window.actions()[id]->trigger();
    (void)settle([&] { return !test.window.busy(); });
}

void typeRow(StripPanel& strip, const char* row) {
    strip.entry()->setText(QString::fromLatin1(row));
    QTest::keyClick(strip.entry(), Qt::Key_Return);
}

/// A count sheet filled in by hand: some lots differ, and, where wanted, some lines make no sense.
void fillIn(const QString& path, bool with_mistakes, int from) {
    QFile file(path);
    if (!file.open(QIODevice::ReadWrite)) {
        return;
    }
    QStringList lines = QString::fromUtf8(file.readAll()).split(QStringLiteral("\r\n"));
    constexpr int books = 5;
    constexpr int counted = 6;
    constexpr int reason = 7;
    for (int row = from; row < std::min<int>(from + 8, static_cast<int>(lines.size())); ++row) {
        QStringList cells = lines[row].split(QLatin1Char(','));
        if (cells.size() <= reason) {
            continue;
        }
        cells[counted] = QString::number(std::max(0, cells[books].toInt() - row % 3));
        cells[reason] = row % 3 == 0   ? QString()
                        : row % 3 == 1 ? QStringLiteral("lost")
                                       : QStringLiteral("bent");
        if (with_mistakes && row % 2 == 0) {
            cells[counted] = QStringLiteral("some");
        }
        lines[row] = cells.join(QLatin1Char(','));
    }
    file.resize(0);
    file.write(lines.join(QStringLiteral("\r\n")).toUtf8());
}

void takeCountSheets(const Album& album, TestWindow& test) {
    test.prompts.next_path = test.folder.filePath(QStringLiteral("count-sheet.csv"));
    // Lines 30 to 37 hold a bin that is reserved from, 50 to 57 none.
    for (const auto& [name, with_mistakes, from] : {std::tuple("11-count-sheet-read", false, 50),
                                                    {"11-count-sheet-reserved", false, 30},
                                                    {"11-count-sheet-refused", true, 30}}) {
        trigger(test, ActionId::count_write);
        fillIn(test.prompts.next_path, with_mistakes, from);
        trigger(test, ActionId::count_read);
        album.take(test, QString::fromLatin1(name));
    }
}

void takeBench(const Album& album, TestWindow& test) {
    trigger(test, ActionId::go_jobs);
    test.window.jobs().pickJob("JOB-1002");
    trigger(test, ActionId::go_strip);
    StripPanel& strip = test.window.workshop().strip();
    for (const char* row : {"5 24 0.099 0.101", "1 22 0.1", "1 20 0.149", "2 18 0.15 !1 bent"}) {
        typeRow(strip, row);
    }
    trigger(test, ActionId::strip_write);
    trigger(test, ActionId::strip_next_leg);
    typeRow(strip, "4 24 0.099 0.101");
    typeRow(strip, "1 22 0.1");
    trigger(test, ActionId::strip_write);
    typeRow(strip, "two of those");
    album.take(test, QStringLiteral("13-strip"));
    trigger(test, ActionId::go_inspect);
    QTest::keyClick(test.window.workshop().inspect().table(), Qt::Key_R);
    album.take(test, QStringLiteral("13-inspect"));
    trigger(test, ActionId::go_pull);
    for (int i = 0; i < 3; ++i) {
        QTest::keyClick(test.window.workshop().pull().scan(), Qt::Key_Return);
    }
    trigger(test, ActionId::pull_short);
    album.take(test, QStringLiteral("14-pull"));
    trigger(test, ActionId::go_build);
    for (int i = 0; i < 2; ++i) {
        test.window.workshop().build().checklist()->lay();
    }
    album.take(test, QStringLiteral("15-build"));
}

void takeDialogs(const Album& album, TestWindow& test) {
    trigger(test, ActionId::search_everywhere);
    test.window.search()->field()->setText(QStringLiteral("24 0.1"));
    album.takeWidget(*test.window.search(), QStringLiteral("17-search"));
    test.window.search()->close();
    SettingsDialog settings(test.settings.choices(), &test.window);
    settings.workingLift()->setText(QStringLiteral("0.012 in"));
    settings.show();
    album.takeWidget(settings, QStringLiteral("18-settings"));
    test.prompts.at_job = [&album](JobDialog& dialog) {
        setValues(dialog.fields(), {{QStringLiteral("model"), QStringLiteral("FK-CEDAR-41")},
                                    {QStringLiteral("valve"), QStringLiteral("base")},
                                    {QStringLiteral("customer"), QStringLiteral("N. Body (invented)")}});
        album.takeWidget(dialog, QStringLiteral("19-new-job"));
        setValues(dialog.fields(), {{QStringLiteral("model"), QStringLiteral("FK-NEW-44")},
                                    {QStringLiteral("due"), QStringLiteral("in a week")},
                                    {QStringLiteral("clamp_od_mm"), QStringLiteral("0.5 in")}});
        dialog.book();
        album.takeWidget(dialog, QStringLiteral("19-new-job-refused"));
    };
    trigger(test, ActionId::new_job);
}

void takeAll(const Album& album, const DeskChoices& choices = {}) {
    TestWindow test;
    test.prompts.chosen = choices;
    trigger(test, ActionId::edit_settings); // as a person sets it
    album.take(test, QStringLiteral("1-start"));
    test.prompts.next_path = test.folder.filePath(QStringLiteral("empty.db"));
    trigger(test, ActionId::new_shop);
    album.take(test, QStringLiteral("2-jobs-empty"));
    for (const auto& [action, name] : {std::pair(ActionId::go_strip, "2-strip-empty"),
                                       {ActionId::go_inspect, "2-inspect-empty"},
                                       {ActionId::go_pull, "2-pull-empty"},
                                       {ActionId::go_build, "2-build-empty"},
                                       {ActionId::go_drawers, "2-drawers-empty"},
                                       {ActionId::go_reorder, "2-reorder-empty"}}) {
        trigger(test, action);
        album.take(test, QString::fromLatin1(name));
    }
    trigger(test, ActionId::go_jobs);
    const DemoShopCopy shop;
    test.window.openShop(shop.path());
    test.window.jobs().pickJob("JOB-1002");
    album.take(test, QStringLiteral("3-job-short"));
    trigger(test, ActionId::find_substitutes);
    test.window.jobs().bench().setLift(0.20);
    test.window.jobs().stackTable()->setCurrentIndex(test.window.jobs().stackTable()->model()->index(0, 1));
    album.take(test, QStringLiteral("4-proposals"));
    test.window.jobs().pickJob("JOB-1004");
    trigger(test, ActionId::find_substitutes);
    test.window.jobs().bench().setLift(0.30);
    album.take(test, QStringLiteral("5-crossover"));
    test.window.jobs().pickJob("JOB-1002");
    trigger(test, ActionId::find_substitutes);
    trigger(test, ActionId::reserve_proposal);
    album.take(test, QStringLiteral("6-reserved"));
    test.window.jobs().pickJob("JOB-1005");
    trigger(test, ActionId::find_substitutes);
    album.take(test, QStringLiteral("7-impossible"));
    trigger(test, ActionId::plan_all_jobs);
    test.window.jobs().allJobs().table()->selectRow(3);
    album.take(test, QStringLiteral("7-all-jobs"));
    trigger(test, ActionId::go_find_stock);
    album.take(test, QStringLiteral("8-drawers"));
    test.window.drawers().find()->setText(QStringLiteral("24 0.1"));
    album.take(test, QStringLiteral("9-drawers-found"));
    trigger(test, ActionId::go_reorder);
    album.take(test, QStringLiteral("reorder"));
    trigger(test, ActionId::go_drawers);
    test.window.drawers().find()->clear();
    trigger(test, ActionId::go_measure);
    test.window.drawers().measure().field()->setText(QStringLiteral("23.9 x 6 x 0.148"));
    QTest::keyClick(test.window.drawers().measure().field(), Qt::Key_Return);
    album.take(test, QStringLiteral("10-measured"));
    test.window.drawers().table()->selectRow(0);
    trigger(test, ActionId::go_count);
    album.take(test, QStringLiteral("11-count"));
    takeCountSheets(album, test);
    trigger(test, ActionId::go_pieces);
    album.take(test, QStringLiteral("11-pieces"));
    trigger(test, ActionId::go_history);
    album.take(test, QStringLiteral("12-history"));
    takeBench(album, test);
    trigger(test, ActionId::go_jobs);
    test.window.jobs().pickJob("JOB-1004");
    trigger(test, ActionId::edit_rules);
    test.window.jobs().target().draft().removeRow(1);
    album.take(test, QStringLiteral("16-edited-and-rules"));
    test.window.jobs().target().draft().history().undo();
    takeDialogs(album, test);
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fputs("Usage: desk_screenshots OUTDIR\n", stderr);
        return 2;
    }
    qputenv("QT_QPA_PLATFORM", "offscreen");
    QLocale::setDefault(QLocale::c());
    QApplication application(argc, argv);
    std::setlocale(LC_ALL, "C");
    const QString folder = QString::fromLocal8Bit(argv[1]);
    if (!QDir().mkpath(folder)) {
        std::fprintf(stderr, "%s cannot be made\n", argv[1]);
        return 1;
    }
    DeskChoices dark;
    dark.theme = Theme::dark;
    DeskChoices large;
    large.text_size_percent = 150;
    takeAll({folder, QStringLiteral("1280"), {1280, 800}});
    takeAll({folder, QStringLiteral("1920"), {1920, 1080}});
    // A window remembers the palette and font that it found, so those of the one before must be gone.
    const QPalette light = QApplication::palette();
    takeAll({folder, QStringLiteral("dark"), {1280, 800}}, dark);
    QApplication::setPalette(light);
    takeAll({folder, QStringLiteral("dark-1920"), {1920, 1080}}, dark);
    QApplication::setPalette(light);
    takeAll({folder, QStringLiteral("large-text"), {1280, 800}}, large);
    return 0;
}
