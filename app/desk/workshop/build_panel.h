#pragma once

#include <QWidget>

#include <optional>
#include <string>

class QLabel;
class QListWidget;
class QPlainTextEdit;

namespace shimledger::desk {

class ScaledLabel;
class ShopSession;
struct SheetTable;

/// Both stacks of a job in the order in which they go together, in large type, with a box to tick for each
/// row that lies, and the cautions beside them.
class BuildPanel : public QWidget {
    Q_OBJECT

public:
    explicit BuildPanel(ShopSession& session, QWidget* parent = nullptr);

    void show(const std::optional<std::string>& job); ///< ticks of the same job stay
    [[nodiscard]] SheetTable sheet() const;           ///< to be printed once nothing is reserved any more
    [[nodiscard]] QListWidget* buildList() const { return m_build; }

private:
    QListWidget* makeList(const QString& name);

    ShopSession& m_session;
    std::string m_job;
    ScaledLabel* m_title;
    QLabel* m_heights;
    QListWidget* m_target;
    QListWidget* m_build;
    QPlainTextEdit* m_cautions;
};

} // namespace shimledger::desk
