// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/shim_grid.h"
#endif

#include <QDialog>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QTableWidget;

namespace shimledger::desk {

class AppSettings;
class MessageStrip;
class ShopSession;

/// Shims of one bore as a grid: outer diameters down, thicknesses across, and what the drawers have in the
/// cells. Counts are typed or pasted over it and booked together; parts and drawers that the shop lacks are
/// made. What was typed and not booked is kept.
class ShimGridDialog : public QDialog {
    Q_OBJECT

public:
    ShimGridDialog(ShopSession& session, AppSettings& settings, QWidget* parent = nullptr);

    [[nodiscard]] QComboBox* bore() const { return m_bore; }
    [[nodiscard]] QLineEdit* cabinet() const { return m_cabinet; }
    [[nodiscard]] QLineEdit* firstBin() const { return m_first_bin; }
    [[nodiscard]] QLineEdit* ods() const { return m_ods; }
    [[nodiscard]] QLineEdit* thicknesses() const { return m_thicknesses; }
    [[nodiscard]] QTableWidget* table() const { return m_table; }
    [[nodiscard]] QPushButton* bookButton() const { return m_book; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }
    [[nodiscard]] QString about() const; ///< what stands beneath the grid on the cell in hand
    void paste();                        ///< a block of numbers from the clipboard, from the cell in hand on

signals:
    void booked(const QString& sentence);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    enum BinRule { one_each, one_for_all };

    void layOut();
    [[nodiscard]] services::ShimGrid stockOf(Length bore) const;
    void readStock();
    void showBore(); ///< of another bore or condition: other sizes, other counts
    void showGrid(); ///< by what the sides say
    void tellCell();
    void cellTyped(int row, int column);
    void keepDraft();
    void readDraft();
    void book();
    void enableBook();
    [[nodiscard]] services::ShimGridCounts counts() const;
    [[nodiscard]] std::optional<services::ShimSize> sizeAt(int row, int column) const;
    [[nodiscard]] services::SizeUnit sizeUnit() const;
    [[nodiscard]] std::optional<Length> boreTyped() const;
    [[nodiscard]] QString topic() const; ///< of the draft

    ShopSession& m_session;
    AppSettings& m_settings;
    services::ShimGrid m_grid;
    std::vector<Length> m_od_rows, m_thickness_columns;
    std::map<services::ShimSize, std::int64_t> m_counts; ///< typed, whether the sides show them or not
    bool m_filling = false;                              ///< the grid is being filled by us
    MessageStrip* m_strip;
    QComboBox* m_bore;
    QComboBox* m_condition;
    QLineEdit* m_cabinet;
    QLineEdit* m_first_bin;
    QComboBox* m_rule;
    QLineEdit* m_ods;
    QLineEdit* m_thicknesses;
    QTableWidget* m_table;
    QLabel* m_about;
    QPushButton* m_book;
};

} // namespace shimledger::desk
