// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QVBoxLayout>
#include <QWidget>

#include <functional>

namespace shimledger::desk {

/// Moves all that takes the focus in `holder`, and was built later than what comes after it, to where the
/// holder stands in the order of Tab. Holders within are left behind: it cannot be done again for a page in a
/// page.
void takePlaceInTabOrder(QWidget& holder);

/// Where a page that is built late comes in the order of Tab: after all that was there before, which is right
/// for a page with nothing beside it, or where its holder stands.
enum class TabPlace { last, of_holder };

/// A page of the window that is built when it is first shown or asked for: a start builds only what is looked
/// at. The holder takes the page's place in a tab or a stack until then, and holds it afterwards.
template <typename Page>
class LazyPage {
public:
    /// `make` builds the page, connects it and has it read the shop where one is open.
    explicit LazyPage(std::function<Page*()> make, TabPlace place = TabPlace::last)
        : m_make(std::move(make)), m_place(place), m_holder(new QWidget) {
        auto* layout = new QVBoxLayout(m_holder);
        layout->setContentsMargins(0, 0, 0, 0);
    }

    [[nodiscard]] QWidget* holder() const { return m_holder; }
    [[nodiscard]] Page* built() const { return m_page; } ///< nullptr: nobody has wanted it yet
    [[nodiscard]] Page& page() {
        if (m_page == nullptr) {
            m_page = m_make();
            m_holder->layout()->addWidget(m_page);
            if (m_place == TabPlace::of_holder) {
                takePlaceInTabOrder(*m_holder);
            }
            m_holder->setFocusProxy(m_page);
        }
        return *m_page;
    }
    /// Takes the page away, with all that it holds; it is built anew when it is next wanted.
    void drop() {
        delete m_page;
        m_page = nullptr;
    }

private:
    std::function<Page*()> m_make;
    TabPlace m_place;
    QWidget* m_holder;
    Page* m_page = nullptr;
};

} // namespace shimledger::desk
