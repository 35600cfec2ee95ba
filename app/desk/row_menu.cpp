// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/row_menu.h"

#include "app/desk/guard.h"

#include <QAbstractItemView>
#include <QContextMenuEvent>
#include <QMenu>

#include <utility>

namespace shimledger::desk {

namespace {

class RowMenu : public QObject {
public:
    RowMenu(QAbstractItemView& view, std::function<void(QMenu&, const QModelIndex&)> fill)
        : QObject(&view), m_view(view), m_fill(std::move(fill)) {
        view.installEventFilter(this); // the menu key comes to the view, the button to what it scrolls
        view.viewport()->installEventFilter(this);
    }

    bool eventFilter(QObject* watched, QEvent* event) override {
        if (event->type() != QEvent::ContextMenu) return QObject::eventFilter(watched, event);
        return answered(this, true, [&] {
            const auto& asked = static_cast<QContextMenuEvent&>(*event);
            const bool by_key = asked.reason() == QContextMenuEvent::Keyboard;
            const QModelIndex row = by_key
                                        ? m_view.currentIndex()
                                        : m_view.indexAt(m_view.viewport()->mapFromGlobal(asked.globalPos()));
            if (row.isValid()) open(row, by_key ? belowOf(row) : asked.globalPos());
            return true;
        });
    }

private:
    [[nodiscard]] QPoint belowOf(const QModelIndex& row) const {
        return m_view.viewport()->mapToGlobal(m_view.visualRect(row).bottomLeft());
    }

    void open(const QModelIndex& row, const QPoint& place) {
        m_view.setCurrentIndex(row); // what is done is done with what is marked
        auto* menu = new QMenu(&m_view);
        menu->setAttribute(Qt::WA_DeleteOnClose);
        m_fill(*menu, row);
        if (menu->isEmpty())
            delete menu;
        else
            menu->popup(place);
    }

    QAbstractItemView& m_view;
    std::function<void(QMenu&, const QModelIndex&)> m_fill;
};

} // namespace

void giveRowMenu(QAbstractItemView& view, std::function<void(QMenu&, const QModelIndex&)> fill) {
    new RowMenu(view, std::move(fill)); // owned by the view
}

void giveRowMenu(QAbstractItemView& view, std::vector<QAction*> actions) {
    giveRowMenu(view, [actions = std::move(actions)](QMenu& menu, const QModelIndex& /*row*/) {
        for (QAction* action : actions) {
            if (action == nullptr)
                menu.addSeparator();
            else
                menu.addAction(action);
        }
    });
}

} // namespace shimledger::desk
