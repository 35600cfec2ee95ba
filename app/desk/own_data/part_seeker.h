// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "inventory/part.h"
#endif

#include <QString>

#include <optional>

namespace shimledger::desk {

/// A place in the window where a part may be wanted that the shop does not have yet: a strip, a receipt, a
/// target. A widget is one beside what else it is; the window finds the one that has the focus.
class PartSeeker {
public:
    virtual ~PartSeeker() = default;
    /// What is wanted, as far as the entry says; none: nothing can be entered here now.
    [[nodiscard]] virtual std::optional<inventory::Part> partWanted() = 0;
    /// The part has been made: the entry, which stands as it was typed, goes on with it.
    virtual void takePart(const QString& code) = 0;
};

} // namespace shimledger::desk
