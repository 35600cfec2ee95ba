#pragma once

#include "app/desk/state_mark.h"

#include <QWidget>

#include <vector>

namespace shimledger::desk {

/// One drawer of a cabinet as it is drawn.
struct DrawerBox {
    QString bin;
    QString contents; ///< "24.0 x 6.0 x 0.10", or how many sizes lie in it
    QString amount;   ///< "7", "7 (4 reserved)"
    StateMark mark = StateMark::none;

    bool operator==(const DrawerBox&) const = default;
};

/// A cabinet as it stands in the shop: its drawers in walking order, each with what lies in it and a mark
/// where that is low, all reserved or gone. Arrow keys walk, a click or Return opens the drawer's lines.
class CabinetView : public QWidget {
    Q_OBJECT

public:
    explicit CabinetView(QWidget* parent = nullptr);

    void setBoxes(std::vector<DrawerBox> boxes);
    void setCurrent(const QString& bin);
    [[nodiscard]] QString current() const; ///< empty: none
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

private:
    [[nodiscard]] QSize boxSize() const;
    [[nodiscard]] int columns(int width) const;
    [[nodiscard]] QRect boxRect(int box) const;
    void go(int box);

    std::vector<DrawerBox> m_boxes;
    int m_current = -1;
};

} // namespace shimledger::desk
