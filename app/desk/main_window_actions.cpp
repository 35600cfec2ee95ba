// SPDX-License-Identifier: GPL-3.0-or-later
// What the window's actions do; where they stand in the menus is in main_window_menus.cpp, how the window
// opens and shows shops in main_window.cpp.

#include "app/desk/app_settings.h"
#include "app/desk/books/stock_value_dialog.h"
#include "app/desk/desk_actions.h"
#include "app/desk/desk_theme.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/drawers/shim_grid_dialog.h"
#include "app/desk/guard.h"
#include "app/desk/help/help_dialog.h"
#include "app/desk/import/import_flow.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/kit/kit_page.h"
#include "app/desk/main_window.h"
#include "app/desk/message_strip.h"
#include "app/desk/own_data/new_part_dialog.h"
#include "app/desk/own_data/own_data_dialog.h"
#include "app/desk/own_data/part_seeker.h"
#include "app/desk/path_text.h"
#include "app/desk/print/print_flow.h"
#include "app/desk/readings/readings_dialog.h"
#include "app/desk/reorder/reorder_page.h"
#include "app/desk/search_everywhere.h"
#include "app/desk/shop_session.h"
#include "app/desk/stack_view/bench_panel.h"
#include "app/desk/user_prompts.h"
#include "app/desk/workshop/build_panel.h"
#include "app/desk/workshop/inspect_panel.h"
#include "app/desk/workshop/pull_panel.h"
#include "app/desk/workshop/strip_panel.h"
#include "app/desk/workshop/workshop_page.h"
#include "app/services/force_csv.h"
#include "app/services/sheets/stock_template_sheet.h"
#include "inventory/calendar.h"
#include "inventory/input_file.h"
#include "planner/units/input_error.h"

#include <QApplication>
#include <QClipboard>
#include <QFileInfo>
#include <QGuiApplication>
#include <QLineEdit>
#include <QListView>
#include <QMimeData>
#include <QSlider>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTabWidget>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

namespace {

/// Everything that means nothing before a shop is open.
constexpr ActionId needs_shop[] = {
    ActionId::own_data,          ActionId::new_part,      ActionId::shim_grid,    ActionId::import_csv,
    ActionId::import_folder,     ActionId::print_sheet,   ActionId::save_pdf,     ActionId::go_jobs,
    ActionId::go_target,         ActionId::go_proposals,  ActionId::go_lift,      ActionId::go_strip,
    ActionId::go_inspect,        ActionId::go_pull,       ActionId::go_build,     ActionId::go_drawers,
    ActionId::go_find_stock,     ActionId::go_reorder,    ActionId::go_measure,   ActionId::go_pieces,
    ActionId::print_labels,      ActionId::labels_pdf,    ActionId::go_count,     ActionId::count_write,
    ActionId::count_read,        ActionId::go_history,    ActionId::copy_picture, ActionId::refresh,
    ActionId::search_everywhere, ActionId::show_forces,   ActionId::lay_readings, ActionId::find_job,
    ActionId::stock_value,       ActionId::take_readings, ActionId::go_kit};

/// What a page enables by itself once it is built; until then it means nothing.
constexpr ActionId of_pages[] = {ActionId::insert_row,       ActionId::delete_row,
                                 ActionId::row_up,           ActionId::row_down,
                                 ActionId::undo_edit,        ActionId::redo_edit,
                                 ActionId::discard_target,   ActionId::save_target,
                                 ActionId::target_as_found,  ActionId::new_job,
                                 ActionId::change_job,       ActionId::give_up_job,
                                 ActionId::reopen_job,       ActionId::export_record,
                                 ActionId::export_costs,     ActionId::find_substitutes,
                                 ActionId::stop_search,      ActionId::edit_rules,
                                 ActionId::reserve_proposal, ActionId::release_reservation,
                                 ActionId::plan_all_jobs,    ActionId::reserve_all_jobs,
                                 ActionId::export_pick_list, ActionId::export_reorder,
                                 ActionId::plan_reorder,     ActionId::read_reorder,
                                 ActionId::mark_ordered,     ActionId::all_came,
                                 ActionId::receive_delivery, ActionId::strip_next_leg,
                                 ActionId::strip_write,      ActionId::strip_put_away,
                                 ActionId::inspect_write,    ActionId::inspect_kit,
                                 ActionId::pull_short,       ActionId::pull_wrong,
                                 ActionId::pull_undo,        ActionId::build_record,
                                 ActionId::count_post,       ActionId::wish_curve,
                                 ActionId::show_steps,       ActionId::show_tries,
                                 ActionId::show_valves,      ActionId::keep_try,
                                 ActionId::take_target,      ActionId::drop_try,
                                 ActionId::plan_kit,         ActionId::export_kit};

} // namespace

