// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QHash>
#include <QLabel>

namespace shimledger::desk {

/// A label for sentences: plain text that breaks at words and can be marked and copied with the mouse.
/// Layouts ask it for its height again and again, and text that can be marked is laid out as a document each
/// time, which a start of the window feels. So it remembers its heights, and becomes markable when the
/// pointer first comes over it.
class SentenceLabel : public QLabel {
    Q_OBJECT

public:
    explicit SentenceLabel(QWidget* parent = nullptr);

    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void changeEvent(QEvent* event) override;
    void enterEvent(QEnterEvent* event) override;

private:
    mutable QString m_measured_text;
    mutable QHash<int, int> m_heights; ///< of the measured text, by width
};

} // namespace shimledger::desk
