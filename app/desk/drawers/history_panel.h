// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include <cstdint>
#include <string>
#include <vector>

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QTableWidget;

namespace shimledger::services {
struct HistoryLine;
}

namespace shimledger::desk {

class ShopSession;
struct PrintJob;

/// What happened to a part or in a drawer, the latest first, each told in a sentence; one movement can be
/// undone by its reverse, with a reason.
class HistoryPanel : public QWidget {
    Q_OBJECT

public:
    enum Column { when, change, after, where, what, column_count }; ///< where: the bin, or in a bin the part

    explicit HistoryPanel(ShopSession& session, QWidget* parent = nullptr);

    void show(const std::string& part, const std::string& bin); ///< empty: none
    [[nodiscard]] QTableWidget* table() const { return m_table; }
    [[nodiscard]] QComboBox* subject() const { return m_subject; }
    [[nodiscard]] QLineEdit* reason() const { return m_reason; }
    [[nodiscard]] QPushButton* undoButton() const { return m_undo; }

    [[nodiscard]] PrintJob printJob() const; ///< what is shown

signals:
    void done(const QString& sentence);
    void failed(const QString& sentence);

private:
    void read();
    void undo();
    void fillRow(int row, const services::HistoryLine& line, bool of_bin);
    void rowPicked();
    void enableUndo();

    ShopSession& m_session;
    std::string m_part;
    std::string m_bin;
    std::vector<std::int64_t> m_numbers; ///< by row; 0: cannot be undone
    QComboBox* m_subject;
    QTableWidget* m_table;
    QLabel* m_sentence; ///< of the picked row, in full
    QLineEdit* m_reason;
    QPushButton* m_undo;
};

} // namespace shimledger::desk
