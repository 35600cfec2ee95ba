// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_actions.h"

#include "app/desk/guard.h"

#include <QCoreApplication>
#include <QPushButton>

namespace shimledger::desk {

namespace {

// The function keys follow the job from left to right: search, reserve, release, pick list, reorder sheet.
constexpr ActionEntry action_table[] = {
    {ActionId::open_shop, QT_TRANSLATE_NOOP("DeskActions", "&Open a shop file..."),
     QT_TRANSLATE_NOOP("DeskActions", "Open the file of a shop."), "Ctrl+O"},
    {ActionId::open_server, QT_TRANSLATE_NOOP("DeskActions", "Open a shop on a ser&ver..."),
     QT_TRANSLATE_NOOP("DeskActions", "Open a shop that several benches share on a PostgreSQL server."),
     "Ctrl+Alt+O"},
    {ActionId::new_shop, QT_TRANSLATE_NOOP("DeskActions", "&New shop file..."),
     QT_TRANSLATE_NOOP("DeskActions", "Make an empty shop file."), "Ctrl+N"},
    {ActionId::make_demo, QT_TRANSLATE_NOOP("DeskActions", "Make the &demo shop..."),
     QT_TRANSLATE_NOOP("DeskActions", "Make an invented shop with a year of history, to try things on."),
     "Ctrl+D"},
    {ActionId::import_csv, QT_TRANSLATE_NOOP("DeskActions", "&Import a sheet..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Bring parts, drawers, counts or prices in from a sheet: .csv, .xlsx or .ods."),
     "Ctrl+I"},
    {ActionId::import_folder, QT_TRANSLATE_NOOP("DeskActions", "Import a fol&der of sheets..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Bring parts, drawers, counts and prices in from all sheets of a folder."),
     "Ctrl+Shift+I"},
    {ActionId::write_template, QT_TRANSLATE_NOOP("DeskActions", "A sheet to fill &in..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Write a workbook with headings, examples and lists to choose from, to be imported."),
     "Ctrl+Alt+I"},
    {ActionId::shim_grid, QT_TRANSLATE_NOOP("DeskActions", "Shims by &size..."),
     QT_TRANSLATE_NOOP("DeskActions", "Type or paste counts into a grid of outer diameters and thicknesses."),
     "Ctrl+G"},
    {ActionId::own_data, QT_TRANSLATE_NOOP("DeskActions", "The shop's o&wn data..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Make, change and retire parts, drawers, suppliers, prices, models and classes."),
     "Ctrl+Shift+D"},
    {ActionId::new_part, QT_TRANSLATE_NOOP("DeskActions", "New part..."),
     QT_TRANSLATE_NOOP(
         "DeskActions",
         "Make the part that is wanted where something is being entered; the entry stays typed."),
     "Ctrl+Shift+N"},
    {ActionId::print_sheet, QT_TRANSLATE_NOOP("DeskActions", "&Print..."),
     QT_TRANSLATE_NOOP("DeskActions", "Print the sheet of the page that is shown."), "Ctrl+P"},
    {ActionId::save_pdf, QT_TRANSLATE_NOOP("DeskActions", "Save as PD&F..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write the sheet of the page that is shown into a PDF file."),
     "Ctrl+Shift+P"},
    {ActionId::print_labels, QT_TRANSLATE_NOOP("DeskActions", "Print &bin labels..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Print labels with marks for the scanner, of the drawers that are shown."),
     "Ctrl+Alt+P"},
    {ActionId::labels_pdf, QT_TRANSLATE_NOOP("DeskActions", "Bin labels as PD&F..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write labels of the drawers that are shown into a PDF file."),
     "Ctrl+Alt+Shift+P"},
    {ActionId::stock_value, QT_TRANSLATE_NOOP("DeskActions", "&Value of the stock..."),
     QT_TRANSLATE_NOOP("DeskActions", "Say what the stock was worth on any day, by kind and by cabinet."),
     "Ctrl+Alt+V"},
    {ActionId::take_readings, QT_TRANSLATE_NOOP("DeskActions", "&Micrometer readings..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Take readings of a lot by keys, and see which lots are too far from their drawer."),
     "Ctrl+Alt+M"},
    {ActionId::edit_settings, QT_TRANSLATE_NOOP("DeskActions", "Se&ttings..."),
     QT_TRANSLATE_NOOP("DeskActions", "Set colours, text size, paper, working lift and tolerance."),
     "Ctrl+,"},
    {ActionId::quit, QT_TRANSLATE_NOOP("DeskActions", "&Quit"),
     QT_TRANSLATE_NOOP("DeskActions", "Close the window."), "Ctrl+Q"},
    {ActionId::insert_row, QT_TRANSLATE_NOOP("DeskActions", "&Insert"),
     QT_TRANSLATE_NOOP("DeskActions", "Insert a row after the one that is picked, like it."), "Ins"},
    {ActionId::delete_row, QT_TRANSLATE_NOOP("DeskActions", "Delete"),
     QT_TRANSLATE_NOOP("DeskActions", "Take the picked row out of the target."), "Del"},
    {ActionId::row_up, QT_TRANSLATE_NOOP("DeskActions", "Up"),
     QT_TRANSLATE_NOOP("DeskActions", "Move the picked row one place toward the piston face."), "Alt+Up"},
    {ActionId::row_down, QT_TRANSLATE_NOOP("DeskActions", "Down"),
     QT_TRANSLATE_NOOP("DeskActions", "Move the picked row one place toward the clamp."), "Alt+Down"},
    {ActionId::undo_edit, QT_TRANSLATE_NOOP("DeskActions", "Undo"),
     QT_TRANSLATE_NOOP("DeskActions", "Take back the last edit of the target."), "Ctrl+Z"},
    {ActionId::redo_edit, QT_TRANSLATE_NOOP("DeskActions", "Redo"),
     QT_TRANSLATE_NOOP("DeskActions", "Do again what was taken back."), "Ctrl+Shift+Z"},
    {ActionId::discard_target, QT_TRANSLATE_NOOP("DeskActions", "Revert"),
     QT_TRANSLATE_NOOP("DeskActions", "Put the target back as it is saved."), "Ctrl+Backspace"},
    {ActionId::save_target, QT_TRANSLATE_NOOP("DeskActions", "&Save target"),
     QT_TRANSLATE_NOOP("DeskActions", "Save the edited target to the job."), "Ctrl+S"},
    {ActionId::target_as_found, QT_TRANSLATE_NOOP("DeskActions", "As found"),
     QT_TRANSLATE_NOOP("DeskActions", "Begin the target from what the strip found, in the drawers' sizes."),
     "Ctrl+Shift+F"},
    {ActionId::new_job, QT_TRANSLATE_NOOP("DeskActions", "New job..."),
     QT_TRANSLATE_NOOP("DeskActions", "Open a job for a component that has come in."), "Ctrl+J"},
    {ActionId::change_job, QT_TRANSLATE_NOOP("DeskActions", "Change the job..."),
     QT_TRANSLATE_NOOP("DeskActions", "Change the job's customer, valve, due day, priority or note."),
     "Ctrl+E"},
    {ActionId::give_up_job, QT_TRANSLATE_NOOP("DeskActions", "Give the job up..."),
     QT_TRANSLATE_NOOP("DeskActions", "Cancel the job; what is reserved for it is free again."),
     "Ctrl+Shift+G"},
    {ActionId::reopen_job, QT_TRANSLATE_NOOP("DeskActions", "Open the job again..."),
     QT_TRANSLATE_NOOP("DeskActions", "Put a job that was closed or given up to work again."), "Ctrl+Alt+J"},
    {ActionId::find_job, QT_TRANSLATE_NOOP("DeskActions", "Find a job"),
     QT_TRANSLATE_NOOP("DeskActions", "Find jobs by customer, code, model, due day or priority."),
     "Ctrl+Shift+J"},
    {ActionId::find_substitutes, QT_TRANSLATE_NOOP("DeskActions", "Find &substitutes"),
     QT_TRANSLATE_NOOP("DeskActions", "Search the drawers for stacks that open like the target."), "F5"},
    {ActionId::wish_curve, QT_TRANSLATE_NOOP("DeskActions", "&Wish a curve"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Say how the curve should differ from the target's, in per cent or by its handles."),
     "Ctrl+W"},
    {ActionId::show_steps, QT_TRANSLATE_NOOP("DeskActions", "What moves what"),
     QT_TRANSLATE_NOOP("DeskActions", "Show what each single step from the target does to its curve."),
     "Ctrl+Shift+W"},
    {ActionId::show_tries, QT_TRANSLATE_NOOP("DeskActions", "Tries"),
     QT_TRANSLATE_NOOP("DeskActions", "Show the stacks that were tried for the job, side by side."),
     "Ctrl+Alt+W"},
    {ActionId::show_valves, QT_TRANSLATE_NOOP("DeskActions", "Valves of the component"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Show the job's valves; add one, give legs a stack of their own, join another job."),
     "Ctrl+Shift+E"},
    {ActionId::keep_try, QT_TRANSLATE_NOOP("DeskActions", "Keep as a try"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Keep the stack that lies beside the target, with what is wished; the target stays."),
     "Ctrl+Y"},
    {ActionId::take_target, QT_TRANSLATE_NOOP("DeskActions", "Make it the target..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Make the stack that lies beside the target the new target; the old one is kept."),
     "Ctrl+Shift+Y"},
    {ActionId::drop_try, QT_TRANSLATE_NOOP("DeskActions", "Throw the try away"),
     QT_TRANSLATE_NOOP("DeskActions", "Throw the picked try away."), "Ctrl+Alt+Y"},
    {ActionId::stop_search, QT_TRANSLATE_NOOP("DeskActions", "S&top the search"),
     QT_TRANSLATE_NOOP("DeskActions", "End the search that is under way."), "Esc"},
    {ActionId::edit_rules, QT_TRANSLATE_NOOP("DeskActions", "R&ules of the search"),
     QT_TRANSLATE_NOOP("DeskActions", "Set what a substitute may change."), "Shift+F5"},
    {ActionId::reserve_proposal, QT_TRANSLATE_NOOP("DeskActions", "&Accept and reserve..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Make the picked proposal the job's build stack and reserve its discs."),
     "F6"},
    {ActionId::release_reservation, QT_TRANSLATE_NOOP("DeskActions", "&Release reservation..."),
     QT_TRANSLATE_NOOP("DeskActions", "Give back everything that is reserved for the job."), "F7"},
    {ActionId::plan_all_jobs, QT_TRANSLATE_NOOP("DeskActions", "Plan all open &jobs"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Plan all open jobs against one stock, so that no disc is promised twice."),
     "Ctrl+F5"},
    {ActionId::reserve_all_jobs, QT_TRANSLATE_NOOP("DeskActions", "Reserve for all planned j&obs..."),
     QT_TRANSLATE_NOOP("DeskActions", "Accept the plan of all open jobs and reserve its discs."), "Ctrl+F6"},
    {ActionId::export_pick_list, QT_TRANSLATE_NOOP("DeskActions", "&Pick list..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write the job's pick list and build sheet as a spreadsheet."), "F8"},
    {ActionId::export_record, QT_TRANSLATE_NOOP("DeskActions", "Record to hand over..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Write the record of the job for the customer as a spreadsheet: found, built, wear."),
     "Shift+F8"},
    {ActionId::export_costs, QT_TRANSLATE_NOOP("DeskActions", "What it used, with prices..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write what the job used and what that cost, as a spreadsheet or CSV."),
     "Ctrl+F8"},
    {ActionId::plan_kit, QT_TRANSLATE_NOOP("DeskActions", "Plan the &kit"),
     QT_TRANSLATE_NOOP("DeskActions", "Plan which sizes to keep and how many, by what stands in the fields."),
     "Ctrl+Shift+F9"},
    {ActionId::export_kit, QT_TRANSLATE_NOOP("DeskActions", "Kit sheet..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write what to keep and what to buy for it as a spreadsheet."),
     "Ctrl+Alt+F9"},
    {ActionId::export_reorder, QT_TRANSLATE_NOOP("DeskActions", "Re&order sheet..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write what is to be bought, one sheet a supplier, as a spreadsheet."),
     "F9"},
    {ActionId::plan_reorder, QT_TRANSLATE_NOOP("DeskActions", "Plan again"),
     QT_TRANSLATE_NOOP("DeskActions", "Plan anew what to buy; what was typed over is dropped."), "Shift+F9"},
    {ActionId::read_reorder, QT_TRANSLATE_NOOP("DeskActions", "Read an edited sheet..."),
     QT_TRANSLATE_NOOP("DeskActions", "Take packs over from a reorder sheet that was edited elsewhere."),
     "Ctrl+F9"},
    {ActionId::mark_ordered, QT_TRANSLATE_NOOP("DeskActions", "Mark as ordered..."),
     QT_TRANSLATE_NOOP("DeskActions", "Book the picked supplier's lines as on order."), "Ctrl+Shift+O"},
    {ActionId::all_came, QT_TRANSLATE_NOOP("DeskActions", "All of it came"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Fill in that all of the picked order came, to be put right and received."),
     "Ctrl+Shift+A"},
    {ActionId::receive_delivery, QT_TRANSLATE_NOOP("DeskActions", "Receive"),
     QT_TRANSLATE_NOOP("DeskActions", "Book what came of the picked order into its drawers."),
     "Ctrl+Shift+R"},
    {ActionId::strip_next_leg, QT_TRANSLATE_NOOP("DeskActions", "Ne&xt leg"),
     QT_TRANSLATE_NOOP("DeskActions", "Go on with the strip sheet of the next leg."), "Ctrl+L"},
    {ActionId::strip_write, QT_TRANSLATE_NOOP("DeskActions", "&Write down"),
     QT_TRANSLATE_NOOP("DeskActions", "Write the strip sheet of this leg down as found."), "Ctrl+Return"},
    {ActionId::strip_put_away, QT_TRANSLATE_NOOP("DeskActions", "Put reclaimed discs a&way"),
     QT_TRANSLATE_NOOP("DeskActions", "Book the good discs of the strip back into their drawers as used."),
     "Ctrl+B"},
    {ActionId::count_write, QT_TRANSLATE_NOOP("DeskActions", "Count shee&t to fill in..."),
     QT_TRANSLATE_NOOP("DeskActions", "Write a sheet of all drawers to be counted on."), "Ctrl+Alt+T"},
    {ActionId::count_read, QT_TRANSLATE_NOOP("DeskActions", "&Read a filled-in sheet..."),
     QT_TRANSLATE_NOOP("DeskActions", "Read a count sheet back and list what it would change."),
     "Ctrl+Shift+T"},
    {ActionId::count_post, QT_TRANSLATE_NOOP("DeskActions", "&Book the differences"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Book what the count sheet that was read would change: all or nothing."),
     "Ctrl+Shift+B"},
    {ActionId::inspect_write, QT_TRANSLATE_NOOP("DeskActions", "Write dow&n"),
     QT_TRANSLATE_NOOP("DeskActions", "Write down what was found of the picked part or place."),
     "Ctrl+Shift+Return"},
    {ActionId::inspect_kit, QT_TRANSLATE_NOOP("DeskActions", "&Make this the job's kit"),
     QT_TRANSLATE_NOOP("DeskActions", "Make what the inspection calls for the job's consumables."),
     "Ctrl+Shift+K"},
    {ActionId::pull_short, QT_TRANSLATE_NOOP("DeskActions", "Short (F2)"),
     QT_TRANSLATE_NOOP("DeskActions", "The drawer holds less than it should: give the line up."), "F2"},
    {ActionId::pull_wrong, QT_TRANSLATE_NOOP("DeskActions", "Wrong discs (F3)"),
     QT_TRANSLATE_NOOP("DeskActions", "The drawer holds something else: give the line up."), "F3"},
    {ActionId::pull_undo, QT_TRANSLATE_NOOP("DeskActions", "Take back (F4)"),
     QT_TRANSLATE_NOOP("DeskActions", "Take the last step of the pull back."), "F4"},
    {ActionId::build_record, QT_TRANSLATE_NOOP("DeskActions", "Record the build (F12)"),
     QT_TRANSLATE_NOOP("DeskActions", "Record the build of the job at the bench as done, and close the job."),
     "F12"},
    {ActionId::go_jobs, QT_TRANSLATE_NOOP("DeskActions", "&Jobs"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the list of jobs."), "Ctrl+1"},
    {ActionId::go_target, QT_TRANSLATE_NOOP("DeskActions", "&Target stack"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the rows of the job's target stack."), "Ctrl+2"},
    {ActionId::go_proposals, QT_TRANSLATE_NOOP("DeskActions", "&Proposals"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the substitutes that were found."), "Ctrl+3"},
    {ActionId::go_lift, QT_TRANSLATE_NOOP("DeskActions", "&Lift"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the lift slider."), "Ctrl+4"},
    {ActionId::show_forces, QT_TRANSLATE_NOOP("DeskActions", "F&orce over speed"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Show force over shaft speed in place of pressure over lift, and back."),
     "F11"},
    {ActionId::lay_readings, QT_TRANSLATE_NOOP("DeskActions", "Test be&nch's readings..."),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Lay a CSV of speed_m_s and force_n over the forces, and fit the model to it."),
     "Shift+F11"},
    {ActionId::go_strip, QT_TRANSLATE_NOOP("DeskActions", "&Strip"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the strip sheet of the job at the bench."), "Ctrl+6"},
    {ActionId::go_inspect, QT_TRANSLATE_NOOP("DeskActions", "&Inspect"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the inspection of the job at the bench."), "Ctrl+9"},
    {ActionId::go_pull, QT_TRANSLATE_NOOP("DeskActions", "P&ull"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to what is to be pulled for the job at the bench."), "Ctrl+7"},
    {ActionId::go_build, QT_TRANSLATE_NOOP("DeskActions", "&Build"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the build sheet of the job at the bench."), "Ctrl+8"},
    {ActionId::go_drawers, QT_TRANSLATE_NOOP("DeskActions", "&Drawers"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to the table of everything in stock."), "Ctrl+5"},
    {ActionId::go_find_stock, QT_TRANSLATE_NOOP("DeskActions", "&Find in the drawers"),
     QT_TRANSLATE_NOOP("DeskActions", "Find stock by typing a size, a bin or a name."), "Ctrl+F"},
    {ActionId::go_reorder, QT_TRANSLATE_NOOP("DeskActions", "Reorder"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to what is to be bought and what is on order."), "Ctrl+0"},
    {ActionId::go_kit, QT_TRANSLATE_NOOP("DeskActions", "&Kit"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to which sizes to keep, for a budget and the coming season."),
     "Ctrl+Alt+0"},
    {ActionId::go_measure, QT_TRANSLATE_NOOP("DeskActions", "Find by &measuring"),
     QT_TRANSLATE_NOOP("DeskActions", "Find a part by what was measured, and put it away."), "Ctrl+M"},
    {ActionId::go_pieces, QT_TRANSLATE_NOOP("DeskActions", "Book &loose pieces"),
     QT_TRANSLATE_NOOP("DeskActions",
                       "Book pieces that came in, went out, were bent or moved without a plan."),
     "Ctrl+Shift+M"},
    {ActionId::go_count, QT_TRANSLATE_NOOP("DeskActions", "&Count"),
     QT_TRANSLATE_NOOP("DeskActions", "Count the drawers line by line."), "Ctrl+T"},
    {ActionId::go_history, QT_TRANSLATE_NOOP("DeskActions", "&History"),
     QT_TRANSLATE_NOOP("DeskActions", "Go to what happened to the picked part or bin."), "Ctrl+H"},
    {ActionId::search_everywhere, QT_TRANSLATE_NOOP("DeskActions", "Search &everywhere..."),
     QT_TRANSLATE_NOOP("DeskActions", "Find a job, a bin, a part or something to do."), "Ctrl+K"},
    {ActionId::copy_picture, QT_TRANSLATE_NOOP("DeskActions", "&Copy the picture"),
     QT_TRANSLATE_NOOP("DeskActions", "Copy stacks and curves as a picture."), "Ctrl+Shift+C"},
    {ActionId::refresh, QT_TRANSLATE_NOOP("DeskActions", "&Read the shop again"),
     QT_TRANSLATE_NOOP("DeskActions", "Read jobs and drawers again; the window does so by itself as well."),
     "Ctrl+R"},
    {ActionId::show_help, QT_TRANSLATE_NOOP("DeskActions", "&Help"),
     QT_TRANSLATE_NOOP("DeskActions", "Open the help at the page that is about what is shown."), "F1"},
    {ActionId::show_keys, QT_TRANSLATE_NOOP("DeskActions", "&Keys and what they do"),
     QT_TRANSLATE_NOOP("DeskActions", "Show every action with its key."), "Shift+F1"},
};

static_assert(std::size(action_table) == static_cast<std::size_t>(ActionId::count));

QString words(const char* text) {
    return QCoreApplication::translate("DeskActions", text);
}

} // namespace

std::span<const ActionEntry> allActions() {
    return action_table;
}

DeskActions::DeskActions(QObject* parent) : QObject(parent), m_histories(new QUndoGroup(this)) {
    for (const ActionEntry& entry : action_table) {
        auto* action = new QAction(words(entry.text), this);
        action->setShortcut(QKeySequence::fromString(QLatin1String(entry.keys), QKeySequence::PortableText));
        action->setStatusTip(words(entry.help));
        action->setToolTip(QStringLiteral("%1 (%2)").arg(
            words(entry.help), action->shortcut().toString(QKeySequence::NativeText)));
        m_actions[static_cast<std::size_t>(entry.id)] = action;
        guarded(action, &QAction::triggered, this, &DeskActions::begun); // before any page hears of it
    }
    QAction *undo = (*this)[ActionId::undo_edit], *redo = (*this)[ActionId::redo_edit];
    guarded(undo, &QAction::triggered, m_histories, &QUndoGroup::undo);
    guarded(redo, &QAction::triggered, m_histories, &QUndoGroup::redo);
    guarded(m_histories, &QUndoGroup::canUndoChanged, undo, &QAction::setEnabled);
    guarded(m_histories, &QUndoGroup::canRedoChanged, redo, &QAction::setEnabled);
}

QPushButton* DeskActions::button(ActionId id) const {
    QAction* action = (*this)[id];
    auto* button = new QPushButton(action->text());
    button->setToolTip(action->toolTip());
    button->setAccessibleDescription(action->statusTip());
    button->setEnabled(action->isEnabled());
    button->setAutoDefault(false);
    guarded(button, &QPushButton::clicked, action, &QAction::trigger);
    guarded(action, &QAction::enabledChanged, button, &QPushButton::setEnabled);
    return button;
}

QString DeskActions::keyTable() const {
    QString table = QStringLiteral("<table cellspacing='6'>");
    for (const QAction* action : m_actions) {
        table += QStringLiteral("<tr><td><b>%1</b></td><td>%2</td><td>%3</td></tr>")
                     .arg(action->shortcut().toString(QKeySequence::NativeText).toHtmlEscaped(),
                          action->text().remove(QLatin1Char('&')).toHtmlEscaped(),
                          action->statusTip().toHtmlEscaped());
    }
    return table + QStringLiteral("</table>");
}

} // namespace shimledger::desk
