// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/drawers_page.h"

#include "app/desk/app_settings.h"
#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/guard.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"

#include <QComboBox>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QScopedValueRollback>
#include <QScrollArea>
#include <QTabWidget>
#include <QTableView>
#include <QTableWidget>

#include <algorithm>

namespace shimledger::desk {

void DrawersPage::reload() {
    m_stale = true;
    if (isVisible()) {
        freshen();
    }
}

void DrawersPage::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    guard(this, [this] { freshen(); });
}

/// A long description must not push the figures off the edge; it is elided, and whole in its tip.
void DrawersPage::fitColumns() {
    m_columns_fitted = true;
    m_table->resizeColumnsToContents();
    const int most = m_table->fontMetrics().horizontalAdvance(QStringLiteral("48.0 x 59.0 x 11.00  ")) + 12;
    m_table->setColumnWidth(StockTableModel::size,
                            std::min(m_table->columnWidth(StockTableModel::size), most));
}

void DrawersPage::dropAlikeKinds() {
    bool alike = m_filter->rowCount() > 0;
    const auto kindOf = [this](int row) {
        return m_model->line(m_filter->mapToSource(m_filter->index(row, 0)).row()).lot.kind;
    };
    for (int row = 1; alike && row < m_filter->rowCount(); ++row) {
        alike = kindOf(row) == kindOf(0);
    }
    m_table->setColumnHidden(StockTableModel::kind, alike);
}

/// Who counts must not read off beside the field what should come out.
void DrawersPage::hideBooks() {
    const bool counting = m_sides->currentWidget() == m_counting;
    for (const int column :
         {StockTableModel::on_hand, StockTableModel::reserved, StockTableModel::available}) {
        m_table->setColumnHidden(column, counting);
    }
}

bool DrawersPage::busy() const {
    return m_read.running() || m_read_levels.running() || m_count_sheet->busy();
}

void DrawersPage::takeUpDrafts() {
    if (m_shown_shop == m_session.path()) {
        return;
    }
    if (!m_shown_shop.empty()) { // else what is told already is of this shop
        m_strip->clear();
        m_count_sheet->forget();
    }
    m_shown_shop = m_session.path();
    m_count->readDrafts();
    m_measure->readDraft();
    const bool pieces = m_pieces->readDraft();
    if (const auto unbooked = m_count->unbooked()) {
        pickLine(unbooked->second, unbooked->first);
        m_sides->setCurrentWidget(m_counting);
    } else if (pieces) {
        m_sides->setCurrentWidget(m_pieces);
    }
}

void DrawersPage::narrow() {
    const QScopedValueRollback by_page(m_picking, true);
    m_filter->setWords(m_find->text(), m_settings.choices().size_unit);
    m_found->setText(m_model->rowCount() == 0
                         ? tr("nothing in stock yet")
                         : tr("%1 of %2 shown").arg(m_filter->rowCount()).arg(m_model->rowCount()));
    dropAlikeKinds();
    fillBoxes();
    if (!m_table->selectionModel()->hasSelection()) {
        m_boxes->setCurrent({}); // the line that the drawer was picked for is not shown any more
    }
}

std::optional<inventory::StockLot> DrawersPage::pickedLot() const {
    const QModelIndex current = m_filter->mapToSource(m_table->currentIndex());
    if (!current.isValid()) return std::nullopt;
    return m_model->line(current.row()).lot;
}

void DrawersPage::linePicked() {
    const QModelIndex current = m_filter->mapToSource(m_table->currentIndex());
    if (!current.isValid()) {
        m_count->show(std::nullopt, m_picking ? CountPanel::Pick::by_table : CountPanel::Pick::by_person);
        return;
    }
    const StockLine& line = m_model->line(current.row());
    m_count->show(line, m_picking ? CountPanel::Pick::by_table : CountPanel::Pick::by_person);
    m_pieces->show(line, m_picking ? PiecesPanel::Pick::by_table : PiecesPanel::Pick::by_person);
    if (!line.out()) {
        const int row = m_table->currentIndex().row();
        m_count->showPlace(row + 1, m_filter->rowCount(),
                           m_filter->index(row + 1, StockTableModel::bin).data().toString());
    }
    m_history->show(line.lot.part, line.lot.bin);
    m_boxes->setCurrent(textOf(line.lot.bin));
    const QRect place = m_boxes->currentPlace();
    m_boxes_area->ensureVisible(place.center().x(), place.center().y(), place.width(), place.height());
}

/// The first line of that part and that drawer, of which either may be left open. What hides it is taken
/// away, but not for a drawer that is empty.
void DrawersPage::pickLine(const QString& part, const QString& bin) {
    const auto fits = [&](const StockLine& line) {
        return (part.isEmpty() || textOf(line.lot.part) == part) &&
               (bin.isEmpty() || textOf(line.lot.bin) == bin);
    };
    const auto find = [&] {
        for (int row = 0; row < m_filter->rowCount(); ++row) {
            if (fits(m_model->line(m_filter->mapToSource(m_filter->index(row, 0)).row()))) {
                m_table->selectRow(row);
                return true;
            }
        }
        return false;
    };
    bool anywhere = false;
    for (int row = 0; row < m_model->rowCount() && !anywhere; ++row) {
        anywhere = fits(m_model->line(row));
    }
    if (find()) {
        return;
    }
    if (anywhere) {
        m_find->clear();
        m_shown->setCurrentIndex(0);
        m_cabinet->setCurrentIndex(0);
        (void)find();
    } else if (m_read.running()) {
        m_wanted = {part, bin}; // as soon as it has been read
    }
}

void DrawersPage::focusFind() {
    m_find->setFocus(Qt::ShortcutFocusReason);
    m_find->selectAll();
}

void DrawersPage::focusTable() {
    pickFirst();
    m_table->setFocus(Qt::ShortcutFocusReason);
}

/// The focus alone makes a line the current one without picking it.
void DrawersPage::pickFirst() {
    if (!m_table->selectionModel()->hasSelection() && m_filter->rowCount() > 0) {
        const QScopedValueRollback by_page(m_picking, true);
        m_table->selectRow(std::max(0, m_table->currentIndex().row()));
    }
}

void DrawersPage::goTo(QWidget* side) {
    m_sides->setCurrentWidget(side == m_count ? m_counting : side);
    if (side == m_count || side == m_history) {
        pickFirst(); // both are about a line of the table
    }
    side->setFocus(Qt::ShortcutFocusReason);
    if (side == m_history) {
        m_history->table()->setFocus(Qt::ShortcutFocusReason);
    }
}

/// Down and Return go from the words to the lines that they found.
bool DrawersPage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == m_find && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        const bool enter = key == Qt::Key_Down || key == Qt::Key_Return || key == Qt::Key_Enter;
        if (enter && m_filter->rowCount() > 0) {
            focusTable();
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

} // namespace shimledger::desk
