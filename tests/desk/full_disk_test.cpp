// SPDX-License-Identifier: GPL-3.0-or-later
// What the window writes beside the shop file: a disk that takes no more is told in a sentence.
#include "bench_fixture.h"
#include "watched_application.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/print/print_flow.h"
#include "app/services/file_fault.h"
#include "planner/units/input_error.h"

#include <sys/resource.h>

#include <QListWidget>

#include <csignal>
#include <cstdint>
#include <filesystem>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// While it lives no file of this process grows beyond so many bytes: what is written over that fails, as on
/// a full disk (there "no space left", here "file too large").
class FullDisk {
public:
    explicit FullDisk(rlim_t bytes) : m_handler(std::signal(SIGXFSZ, SIG_IGN)) {
        ::getrlimit(RLIMIT_FSIZE, &m_before);
        rlimit tight = m_before;
        tight.rlim_cur = bytes;
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &tight) == 0);
    }
    ~FullDisk() {
        ::setrlimit(RLIMIT_FSIZE, &m_before);
        std::signal(SIGXFSZ, m_handler);
    }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;

private:
    void (*m_handler)(int);
    rlimit m_before{};
};

} // namespace

TEST_CASE("Every sheet that the window writes says when the disk takes no more, and says nothing is done") {
    JobAtBench desk;
    desk.reserve();
    struct Export {
        ActionId action;
        const char* name;
    };
    for (const Export& sheet :
         {Export{ActionId::save_pdf, "pick.pdf"}, Export{ActionId::print_sheet, "printed.pdf"},
          Export{ActionId::labels_pdf, "labels.pdf"}, Export{ActionId::print_labels, "printed-labels.pdf"},
          Export{ActionId::export_pick_list, "pick.xlsx"}, Export{ActionId::export_reorder, "reorder.xlsx"},
          Export{ActionId::count_write, "count.csv"}}) {
        INFO(sheet.name);
        const QString path = desk.shop.file(QString::fromLatin1(sheet.name));
        desk.test.prompts.next_path = path;
        const auto told = [&] {
            QStringList sentences;
            for (const MessageStrip* strip : desk.test.window.findChildren<MessageStrip*>()) {
                if (!strip->sentence().isEmpty()) {
                    CHECK(strip->kind() != MessageStrip::Kind::done);
                    sentences << strip->sentence();
                }
            }
            const auto* list = desk.test.window.drawers().countSheet().findChild<QListWidget*>();
            for (int row = 0; row < list->count(); ++row) sentences << list->item(row)->text();
            return sentences.join(QLatin1Char('\n'));
        };
        const auto write = [&] {
            for (MessageStrip* strip : desk.test.window.findChildren<MessageStrip*>()) strip->clear();
            desk.test.window.drawers().countSheet().forget();
            desk.test.window.actions()[sheet.action]->trigger();
            REQUIRE(settle([&] { return !desk.test.window.busy(); }));
        };
        {
            const FullDisk full(4096);
            write();
        }
        INFO(told().toStdString());
        CHECK(told().contains(QString::fromLatin1(sheet.name)));
        CHECK_FALSE(told().contains(QStringLiteral("Unknown error")));
        CHECK(WatchedApplication::escapedSoFar() == 0);
        write(); // and with room it is there
        CHECK(std::filesystem::file_size(path.toStdString()) > 4096);
    }
}

TEST_CASE("A file is written as a whole, or it is a fault that names it") {
    const QTemporaryDir folder;
    const QString path = folder.filePath(QStringLiteral("sheet.pdf"));
    writeWhole(path, QByteArray(10000, 'x'));
    CHECK(std::filesystem::file_size(path.toStdString()) == 10000);
    CHECK_THROWS_AS(writeWhole(QStringLiteral("/dev/full"), QByteArray(10, 'x')), InputError);
    CHECK_THROWS_AS(writeWhole(folder.filePath(QStringLiteral("no/such/folder.pdf")), "x"), InputError);
}
