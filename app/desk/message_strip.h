// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFrame>

class QLabel;
class QToolButton;

namespace shimledger::desk {

/// One sentence at the place where it belongs, until it is dismissed or replaced. The kind is told by a word
/// and a mark as well as by colour.
class MessageStrip : public QFrame {
    Q_OBJECT

public:
    enum class Kind { done, note, problem };

    explicit MessageStrip(QWidget* parent = nullptr);

    void showMessage(Kind kind, const QString& sentence);
    void showDone(const QString& sentence) {
        showMessage(Kind::done, sentence);
    } ///< these to be connected to
    void showNote(const QString& sentence) { showMessage(Kind::note, sentence); }
    void showProblem(const QString& sentence) { showMessage(Kind::problem, sentence); }
    void clear();
    [[nodiscard]] QString sentence() const { return m_sentence; }
    [[nodiscard]] Kind kind() const { return m_kind; }

protected:
    void changeEvent(QEvent* event) override;

private:
    void dress();

    QLabel* m_text = nullptr;
    QToolButton* m_dismiss = nullptr;
    QString m_sentence;
    Kind m_kind = Kind::note;
};

} // namespace shimledger::desk
