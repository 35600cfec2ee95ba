// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/find_words.h"

#include <QDialog>
#include <QString>

#include <functional>
#include <vector>

class QLabel;
class QLineEdit;
class QListWidget;

namespace shimledger::desk {

/// Something that can be gone to or done.
struct SearchHit {
    QString text;   ///< "JOB-1002: FK-LARCH-45, compression"
    QString detail; ///< "job, 1 shim size short"
    std::function<void()> go;
    FindKey key{}; ///< what it is found by; empty: by its text and detail
};

/// One field that finds jobs, bins, parts and actions, what fits best first; Return goes to what is picked.
class SearchEverywhere : public QDialog {
    Q_OBJECT

public:
    explicit SearchEverywhere(QWidget* parent);

    void ask(std::vector<SearchHit> hits, services::SizeUnit bare); ///< opens with an empty field
    void setHits(std::vector<SearchHit> hits); ///< while it is open: what was typed stays
    [[nodiscard]] QLineEdit* field() const { return m_field; }
    [[nodiscard]] QListWidget* list() const { return m_list; }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void narrow();
    void goToPicked();

    services::SizeUnit m_bare = services::SizeUnit::millimetres;
    QLineEdit* m_field;
    QListWidget* m_list;
    QLabel* m_found;
    std::vector<SearchHit> m_hits;
    std::vector<std::size_t> m_shown;
};

} // namespace shimledger::desk