void MainWindow::connectFileActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        guarded((*m_actions)[id], &QAction::triggered, this, slot);
    };
    on(ActionId::open_shop, [this] {
        const QString path = m_prompts.openShopPath(this, m_settings.lastFolder());
        if (!path.isEmpty()) {
            openShop(path);
        }
    });
    on(ActionId::open_server, [this] {
        const QString address = m_prompts.serverAddress(this, m_settings.recentServers());
        if (!address.isEmpty()) {
            openShop(address);
        }
    });
    on(ActionId::new_shop, [this] {
        const QString path = m_prompts.newShopPath(this, m_settings.lastFolder());
        if (!path.isEmpty()) {
            makeNewShop(path);
        }
    });
    on(ActionId::make_demo, [this] {
        const QString folder = m_prompts.demoFolder(this, m_settings.lastFolder());
        if (!folder.isEmpty()) {
            makeDemo(folder);
        }
    });
    on(ActionId::quit, [this] { close(); });
    on(ActionId::show_help, [this] {
        const QWidget* shown = m_stack->currentWidget() == m_pages ? m_pages->currentWidget() : nullptr;
        help()->open(shown == m_jobs.holder()       ? QStringLiteral("tuner")
                     : shown == m_workshop.holder() ? QStringLiteral("tech")
                     : shown == m_reorder.holder()  ? QStringLiteral("manager")
                     : shown == m_kit.holder()      ? QStringLiteral("kit")
                     : shown == m_drawers.holder()  ? QStringLiteral("sheets")
                                                    : QStringLiteral("start"));
    });
    on(ActionId::show_keys,
       [this] { m_prompts.tell(this, tr("Keys and what they do"), m_actions->keyTable()); });
    on(ActionId::export_pick_list, [this] {
        if (const auto job = jobs().pickedJob()) {
            jobs().flow().exportPickList(*job, m_settings.lastFolder(), this);
        }
    });
    on(ActionId::export_record, [this] {
        if (const auto job = jobs().pickedJob()) {
            jobs().flow().exportRecord(*job, m_settings.lastFolder(), this);
        }
    });
    on(ActionId::export_costs, [this] {
        if (const auto job = jobs().pickedJob()) {
            jobs().flow().exportCosts(*job, m_settings.lastFolder(), this);
        }
    });
    on(ActionId::export_reorder, [this] {
        const ReorderPage* page = m_reorder.built();
        jobs().flow().exportReorderSheet(page != nullptr ? page->planToWrite() : std::nullopt,
                                         m_settings.choices(), m_settings.lastFolder(), this);
    });
}

