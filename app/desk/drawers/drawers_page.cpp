#include "app/desk/drawers/drawers_page.h"

#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/count_panel.h"
#include "app/desk/drawers/count_sheet_panel.h"
#include "app/desk/drawers/history_panel.h"
#include "app/desk/drawers/measure_panel.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"

#include <QComboBox>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QScrollBar>
#include <QTabWidget>
#include <QTableView>
#include <QTableWidget>

#include <algorithm>
#include <memory>
#include <system_error>

namespace shimledger::desk {

void DrawersPage::reload() {
    m_stale = true;
    if (isVisible()) {
        freshen();
    }
}

void DrawersPage::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    freshen();
}

void DrawersPage::freshen() {
    if (!m_stale || !m_session.isOpen()) {
        return;
    }
    m_stale = false;
    std::error_code no_size; // then it is 2^64 - 1, and the reading says what is wrong with the file
    if (std::filesystem::file_size(m_session.path(), no_size) < m_large_bytes) {
        showLines(readStockLines(m_session.shop()));
        return;
    }
    if (m_shown_shop != m_session.path()) { // another shop's lines must not stand there meanwhile
        m_model->setLines({});
    }
    m_found->setText(tr("reading the drawers"));
    m_read.start([this, path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto lines = std::make_shared<std::vector<StockLine>>(readStockLines(shop));
        return [this, lines] { showLines(std::move(*lines)); };
    });
}

void DrawersPage::showLines(std::vector<StockLine> lines) {
    const int place = m_table->verticalScrollBar()->value();
    const int current = m_table->currentIndex().row();
    const bool first = m_model->rowCount() == 0;
    m_model->setLines(std::move(lines));
    if (first) {
        m_table->resizeColumnsToContents();
    }
    fillCabinets();
    narrow();
    fillBoxes();
    if (current >= 0 && current < m_filter->rowCount()) {
        m_table->selectRow(current);
    }
    m_table->verticalScrollBar()->setValue(place);
    takeUpDrafts();
    emit linesShown();
}

bool DrawersPage::busy() const {
    return m_read.running() || m_count_sheet->busy();
}

void DrawersPage::takeUpDrafts() {
    if (m_shown_shop == m_session.path()) {
        return;
    }
    m_shown_shop = m_session.path();
    m_strip->clear();
    m_count_sheet->forget();
    m_count->readDrafts();
    m_measure->readDraft();
    if (const auto unbooked = m_count->unbooked()) {
        pickLine(unbooked->second, unbooked->first);
        m_sides->setCurrentWidget(m_counting);
    }
}

void DrawersPage::fillCabinets() {
    QStringList names;
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const QString& name = m_model->line(row).cabinet;
        if (!name.isEmpty() && !names.contains(name)) {
            names << name;
        }
    }
    QStringList shown;
    for (int i = 1; i < m_cabinet->count(); ++i) {
        shown << m_cabinet->itemData(i).toString();
    }
    if (m_cabinet->count() > 0 && names == shown) {
        return;
    }
    const QString before = m_cabinet->currentData().toString();
    const QSignalBlocker quiet(m_cabinet);
    m_cabinet->clear();
    m_cabinet->addItem(tr("All cabinets"), QString());
    for (const QString& name : names) {
        m_cabinet->addItem(tr("Cabinet %1").arg(name), name);
    }
    m_cabinet->setCurrentIndex(std::max(0, m_cabinet->findData(before)));
}

/// A drawer that holds several lots is drawn once.
void DrawersPage::fillBoxes() {
    std::vector<DrawerBox> boxes;
    const QString cabinet = m_cabinet->currentData().toString();
    qint64 in_drawer = 0;
    int lots = 0;
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const StockLine& line = m_model->line(row);
        if (line.out() || (!cabinet.isEmpty() && line.cabinet != cabinet)) {
            continue;
        }
        const QString bin = textOf(line.lot.bin);
        if (boxes.empty() || boxes.back().bin != bin) {
            const QString what = line.size.isEmpty() ? textOf(line.lot.description) : line.size;
            boxes.push_back({bin, what, {}, markOf(line)});
            in_drawer = line.lot.on_hand;
            lots = 1;
        } else {
            in_drawer += line.lot.on_hand;
            boxes.back().contents = tr("%1 lots").arg(++lots);
            boxes.back().mark = std::max(boxes.back().mark, markOf(line));
        }
        boxes.back().amount = line.lot.reserved > 0
                                  ? tr("%1 (%2 reserved)").arg(in_drawer).arg(line.lot.reserved)
                                  : QString::number(in_drawer);
        if (line.low()) {
            boxes.back().amount += tr(", low");
        }
    }
    m_boxes->setBoxes(std::move(boxes));
}

void DrawersPage::narrow() {
    m_filter->setWords(m_find->text());
    m_found->setText(tr("%1 of %2 lines").arg(m_filter->rowCount()).arg(m_model->rowCount()));
}

void DrawersPage::linePicked() {
    const QModelIndex current = m_filter->mapToSource(m_table->currentIndex());
    if (!current.isValid()) {
        m_count->show(std::nullopt);
        return;
    }
    const StockLine& line = m_model->line(current.row());
    m_count->show(line);
    m_history->show(line.lot.part, line.lot.bin);
    m_boxes->setCurrent(textOf(line.lot.bin));
}

/// The first line of that drawer, and of that part where one is named. Words that hide it are taken away.
void DrawersPage::pickLine(const QString& part, const QString& bin) {
    const auto find = [&] {
        for (int row = 0; row < m_filter->rowCount(); ++row) {
            const bool of_part =
                part.isEmpty() || m_filter->index(row, StockTableModel::part).data().toString() == part;
            if (of_part && m_filter->index(row, StockTableModel::bin).data().toString() == bin) {
                m_table->selectRow(row);
                return true;
            }
        }
        return false;
    };
    if (!find()) {
        m_find->clear();
        m_shown->setCurrentIndex(0);
        (void)find();
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
