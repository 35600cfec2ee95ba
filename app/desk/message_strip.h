// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFrame>

class QLabel;
class QToolButton;

namespace shimledger::desk {

/// One sentence at the place where it belongs, beneath what is worked at, so that no row moves under the
/// hand. A problem stays until it is dismissed or replaced; what was done, and a note, until the next thing
/// is begun or told. The kind is told by a word and a mark as well as by colour.
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
    void keepPlace(); ///< also while there is no message
    /// In all of a window, as the next thing is begun or told: a problem stays, and what a hidden page has to
    /// tell.
    static void endSeen(const QWidget& window);
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