void MainWindow::connectGoActions() {
    const auto on = [&](ActionId id, auto&& slot) {
        guarded((*m_actions)[id], &QAction::triggered, this, slot);
    };
    on(ActionId::go_jobs, [this] { goTo(m_jobs.holder(), jobs().jobList()); });
    on(ActionId::find_job, [this] { goTo(m_jobs.holder(), jobs().findField()); });
    on(ActionId::go_target, [this] { goTo(m_jobs.holder(), jobs().stackTable()); });
    on(ActionId::go_proposals, [this] { goTo(m_jobs.holder(), jobs().showAnswers()); });
    on(ActionId::go_lift, [this] { goTo(m_jobs.holder(), jobs().bench().slider()); });
    // What is asked of jobs and of the planner is looked at where its answer comes.
    for (const ActionId id : {ActionId::new_job, ActionId::change_job, ActionId::give_up_job,
                              ActionId::reopen_job, ActionId::find_substitutes, ActionId::wish_curve,
                              ActionId::show_steps, ActionId::edit_rules, ActionId::plan_all_jobs}) {
        on(id, [this] { goTo(m_jobs.holder(), nullptr); });
    }
    on(ActionId::go_strip, [this] { goToBench(&workshop().strip()); });
    on(ActionId::go_inspect, [this] { goToBench(&workshop().inspect()); });
    on(ActionId::go_pull, [this] { goToBench(&workshop().pull()); });
    on(ActionId::go_build, [this] { goToBench(&workshop().build()); });
    on(ActionId::go_drawers, [this] { goTo(m_drawers.holder(), drawers().table()); });
    on(ActionId::go_reorder, [this] { goTo(m_reorder.holder(), reorder().planTable()); });
    on(ActionId::go_kit, [this] { goTo(m_kit.holder(), kit().budgetEdit()); });
    on(ActionId::plan_kit, [this] { goTo(m_kit.holder(), nullptr); });
    const auto beside = [this](QWidget& side) {
        m_pages->setCurrentWidget(m_drawers.holder());
        drawers().goTo(&side);
    };
    on(ActionId::go_measure, [this, beside] { beside(drawers().measure()); });
    on(ActionId::go_pieces, [this, beside] { beside(drawers().pieces()); });
    on(ActionId::go_count, [this, beside] { beside(drawers().count()); });
    on(ActionId::count_write, [this, beside] {
        beside(drawers().count());
        drawers().strip()->clear();
        drawers().countSheet().write();
    });
    on(ActionId::count_read, [this, beside] {
        beside(drawers().count());
        drawers().strip()->clear(); // what was done before is not about this sheet
        drawers().countSheet().read();
    });
    on(ActionId::go_history, [this, beside] { beside(drawers().history()); });
    on(ActionId::go_find_stock, [this] {
        goTo(m_drawers.holder(), nullptr);
        drawers().focusFind();
    });
    on(ActionId::refresh, [this] { reloadPages(); });
    enableShopActions(false);
    disablePageActions();
}

void MainWindow::disablePageActions() {
    for (const ActionId id : of_pages) {
        (*m_actions)[id]->setEnabled(false);
    }
}

void MainWindow::enableShopActions(bool open) {
    for (const ActionId id : needs_shop) {
        (*m_actions)[id]->setEnabled(open);
    }
}

