// SPDX-License-Identifier: GPL-3.0-or-later
// Where every action stands in the menus.
#include "app/desk/desk_actions.h"
#include "app/desk/main_window.h"

#include <QMenu>
#include <QMenuBar>

namespace shimledger::desk {

void MainWindow::makeMenus() {
    const DeskActions& actions = *m_actions;
    QMenu* file = menuBar()->addMenu(tr("&File"));
    file->addAction(actions[ActionId::open_shop]);
    file->addAction(actions[ActionId::open_server]);
    m_recent = file->addMenu(tr("&Last used"));
    file->addAction(actions[ActionId::new_shop]);
    file->addAction(actions[ActionId::make_demo]);
    file->addAction(actions[ActionId::import_csv]);
    file->addAction(actions[ActionId::import_folder]);
    file->addAction(actions[ActionId::write_template]);
    file->addSeparator();
    file->addAction(actions[ActionId::print_sheet]);
    file->addAction(actions[ActionId::save_pdf]);
    file->addSeparator();
    file->addAction(actions[ActionId::edit_settings]);
    file->addSeparator();
    file->addAction(actions[ActionId::quit]);
    QMenu* edit = menuBar()->addMenu(tr("&Edit"));
    for (const ActionId id : {ActionId::undo_edit, ActionId::redo_edit, ActionId::insert_row,
                              ActionId::delete_row, ActionId::row_up, ActionId::row_down,
                              ActionId::discard_target, ActionId::save_target, ActionId::target_as_found}) {
        edit->addAction(actions[id]);
    }
    edit->addSeparator();
    edit->addAction(actions[ActionId::copy_picture]);
    QMenu* job = menuBar()->addMenu(tr("Jo&b"));
    for (const ActionId id : {ActionId::new_job, ActionId::change_job, ActionId::give_up_job,
                              ActionId::reopen_job, ActionId::find_job}) {
        job->addAction(actions[id]);
    }
    job->addSeparator();
    for (const ActionId id :
         {ActionId::find_substitutes, ActionId::wish_curve,       ActionId::show_steps,
          ActionId::show_tries,       ActionId::show_valves,      ActionId::keep_try,
          ActionId::take_target,      ActionId::drop_try,         ActionId::stop_search,
          ActionId::edit_rules,       ActionId::reserve_proposal, ActionId::release_reservation,
          ActionId::plan_all_jobs,    ActionId::reserve_all_jobs, ActionId::export_pick_list,
          ActionId::export_record,    ActionId::export_costs,     ActionId::plan_kit,
          ActionId::export_kit,       ActionId::export_reorder,   ActionId::plan_reorder,
          ActionId::read_reorder,     ActionId::mark_ordered,     ActionId::all_came,
          ActionId::receive_delivery}) {
        job->addAction(actions[id]);
    }
    QMenu* bench = menuBar()->addMenu(tr("Ben&ch"));
    for (const ActionId id : {ActionId::strip_next_leg, ActionId::strip_write, ActionId::strip_put_away,
                              ActionId::inspect_write, ActionId::inspect_kit, ActionId::pull_short,
                              ActionId::pull_wrong, ActionId::pull_undo, ActionId::build_record}) {
        bench->addAction(actions[id]);
    }
    QMenu* go = menuBar()->addMenu(tr("&Go"));
    for (const ActionId id :
         {ActionId::go_jobs,     ActionId::go_target,    ActionId::go_proposals,      ActionId::go_lift,
          ActionId::show_forces, ActionId::lay_readings, ActionId::go_strip,          ActionId::go_inspect,
          ActionId::go_pull,     ActionId::go_build,     ActionId::go_drawers,        ActionId::go_find_stock,
          ActionId::go_reorder,  ActionId::go_kit,       ActionId::go_measure,        ActionId::go_pieces,
          ActionId::go_count,    ActionId::go_history,   ActionId::search_everywhere, ActionId::refresh}) {
        go->addAction(actions[id]);
    }
    QMenu* stock = menuBar()->addMenu(tr("&Stock"));
    stock->addAction(actions[ActionId::own_data]);
    stock->addAction(actions[ActionId::new_part]);
    stock->addAction(actions[ActionId::shim_grid]);
    stock->addSeparator();
    for (const ActionId id : {ActionId::count_write, ActionId::count_read, ActionId::count_post}) {
        stock->addAction(actions[id]);
    }
    stock->addSeparator();
    stock->addAction(actions[ActionId::take_readings]);
    stock->addAction(actions[ActionId::stock_value]);
    stock->addSeparator();
    stock->addAction(actions[ActionId::print_labels]);
    stock->addAction(actions[ActionId::labels_pdf]);
    QMenu* help = menuBar()->addMenu(tr("&Help"));
    help->addAction(actions[ActionId::show_help]);
    help->addAction(actions[ActionId::show_keys]);
}

} // namespace shimledger::desk
