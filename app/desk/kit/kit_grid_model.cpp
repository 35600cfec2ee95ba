// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/kit/kit_grid_model.h"

#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"

#include <QApplication>
#include <QBrush>
#include <QFont>

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::desk {

KitGridModel::KitGridModel(QObject* parent) : QAbstractTableModel(parent) {}

void KitGridModel::setKit(std::shared_ptr<const services::KitResult> kit) {
    beginResetModel();
    m_kit = std::move(kit);
    m_cells.clear();
    m_most_lost = 0;
    if (m_kit) {
        for (const auto& [lines, kind] :
             {std::pair{&m_kit->spared, Kind::spared}, std::pair{&m_kit->dead, Kind::dead},
              std::pair{&m_kit->lines, Kind::kept}}) {
            for (const services::KitSize& line : *lines) {
                m_cells[line.size] = {kind, &line};
                m_most_lost = std::max(m_most_lost, line.lost_without);
            }
        }
    }
    layOut();
    endResetModel();
}

void KitGridModel::setBore(Length bore) {
    if (m_bore == bore) return;
    beginResetModel();
    m_bore = bore;
    layOut();
    endResetModel();
}

std::vector<Length> KitGridModel::bores() const {
    std::set<Length> bores;
    for (const auto& [size, cell] : m_cells) bores.insert(size.id);
    return {bores.begin(), bores.end()};
}

void KitGridModel::layOut() {
    const std::vector<Length> known = bores();
    if (!known.empty() && (!m_bore || std::find(known.begin(), known.end(), *m_bore) == known.end()))
        m_bore = known.front();
    std::set<Length> ods, thicknesses;
    for (const auto& [size, cell] : m_cells) {
        if (size.id != m_bore) continue;
        ods.insert(size.od);
        thicknesses.insert(size.thickness);
    }
    m_ods.assign(ods.rbegin(), ods.rend()); // as a stack lies: the widest on top
    m_thicknesses.assign(thicknesses.begin(), thicknesses.end());
}

planner::DiscSize KitGridModel::sizeOf(const QModelIndex& index) const {
    if (!index.isValid() || !m_bore) return {};
    return {m_ods.at(static_cast<std::size_t>(index.row())), *m_bore,
            m_thicknesses.at(static_cast<std::size_t>(index.column()))};
}

QModelIndex KitGridModel::indexOf(const planner::DiscSize& size) const {
    const auto row = std::find(m_ods.begin(), m_ods.end(), size.od);
    const auto column = std::find(m_thicknesses.begin(), m_thicknesses.end(), size.thickness);
    if (size.id != m_bore || row == m_ods.end() || column == m_thicknesses.end()) return {};
    return index(static_cast<int>(row - m_ods.begin()), static_cast<int>(column - m_thicknesses.begin()));
}

KitGridModel::Cell KitGridModel::cell(const QModelIndex& index) const {
    if (!index.isValid()) return {};
    const auto found = m_cells.find(sizeOf(index));
    return found == m_cells.end() ? Cell() : found->second;
}

void KitGridModel::setLock(const QModelIndex& index, Lock lock) {
    if (!index.isValid() || cell(index).kind == Kind::none) return;
    if (lock == Lock::none)
        m_locks.erase(sizeOf(index));
    else
        m_locks[sizeOf(index)] = lock;
    emit dataChanged(index, index);
}

void KitGridModel::clearLocks() {
    beginResetModel();
    m_locks.clear();
    endResetModel();
}

KitGridModel::Lock KitGridModel::lockOf(const planner::DiscSize& size) const {
    const auto found = m_locks.find(size);
    return found == m_locks.end() ? Lock::none : found->second;
}

std::vector<planner::DiscSize> KitGridModel::locked(Lock lock) const {
    std::vector<planner::DiscSize> sizes;
    for (const auto& [size, how] : m_locks) {
        if (how == lock) sizes.push_back(size);
    }
    return sizes;
}

int KitGridModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_ods.size());
}

int KitGridModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_thicknesses.size());
}

QString KitGridModel::words(const QModelIndex& index) const {
    const Cell one = cell(index);
    QString text;
    switch (one.kind) {
    case Kind::none:
        return {};
    case Kind::kept:
        text =
            QString::number(one.size->keep) + (one.size->packs_to_buy > 0 ? QStringLiteral("+") : QString());
        break;
    case Kind::dead:
        text = QStringLiteral("%1!").arg(one.size->on_hand);
        break;
    case Kind::spared:
        text = QStringLiteral("~");
        break;
    }
    const Lock lock = lockOf(sizeOf(index));
    if (lock == Lock::kept) text += QStringLiteral(" \u25a0");
    if (lock == Lock::out) text += QStringLiteral(" \u00d7");
    return text;
}

QVariant KitGridModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&]() -> QVariant {
        const Cell one = cell(index);
        const QPalette palette = QApplication::palette();
        switch (role) {
        case Qt::DisplayRole:
            return words(index);
        case Qt::TextAlignmentRole:
            return QVariant(Qt::AlignCenter);
        case Qt::BackgroundRole:
            if (one.kind == Kind::kept) {
                const double part = m_most_lost > 0 ? one.size->lost_without / m_most_lost : 0;
                return QBrush(blended(DeskColours::of(palette).target, palette.color(QPalette::Base),
                                      0.08 + 0.32 * std::sqrt(std::max(0.0, part))));
            }
            return {};
        case Qt::ForegroundRole:
            if (one.kind == Kind::dead || one.kind == Kind::spared)
                return QBrush(DeskColours::of(palette).quiet);
            return {};
        case Qt::FontRole:
            if (one.kind == Kind::kept) {
                QFont font = QApplication::font();
                font.setBold(one.size->packs_to_buy > 0);
                return font;
            }
            return {};
        case Qt::AccessibleTextRole:
        case Qt::ToolTipRole:
            if (one.kind == Kind::none) return {};
            return textOf(
                services::kitSizeSentence(*m_kit, *one.size, one.kind == Kind::kept, one.kind == Kind::dead));
        default:
            return {};
        }
    });
}

QVariant KitGridModel::headerData(int section, Qt::Orientation orientation, int role) const {
    return answered(this, QVariant(), [&]() -> QVariant {
        if (role != Qt::DisplayRole) return {};
        const auto place = static_cast<std::size_t>(section);
        if (orientation == Qt::Horizontal) return textOf(m_thicknesses.at(place).text(2));
        return textOf(m_ods.at(place).text());
    });
}

} // namespace shimledger::desk