void MainWindow::connectToolActions() {
    guarded(m_actions, &DeskActions::begun, this, [this] { MessageStrip::endSeen(*this); });
    const auto on = [&](ActionId id, auto&& slot) {
        guarded((*m_actions)[id], &QAction::triggered, this, slot);
    };
    on(ActionId::import_csv, [this] { importSheet(m_prompts.importPath(this, m_settings.lastFolder())); });
    on(ActionId::import_folder,
       [this] { importSheet(m_prompts.importFolder(this, m_settings.lastFolder())); });
    on(ActionId::shim_grid, [this] {
        m_pages->setCurrentWidget(m_drawers.holder());
        if (m_shim_grid) m_shim_grid->close();
        m_shim_grid = new ShimGridDialog(*m_session, m_settings, this);
        m_shim_grid->setAttribute(Qt::WA_DeleteOnClose);
        m_shim_grid->open();
        m_shim_grid->activateWindow(); // keys go to it at once
    });
    on(ActionId::own_data, [this] {
        if (!m_own_data) {
            m_own_data = new OwnDataDialog(*m_session, m_settings, this);
            m_own_data->setAttribute(Qt::WA_DeleteOnClose);
        }
        m_own_data->show();
        m_own_data->raise();
        m_own_data->activateWindow();
    });
    on(ActionId::new_part, [this] { makePart(); });
    on(ActionId::stock_value, [this] {
        if (m_stock_value) m_stock_value->close();
        m_stock_value = new StockValueDialog(*m_session, m_prompts, m_settings, this);
        m_stock_value->setAttribute(Qt::WA_DeleteOnClose);
        m_stock_value->open();
        m_stock_value->activateWindow(); // keys go to it at once
    });
    on(ActionId::take_readings, [this] {
        if (!m_readings) {
            m_readings = new ReadingsDialog(*m_session, m_settings, this);
            m_readings->setAttribute(Qt::WA_DeleteOnClose);
        }
        if (m_drawers.built() != nullptr && m_pages->currentWidget() == m_drawers.holder()) {
            if (const auto lot = drawers().pickedLot())
                m_readings->pickLot(lot->part, lot->bin, lot->condition);
        }
        m_readings->show();
        m_readings->raise();
        m_readings->activateWindow(); // keys go to it at once
        m_readings->field()->setFocus();
    });
    on(ActionId::write_template, [this] {
        const QString path =
            m_prompts.sheetPath(this, tr("Where to write the sheet to fill in"),
                                m_settings.lastFolder() + QStringLiteral("/my-drawers.xlsx"));
        if (path.isEmpty()) return;
        m_settings.setLastFolder(QFileInfo(path).absolutePath());
        // The dialog has asked already whether a file of that name may go.
        services::writeStockTemplate(inventory::systemClock()(), {pathOf(path), true},
                                     m_settings.choices().paper);
        m_strip->showDone(tr("%1 is written: fill it in and import it (Ctrl+I).").arg(path));
    });
    on(ActionId::print_sheet, [this] { m_print->print(sheetOfPage(), this); });
    on(ActionId::save_pdf, [this] { m_print->savePdf(sheetOfPage(), this); });
    const auto labels = [this](auto&& put_out) { put_out(drawers().labelJob(m_settings.choices().paper)); };
    on(ActionId::print_labels,
       [this, labels] { labels([this](const PrintJob& job) { m_print->print(job, this); }); });
    on(ActionId::labels_pdf,
       [this, labels] { labels([this](const PrintJob& job) { m_print->savePdf(job, this); }); });
    on(ActionId::edit_settings, [this] {
        const DeskChoices before = m_settings.choices();
        if (const auto choices = m_prompts.editChoices(this, before)) {
            m_settings.setChoices(*choices);
            m_theme.apply(*choices);
            if (m_jobs.built() != nullptr) {
                m_jobs.built()->applyChoices();
            }
            if (m_reorder.built() != nullptr && choices->waiting_day != before.waiting_day)
                m_reorder.built()->reload();
        }
    });
    on(ActionId::search_everywhere, [this] { search()->ask(everything(), m_settings.choices().size_unit); });
    on(ActionId::show_forces, [this] {
        BenchPanel& bench = jobs().bench();
        const bool here = jobs().isVisible();
        if (!here) goTo(m_jobs.holder(), bench.slider());
        bench.setForcesShown(!here || !bench.forcesShown());
    });
    on(ActionId::lay_readings, [this] {
        const QString path = m_prompts.importPath(this, m_settings.lastFolder());
        if (path.isEmpty()) return;
        if (!jobs().isVisible()) goTo(m_jobs.holder(), jobs().bench().slider());
        try {
            inventory::InputFile file(path.toStdString());
            jobs().bench().setReadings({QFileInfo(path).fileName(), services::readForceCsv(file.stream())});
            jobs().bench().setForcesShown(true);
        } catch (const InputError& problem) {
            m_strip->showProblem(
                tr("%1: %2").arg(QFileInfo(path).fileName(), QString::fromUtf8(problem.what())));
        }
    });
    on(ActionId::copy_picture, [this] {
        auto* copied = new QMimeData; // the clipboard's
        copied->setImageData(jobs().bench().picture());
        const QString table = jobs().bench().table();
        if (!table.isEmpty()) copied->setText(table);
        QGuiApplication::clipboard()->setMimeData(copied);
        statusBar()->showMessage(
            table.isEmpty() ? tr("Stacks and curves are on the clipboard as a picture.")
                            : tr("Stacks and forces are on the clipboard as a picture, and as a table."),
            5000);
    });
    guarded(m_print, &PrintFlow::done, m_strip, &MessageStrip::showDone);
    guarded(m_print, &PrintFlow::failed, m_strip, &MessageStrip::showProblem);
    guarded(m_import, &ImportFlow::done, m_strip, &MessageStrip::showDone);
}

/// Where the focus is, else where a part could be wanted on the page that is shown.
QWidget* MainWindow::seekerOfPart() const {
    for (QWidget* widget = QApplication::focusWidget(); widget != nullptr; widget = widget->parentWidget()) {
        if (dynamic_cast<PartSeeker*>(widget) != nullptr) return widget;
    }
    for (QWidget* widget : m_pages->currentWidget()->findChildren<QWidget*>()) {
        if (widget->isVisible() && dynamic_cast<PartSeeker*>(widget) != nullptr) return widget;
    }
    return nullptr;
}

