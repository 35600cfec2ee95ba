// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/state_mark.h"

#include <QWidget>

#include <vector>

namespace shimledger::desk {

/// One drawer of a cabinet as it is drawn.
struct DrawerBox {
    QString bin;
    QString cabinet;
    QString contents; ///< "24.0 x 6.0 x 0.10", or how many sizes lie in it; empty: nothing
    QString amount;   ///< "7", "7 (4 reserved)"
    QString state{};  ///< "low", beside the code
    StateMark mark = StateMark::none;
    bool found = true; ///< by what is typed; what is not found is drawn faintly

    bool operator==(const DrawerBox&) const = default;
};

/// The cabinets of the shop: under the name of each its drawers in walking order, the empty ones too, each
/// with what lies in it and a mark where that is low, all reserved or gone. Arrow keys walk, a click opens
/// the drawer's lines.
class CabinetView : public QWidget {
    Q_OBJECT

public:
    explicit CabinetView(QWidget* parent = nullptr);

    void setBoxes(std::vector<DrawerBox> boxes);
    void setCurrent(const QString& bin);
    [[nodiscard]] QString current() const;    ///< empty: none
    [[nodiscard]] QRect currentPlace() const; ///< where the current one is drawn; empty: none
    [[nodiscard]] const std::vector<DrawerBox>& boxes() const { return m_boxes; }

    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;
    [[nodiscard]] QSize sizeHint() const override;

signals:
    void opened(const QString& bin);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    /// Where everything stands at one width.
    struct Places {
        std::vector<QRect> boxes;
        std::vector<std::pair<QRect, QString>> headings;
        int height = 0;
    };
    [[nodiscard]] QSize boxSize() const;
    [[nodiscard]] Places placesAt(int width) const;
    void placeAll();
    void paintBox(QPainter& painter, int box) const;
    [[nodiscard]] int boxBeside(int key) const; ///< where an arrow key leads from the current one
    void go(int box);

    std::vector<DrawerBox> m_boxes;
    Places m_places;
    int m_current = -1;
};

} // namespace shimledger::desk
