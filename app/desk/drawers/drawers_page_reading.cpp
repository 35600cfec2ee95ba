// SPDX-License-Identifier: GPL-3.0-or-later
// How the drawers page reads the shop, and what it shows of the cabinets; the rest of it is in
// drawers_page.cpp.

#include "app/desk/drawers/cabinet_view.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "inventory/shop_address.h"

#include <QComboBox>
#include <QHash>
#include <QLabel>
#include <QScopedValueRollback>
#include <QScrollBar>
#include <QTableView>

#include <algorithm>
#include <array>
#include <memory>
#include <system_error>
#include <utility>

namespace shimledger::desk {

namespace {

/// What lies in a drawer, in three short lines.
DrawerBox boxOf(const DrawerPlace& place, const std::vector<const StockLine*>& lines) {
    DrawerBox box{place.bin, place.cabinet, {}, {}};
    qint64 on_hand = 0;
    qint64 reserved = 0;
    const StockLine* gravest = nullptr;
    constexpr std::array gravities{StateMark::none, StateMark::held, StateMark::low, StateMark::missing};
    const auto gravity = [&gravities](const StockLine& line) {
        return std::ranges::find(gravities, line.mark()) - gravities.begin();
    };
    for (const StockLine* line : lines) {
        on_hand += line->lot.on_hand;
        reserved += line->lot.reserved;
        if (gravest == nullptr || gravity(*line) > gravity(*gravest)) {
            gravest = line;
        }
    }
    if (gravest == nullptr) {
        return box;
    }
    box.contents = lines.size() == 1 ? gravest->whatText() : DrawersPage::tr("%1 lots").arg(lines.size());
    box.amount = reserved > 0 ? DrawersPage::tr("%1 (%2 reserved)").arg(on_hand).arg(reserved)
                              : QString::number(on_hand);
    box.state = gravest->shortState();
    box.mark = gravest->mark();
    return box;
}

} // namespace

void DrawersPage::freshen() {
    if (!m_stale || !m_session.isOpen()) {
        return;
    }
    // A server may be slow to answer, or not do it at all, which must not stop the window.
    const bool server = inventory::isServerAddress(m_session.path());
    std::error_code no_size; // then it is 2^64 - 1, and the reading says what is wrong with the file
    if (!server && std::filesystem::file_size(m_session.path(), no_size) < m_large_bytes) {
        StockReading reading = readStock(m_session.shop());
        m_stale = false;
        showReading(std::move(reading));
        return;
    }
    m_stale = false;
    if (m_shown_shop != m_session.path()) { // another shop's lines must not stand there meanwhile
        m_model->setLevels({});
        m_model->setLines({});
    }
    m_found->setText(tr("reading the drawers"));
    m_read.start([this, path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto reading = std::make_shared<StockReading>(readStock(shop));
        return [this, reading] { showReading(std::move(*reading)); };
    });
}

/// One reading at a time: a change meanwhile asks for one more, however many changes there were.
void DrawersPage::readLevels() {
    m_levels_stale = m_read_levels.running();
    if (m_levels_stale) {
        return;
    }
    m_read_levels.start([this, path = m_session.path()](const RunControl& /*control*/) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto levels = std::make_shared<StockLevels>(readStockLevels(shop));
        return [this, levels, path] {
            if (path != m_session.path()) {
                m_levels_stale = true; // another shop was opened meanwhile
                return;
            }
            const bool first = m_model->levels().empty();
            m_model->setLevels(std::move(*levels));
            narrow();
            if (first) {
                fitColumns(); // the words of the state are new
            }
        };
    });
}

void DrawersPage::showReading(StockReading reading) {
    const QScopedValueRollback by_page(m_picking, true);
    const int place = m_table->verticalScrollBar()->value();
    const int current = m_table->currentIndex().row();
    if (m_shown_shop != m_session.path()) {
        m_model->setLevels({});
        m_columns_fitted = false;
    }
    m_model->setLines(std::move(reading.lines));
    takePlaces(std::move(reading.places));
    fillCabinets();
    narrow();
    if (!m_columns_fitted && m_model->rowCount() > 0) {
        fitColumns();
    }
    if (current >= 0 && current < m_filter->rowCount()) {
        m_table->selectRow(current);
    }
    m_table->verticalScrollBar()->setValue(place);
    takeUpDrafts();
    if (const auto wanted = std::exchange(m_wanted, {})) pickLine(wanted->first, wanted->second);
    readLevels();
    emit linesShown();
}

/// Which drawer each line is in: asked for with every key that is typed, so it is looked up once.
void DrawersPage::takePlaces(std::vector<DrawerPlace> places) {
    m_places = std::move(places);
    QHash<QString, int> place_of_bin;
    for (std::size_t i = 0; i < m_places.size(); ++i) {
        place_of_bin.insert(m_places[i].bin, static_cast<int>(i));
    }
    m_place_of_row.clear();
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const StockLine& line = m_model->line(row);
        m_place_of_row.push_back(line.out() ? -1 : place_of_bin.value(textOf(line.lot.bin), -1));
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
    std::vector<std::vector<const StockLine*>> held(m_places.size());
    std::vector<bool> found(m_places.size(), m_filter->rowCount() == m_model->rowCount());
    for (int row = 0; row < m_model->rowCount(); ++row) {
        const int place = m_place_of_row[static_cast<std::size_t>(row)];
        if (place >= 0) {
            held[static_cast<std::size_t>(place)].push_back(&m_model->line(row));
        }
    }
    for (int row = 0; row < m_filter->rowCount(); ++row) {
        const int source = m_filter->mapToSource(m_filter->index(row, 0)).row();
        const int place = m_place_of_row[static_cast<std::size_t>(source)];
        if (place >= 0) {
            found[static_cast<std::size_t>(place)] = true;
        }
    }
    const QString cabinet = m_cabinet->currentData().toString();
    std::vector<DrawerBox> boxes;
    for (std::size_t i = 0; i < m_places.size(); ++i) {
        if (cabinet.isEmpty() || m_places[i].cabinet == cabinet) {
            boxes.push_back(boxOf(m_places[i], held[i]));
            boxes.back().found = found[i];
        }
    }
    m_boxes->setBoxes(std::move(boxes));
}

} // namespace shimledger::desk
