// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/problem.h"

#include <QObject>
#include <QPointer>

#include <cstddef>
#include <exception>
#include <functional>
#include <tuple>
#include <type_traits>
#include <utility>

/// Nothing that is thrown may leave code of ours into Qt. Qt calls a slot that throws undefined behaviour,
/// and in Qt 6.4 it is: QtGui, QtWidgets and QtPrintSupport are built with -fno-exceptions (their libraries
/// have no .gcc_except_table), so that an exception on its way through their frames runs none of their
/// destructors: a painter is never ended, a flag that was set for the call stays set, an object is left half
/// told, and the slots that come after are skipped. Catching in QApplication::notify() is too late for all
/// that. So every exception is caught before the first frame of Qt's, in the one function guard() below:
///
/// - each slot, and so each timer and each delivery of background work, is connected by guarded(), never by
///   QObject::connect (.ci/check-layers looks);
/// - each virtual function that Qt calls and that does more than draw or measure has guard() or answered()
///   around what it does.
///
/// What is caught is told by the nearest ProblemTeller above the receiver, which is the window: the window
/// stays, and what was typed stays with it. DeskApplication is the net beneath, for what is forgotten.
namespace shimledger::desk {

/// Who shows what a slot could not do.
class ProblemTeller {
public:
    virtual ~ProblemTeller() = default;
    virtual void tellProblem(const Problem& problem) = 0;
};

/// Tells it by the nearest ProblemTeller among `from` and its parents, else by any window's; a bug goes to
/// the error stream too.
void tellProblem(const QObject* from, const Problem& problem) noexcept;
/// What was thrown, likewise; for a catch (...).
void tellThrown(const QObject* from, const std::exception_ptr& thrown) noexcept;
/// As tellThrown, but once the event at hand has been dealt with: nothing is shown in the middle of painting.
void tellThrownLater(const QObject* from, const std::exception_ptr& thrown) noexcept;

/// Does the work; whatever it throws is told. Says whether it went well.
template <typename Work>
bool guard(const QObject* from, Work&& work) noexcept {
    const QPointer<const QObject> alive(from); // the work may be the end of it
    try {
        std::forward<Work>(work)();
        return true;
    } catch (...) {
        tellThrown(alive, std::current_exception());
        return false;
    }
}

/// What the work answers, or `otherwise`: for the virtual functions of models and delegates, which Qt asks
/// while it paints.
template <typename Value, typename Work>
Value answered(const QObject* from, Value otherwise, Work&& work) noexcept {
    try {
        return std::forward<Work>(work)();
    } catch (...) {
        tellThrownLater(from, std::current_exception());
        return otherwise;
    }
}

namespace guarding {

/// As many of the signal's arguments as the slot takes, from the first on.
template <std::size_t count, typename Call, typename Arguments>
void callWithFirst(Call& call, Arguments& arguments) {
    const auto takes = []<std::size_t... i>(std::index_sequence<i...>) {
        return std::is_invocable_v<Call&, std::tuple_element_t<i, Arguments>...>;
    };
    if constexpr (takes(std::make_index_sequence<count>())) {
        [&]<std::size_t... i>(std::index_sequence<i...>) {
            static_cast<void>(std::invoke(call, std::get<i>(arguments)...));
        }
        (std::make_index_sequence<count>());
    } else {
        static_assert(count > 0, "the slot does not take what the signal brings");
        callWithFirst<count - 1>(call, arguments);
    }
}

} // namespace guarding

/// A guarded connection: as QObject::connect, but nothing that the slot throws reaches Qt. `slot` is a member
/// function of the receiver (a signal too) or anything that can be called; `receiver` tells what went wrong,
/// and the connection ends with it.
template <typename Sender, typename Signal, typename Receiver, typename Slot>
QMetaObject::Connection guarded(const Sender* sender, Signal signal, Receiver* receiver, Slot slot,
                                Qt::ConnectionType type = Qt::AutoConnection) {
    auto call = [&] {
        if constexpr (std::is_member_function_pointer_v<Slot>) {
            return [ receiver, slot ]<typename... Arguments>(Arguments && ... arguments)
                       -> decltype(auto) requires std::is_invocable_v<Slot, Receiver*, Arguments...> {
                return std::invoke(slot, receiver, std::forward<Arguments>(arguments)...);
            };
        } else {
            return slot;
        }
    }();
    return QObject::connect(
        sender, signal, receiver,
        [receiver, call]<typename... Arguments>(const Arguments&... arguments) mutable {
            guard(receiver, [&] {
                std::tuple<const Arguments&...> brought(arguments...);
                guarding::callWithFirst<sizeof...(Arguments)>(call, brought);
            });
        },
        type);
}

} // namespace shimledger::desk