void MainWindow::makePart() {
    const QPointer<QWidget> seeker(seekerOfPart());
    inventory::Part wanted;
    if (seeker) wanted = dynamic_cast<PartSeeker&>(*seeker).partWanted().value_or(wanted);
    delete m_new_part.data();
    m_new_part = new NewPartDialog(*m_session, m_settings.choices().size_unit, wanted, this);
    m_new_part->setAttribute(Qt::WA_DeleteOnClose);
    guarded(m_new_part.data(), &NewPartDialog::made, this, [this, seeker](const QString& code) {
        m_session->announceChange();
        m_strip->showDone(tr("Part %1 is there.").arg(code));
        if (seeker) dynamic_cast<PartSeeker&>(*seeker).takePart(code);
    });
    m_new_part->open();
    m_new_part->activateWindow(); // keys go to it at once
}

NewPartDialog* MainWindow::newPart() const {
    return m_new_part;
}

ReadingsDialog* MainWindow::readings() const {
    return m_readings;
}

StockValueDialog* MainWindow::stockValue() const {
    return m_stock_value;
}

OwnDataDialog* MainWindow::ownData() const {
    return m_own_data;
}

ShimGridDialog* MainWindow::shimGrid() const {
    return m_shim_grid;
}

HelpDialog* MainWindow::help() {
    if (m_help == nullptr) m_help = new HelpDialog(this);
    return m_help;
}

void MainWindow::importSheet(const QString& path) {
    if (path.isEmpty()) return;
    m_strip->clear();
    m_import->import(path, this);
}

PrintJob MainWindow::sheetOfPage() {
    const QWidget* shown = m_pages->currentWidget();
    return shown == m_reorder.holder()    ? reorder().printJob()
           : shown == m_kit.holder()      ? kit().printJob()
           : shown == m_workshop.holder() ? workshop().printJob()
           : shown == m_drawers.holder()  ? drawers().printJob()
                                          : jobs().printJob();
}

/// What the search finds: jobs and their pages, every line of the drawers, and what can be done now.
std::vector<SearchHit> MainWindow::everything() {
    std::vector<SearchHit> hits = jobs().searchHits();
    for (SearchHit& hit : hits) {
        hit.go = [this, go = std::move(hit.go)] {
            goTo(m_jobs.holder(), jobs().jobList());
            go();
        };
    }
    for (SearchHit& hit : drawers().searchHits()) {
        hit.go = [this, go = std::move(hit.go)] {
            goTo(m_drawers.holder(), drawers().table());
            go();
        };
        hits.push_back(std::move(hit));
    }
    for (const ActionEntry& entry : allActions()) {
        QAction* action = (*m_actions)[entry.id];
        if (action->isEnabled() && entry.id != ActionId::search_everywhere) {
            hits.push_back({action->text().remove(QLatin1Char('&')),
                            tr("do, %1").arg(action->shortcut().toString(QKeySequence::NativeText)),
                            [action] { action->trigger(); }});
        }
    }
    return hits;
}

/// The job that is looked at on the jobs page is the one that is worked on.
void MainWindow::goToBench(QWidget* step) {
    if (m_pages->currentWidget() == m_jobs.holder()) {
        if (const auto job = jobs().pickedJob()) {
            workshop().pickJob(*job);
        }
    }
    m_pages->setCurrentWidget(m_workshop.holder());
    workshop().goTo(step);
}

void MainWindow::goTo(QWidget* page, QWidget* focus) {
    m_pages->setCurrentWidget(page);
    if (focus == nullptr) {
        return;
    }
    focus->setFocus(Qt::ShortcutFocusReason);
    auto* table = qobject_cast<QTableView*>(focus);
    const bool rows = table != nullptr && table->selectionBehavior() == QAbstractItemView::SelectRows;
    // The focus alone makes a row the current one without picking it.
    if (rows && !table->selectionModel()->hasSelection() && table->model()->rowCount() > 0) {
        table->selectRow(std::max(0, table->currentIndex().row()));
    }
}

} // namespace shimledger::desk
