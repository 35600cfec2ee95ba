#pragma once

#include <QVBoxLayout>
#include <QWidget>

#include <functional>

namespace shimledger::desk {

/// A page of the window that is built when it is first shown or asked for: a start builds only what is looked
/// at. The holder takes the page's place in a tab or a stack until then, and holds it afterwards. For whole
/// pages only: what is built late comes last in the order of Tab.
template <typename Page>
class LazyPage {
public:
    /// `make` builds the page, connects it and has it read the shop where one is open.
    explicit LazyPage(std::function<Page*()> make) : m_make(std::move(make)), m_holder(new QWidget) {
        auto* layout = new QVBoxLayout(m_holder);
        layout->setContentsMargins(0, 0, 0, 0);
    }

    [[nodiscard]] QWidget* holder() const { return m_holder; }
    [[nodiscard]] Page* built() const { return m_page; } ///< nullptr: nobody has wanted it yet
    [[nodiscard]] Page& page() {
        if (m_page == nullptr) {
            m_page = m_make();
            m_holder->layout()->addWidget(m_page);
            m_holder->setFocusProxy(m_page);
        }
        return *m_page;
    }

private:
    std::function<Page*()> m_make;
    QWidget* m_holder;
    Page* m_page = nullptr;
};

} // namespace shimledger::desk
