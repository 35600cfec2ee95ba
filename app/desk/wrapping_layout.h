// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLayout>

#include <vector>

namespace shimledger::desk {

/// A row of buttons that goes on in the next line where it would be too long, as words do: a row that cannot
/// would make the window wider than the screen with large text.
class WrappingLayout : public QLayout {
public:
    explicit WrappingLayout(int spacing = 4, QWidget* parent = nullptr);
    ~WrappingLayout() override;

    void addItem(QLayoutItem* item) override; ///< takes it over
    [[nodiscard]] int count() const override { return static_cast<int>(m_items.size()); }
    [[nodiscard]] QLayoutItem* itemAt(int index) const override;
    QLayoutItem* takeAt(int index) override;

    [[nodiscard]] Qt::Orientations expandingDirections() const override { return {}; }
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;
    [[nodiscard]] QSize sizeHint() const override; ///< all in one line
    /// As wide as the widest, and as high as all are at the present width: not all that asks knows heights
    /// for widths.
    [[nodiscard]] QSize minimumSize() const override;
    void setGeometry(const QRect& room) override;

private:
    /// Where each item goes; returns the height that it takes.
    int arrange(const QRect& room, bool place) const;

    std::vector<QLayoutItem*> m_items;
    int m_height = 0; ///< taken at the present width
};

} // namespace shimledger::desk
