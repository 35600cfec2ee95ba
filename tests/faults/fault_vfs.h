// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

namespace shimledger::faults {

/// What the disk does wrong.
enum class Fault {
    writeError, ///< SQLITE_IOERR_WRITE, nothing written
    shortWrite, ///< half of the bytes are written, then an I/O error
    diskFull,   ///< SQLITE_FULL
    syncFails,  ///< SQLITE_IOERR_FSYNC
    readError,  ///< SQLITE_IOERR_READ
    killed      ///< half of the bytes are written, then this process is killed (SIGKILL)
};

/// Registers, as SQLite's default, a file system layer over the ordinary one that can be told to fail. While
/// a plan is set, calls of the fault's sort (writes, syncs or reads) of any file are counted, and from the
/// `nth` on `times` of them fail (0: all that follow).
void installFaultVfs();
void planFault(Fault fault, std::int64_t nth, std::int64_t times);
/// Ends the plan; says whether any call has failed by it.
bool endPlan();

} // namespace shimledger::faults
