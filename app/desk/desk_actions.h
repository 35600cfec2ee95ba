// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAction>
#include <QObject>
#include <QUndoGroup>

#include <array>
#include <span>

class QPushButton;

namespace shimledger::desk {

/// Everything the window can do. Add an enumerator here and its row in desk_actions.cpp.
enum class ActionId {
    open_shop,
    open_server,
    new_shop,
    make_demo,
    import_csv,
    import_folder,
    write_template,
    shim_grid,
    own_data,
    new_part,
    print_sheet,
    save_pdf,
    print_labels,
    labels_pdf,
    stock_value,
    take_readings,
    edit_settings,
    quit,
    insert_row,
    delete_row,
    row_up,
    row_down,
    undo_edit,
    redo_edit,
    discard_target,
    save_target,
    target_as_found,
    new_job,
    change_job,
    give_up_job,
    reopen_job,
    find_job,
    find_substitutes,
    wish_curve,
    show_steps,
    show_tries,
    show_valves,
    keep_try,
    take_target,
    drop_try,
    stop_search,
    edit_rules,
    reserve_proposal,
    release_reservation,
    plan_all_jobs,
    reserve_all_jobs,
    export_pick_list,
    export_record,
    export_costs,
    plan_kit,
    export_kit,
    export_reorder,
    plan_reorder,
    read_reorder,
    mark_ordered,
    all_came,
    receive_delivery,
    strip_next_leg,
    strip_write,
    strip_put_away,
    count_write,
    count_read,
    count_post,
    inspect_write,
    inspect_kit,
    pull_short,
    pull_wrong,
    pull_undo,
    build_record,
    go_jobs,
    go_target,
    go_proposals,
    go_lift,
    show_forces,
    lay_readings,
    go_strip,
    go_inspect,
    go_pull,
    go_build,
    go_drawers,
    go_find_stock,
    go_reorder,
    go_kit,
    go_measure,
    go_pieces,
    go_count,
    go_history,
    search_everywhere,
    copy_picture,
    refresh,
    show_help,
    show_keys,
    count
};

/// One action as it is declared: what it is called, what it does in a sentence, and its key.
struct ActionEntry {
    ActionId id;
    const char* text; ///< to be translated; '&' before the mnemonic
    const char* help; ///< to be translated; one sentence
    const char* keys; ///< portable key text
};

[[nodiscard]] std::span<const ActionEntry> allActions();

/// The QActions made from the table, with text, help, status tip and key set.
class DeskActions : public QObject {
    Q_OBJECT

public:
    explicit DeskActions(QObject* parent = nullptr);

    [[nodiscard]] QAction* operator[](ActionId id) const { return m_actions[static_cast<std::size_t>(id)]; }
    /// A button that does the same, is enabled with the action and names its key in the tool tip.
    [[nodiscard]] QPushButton* button(ActionId id) const;
    /// The histories that undo and redo go through: a page's is active while the page is looked at.
    [[nodiscard]] QUndoGroup& histories() const { return *m_histories; }
    /// All actions with keys and help, as a table for the help page.
    [[nodiscard]] QString keyTable() const;

signals:
    void begun(); ///< one of them is about to be carried out

private:
    QUndoGroup* m_histories;
    std::array<QAction*, static_cast<std::size_t>(ActionId::count)> m_actions{};
};

} // namespace shimledger::desk
