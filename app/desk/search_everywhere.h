#pragma once

#include <QDialog>
#include <QString>

#include <functional>
#include <vector>

class QLineEdit;
class QListWidget;

namespace shimledger::desk {

/// Something that can be gone to or done.
struct SearchHit {
    QString text;   ///< "JOB-1002: FK-LARCH-45, compression"
    QString detail; ///< "job, 1 shim size short"
    std::function<void()> go;
};

/// One field that finds jobs, drawers, parts and actions; Return goes to what is picked.
class SearchEverywhere : public QDialog {
    Q_OBJECT

public:
    explicit SearchEverywhere(QWidget* parent);

    void ask(std::vector<SearchHit> hits);
    void setHits(std::vector<SearchHit>
                     hits); ///< while it is open: what was typed stays ///< opens with an empty field
    [[nodiscard]] QLineEdit* field() const { return m_field; }
    [[nodiscard]] QListWidget* list() const { return m_list; }

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void narrow();
    void goToPicked();

    QLineEdit* m_field;
    QListWidget* m_list;
    std::vector<SearchHit> m_hits;
    std::vector<QString> m_keys; ///< by hit: all its words in lower case
    std::vector<std::size_t> m_shown;
};

} // namespace shimledger::desk
