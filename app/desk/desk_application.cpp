#include "app/desk/desk_application.h"

#include "app/desk/guard.h"

namespace shimledger::desk {

bool DeskApplication::notify(QObject* receiver, QEvent* event) {
    try {
        return QApplication::notify(receiver, event);
    } catch (...) {
        // The receiver may have gone; any window tells it, and not in the middle of painting.
        tellThrownLater(this, std::current_exception());
        return true;
    }
}

} // namespace shimledger::desk
