// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/drawers/stock_lines.h"
#endif
#include "app/services/sheets/paper_size.h"

#include <QWidget>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <utility>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QScrollArea;
class QTableView;
class QTabWidget;

namespace shimledger::desk {

class AppSettings;
class CabinetView;
class CountPanel;
class CountSheetPanel;
class DeskActions;
class HistoryPanel;
class MeasurePanel;
class MessageStrip;
class PiecesPanel;
class ShopSession;
class StockFilterModel;
class StockTableModel;
class UserPrompts;
struct PrintJob;
struct SearchHit;

/// Everything in the drawers as one table, narrowed down while one types; beside it the cabinet as it stands
/// in the shop, finding by measuring and putting away, counting, and the history of what is picked.
class DrawersPage : public QWidget {
    Q_OBJECT

public:
    DrawersPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
                QWidget* parent = nullptr);

    /// The shop has changed: it is read again when the page is looked at next, at once where it is shown.
    void reload();
    /// Reads what has changed; keeps the words typed and the place in the table. A large shop file is read
    /// off the window's thread.
    void freshen();
    /// From how large a shop file on (bytes) that is done; what is smaller is there before the next key.
    void setReadInBackgroundFrom(std::uintmax_t bytes) { m_large_bytes = bytes; }
    void focusFind();
    void focusTable();
    void goTo(QWidget* side); ///< one of the panels beside the table
    /// The line of that part in that bin, also where it is not among those shown; an empty one means any.
    void pickLine(const QString& part, const QString& bin);
    /// The history of what is picked where that is beside the table; else a count sheet of the lines shown.
    [[nodiscard]] PrintJob printJob() const;
    [[nodiscard]] PrintJob labelJob(services::PaperSize paper) const; ///< of the drawers that are shown
    [[nodiscard]] std::vector<SearchHit> searchHits();

    [[nodiscard]] std::optional<inventory::StockLot> pickedLot() const; ///< of the table
    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QLineEdit* find() const { return m_find; }
    [[nodiscard]] QComboBox* shownBox() const { return m_shown; }
    [[nodiscard]] QComboBox* cabinetBox() const { return m_cabinet; }
    [[nodiscard]] CabinetView& cabinet() const { return *m_boxes; }
    [[nodiscard]] MeasurePanel& measure() const { return *m_measure; }
    [[nodiscard]] PiecesPanel& pieces() const { return *m_pieces; }
    [[nodiscard]] CountPanel& count() const { return *m_count; }
    [[nodiscard]] CountSheetPanel& countSheet() const { return *m_count_sheet; }
    [[nodiscard]] bool busy() const; ///< reading the drawers, or at work on a count sheet
    [[nodiscard]] HistoryPanel& history() const { return *m_history; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

signals:
    void linesShown(); ///< what was read is in the table

protected:
    void showEvent(QShowEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void layOut();
    void connectPanels();
    void showReading(StockReading reading);
    void takePlaces(std::vector<DrawerPlace> places);
    void readLevels();     ///< how the parts stand, off the window's thread: it is read from the whole ledger
    void fitColumns();     ///< to what is shown
    void dropAlikeKinds(); ///< the column of the kind, where all lines shown are of one
    void hideBooks();      ///< while the drawers are counted
    void takeUpDrafts();   ///< what was typed for this shop and not booked, once it has been read
    void pickFirst();      ///< a line of the table, where none is picked
    void narrow();
    void fillCabinets();
    void fillBoxes();
    void linePicked();

    ShopSession& m_session;
    AppSettings& m_settings;
    bool m_stale = false;
    std::uintmax_t m_large_bytes = 20'000'000;
    BackgroundRun m_read;
    BackgroundRun m_read_levels;
    bool m_levels_stale = false;                         ///< the shop changed while they were read
    std::optional<std::pair<QString, QString>> m_wanted; ///< the line to be picked once the lines are there
    std::filesystem::path m_shown_shop;                  ///< whose lines and drafts are shown
    std::vector<DrawerPlace> m_places;
    std::vector<int> m_place_of_row; ///< by row of the model; -1: in no drawer
    bool m_columns_fitted = false;
    bool m_picking = false; ///< the page picks a line, not a person
    StockTableModel* m_model;
    StockFilterModel* m_filter;
    QLineEdit* m_find;
    QComboBox* m_shown;
    QComboBox* m_cabinet;
    QLabel* m_found;
    QTableView* m_table;
    QTabWidget* m_sides;
    QScrollArea* m_boxes_area;
    CabinetView* m_boxes;
    MeasurePanel* m_measure;
    PiecesPanel* m_pieces;
    CountPanel* m_count;
    CountSheetPanel* m_count_sheet;
    QWidget* m_counting; ///< both of them
    HistoryPanel* m_history;
    MessageStrip* m_strip;
};

} // namespace shimledger::desk
