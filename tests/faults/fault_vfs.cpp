// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/faults/fault_vfs.h"

#include <sqlite3.h>

#include <atomic>
#include <csignal>
#include <cstring>
#include <new>

namespace shimledger::faults {

namespace {

// A test program's own layer: SQLite keeps one list of them in the process, so the plan is one as well.
struct Plan {
    std::atomic<bool> set{false};
    Fault fault = Fault::writeError;
    std::int64_t nth = 0;
    std::int64_t times = 0;
    std::atomic<std::int64_t> seen{0}; // a window reads from several threads
    std::atomic<bool> hit{false};
};
Plan plan;
sqlite3_vfs* real_vfs = nullptr;
sqlite3_vfs fault_vfs;

struct File {
    sqlite3_file base;
    [[nodiscard]] sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};
sqlite3_file* realOf(sqlite3_file* file) {
    return reinterpret_cast<File*>(file)->real();
}

enum class Call { write, sync, read };

Call callOf(Fault fault) {
    if (fault == Fault::syncFails) return Call::sync;
    return fault == Fault::readError ? Call::read : Call::write;
}

bool fails(Call call) {
    if (!plan.set || callOf(plan.fault) != call) return false;
    const std::int64_t seen = ++plan.seen;
    const bool now = seen >= plan.nth && (plan.times == 0 || seen < plan.nth + plan.times);
    if (now) plan.hit = true;
    return now;
}

int closeFile(sqlite3_file* file) {
    return realOf(file)->pMethods->xClose(realOf(file));
}
int readFile(sqlite3_file* file, void* buffer, int amount, sqlite3_int64 offset) {
    if (fails(Call::read)) return SQLITE_IOERR_READ;
    return realOf(file)->pMethods->xRead(realOf(file), buffer, amount, offset);
}
int writeFile(sqlite3_file* file, const void* buffer, int amount, sqlite3_int64 offset) {
    if (!fails(Call::write)) return realOf(file)->pMethods->xWrite(realOf(file), buffer, amount, offset);
    if (plan.fault == Fault::diskFull) return SQLITE_FULL;
    if (plan.fault == Fault::shortWrite || plan.fault == Fault::killed)
        realOf(file)->pMethods->xWrite(realOf(file), buffer, amount / 2, offset);
    if (plan.fault == Fault::killed) std::raise(SIGKILL);
    return SQLITE_IOERR_WRITE;
}
int truncateFile(sqlite3_file* file, sqlite3_int64 size) {
    if (fails(Call::write)) {
        if (plan.fault == Fault::killed) std::raise(SIGKILL);
        return SQLITE_IOERR_TRUNCATE;
    }
    return realOf(file)->pMethods->xTruncate(realOf(file), size);
}
int syncFile(sqlite3_file* file, int flags) {
    if (fails(Call::sync)) return SQLITE_IOERR_FSYNC;
    return realOf(file)->pMethods->xSync(realOf(file), flags);
}
int fileSize(sqlite3_file* file, sqlite3_int64* size) {
    return realOf(file)->pMethods->xFileSize(realOf(file), size);
}
int lock(sqlite3_file* file, int kind) {
    return realOf(file)->pMethods->xLock(realOf(file), kind);
}
int unlock(sqlite3_file* file, int kind) {
    return realOf(file)->pMethods->xUnlock(realOf(file), kind);
}
int checkReserved(sqlite3_file* file, int* result) {
    return realOf(file)->pMethods->xCheckReservedLock(realOf(file), result);
}
int fileControl(sqlite3_file* file, int what, void* argument) {
    return realOf(file)->pMethods->xFileControl(realOf(file), what, argument);
}
int sectorSize(sqlite3_file* file) {
    return realOf(file)->pMethods->xSectorSize(realOf(file));
}
int characteristics(sqlite3_file* file) {
    return realOf(file)->pMethods->xDeviceCharacteristics(realOf(file));
}
int shmMap(sqlite3_file* file, int page, int size, int extend, void volatile** memory) {
    return realOf(file)->pMethods->xShmMap(realOf(file), page, size, extend, memory);
}
int shmLock(sqlite3_file* file, int offset, int n, int flags) {
    return realOf(file)->pMethods->xShmLock(realOf(file), offset, n, flags);
}
void shmBarrier(sqlite3_file* file) {
    realOf(file)->pMethods->xShmBarrier(realOf(file));
}
int shmUnmap(sqlite3_file* file, int remove) {
    return realOf(file)->pMethods->xShmUnmap(realOf(file), remove);
}

const sqlite3_io_methods methods = {
    2,       closeFile,  readFile,      writeFile,   truncateFile, syncFile,        fileSize,
    lock,    unlock,     checkReserved, fileControl, sectorSize,   characteristics, shmMap,
    shmLock, shmBarrier, shmUnmap,      nullptr,     nullptr};

int openFile(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out_flags) {
    file->pMethods = nullptr;
    sqlite3_file* real = realOf(file);
    std::memset(real, 0, static_cast<std::size_t>(real_vfs->szOsFile));
    const int result = real_vfs->xOpen(real_vfs, name, real, flags, out_flags);
    if (real->pMethods != nullptr) file->pMethods = &methods;
    return result;
}

} // namespace

void installFaultVfs() {
    if (real_vfs != nullptr) return;
    real_vfs = sqlite3_vfs_find(nullptr);
    fault_vfs = *real_vfs; // everything but files is the ordinary one's
    fault_vfs.zName = "shimledger-faults";
    fault_vfs.szOsFile = static_cast<int>(sizeof(File)) + real_vfs->szOsFile;
    fault_vfs.xOpen = openFile;
    sqlite3_vfs_register(&fault_vfs, 1);
}

void planFault(Fault fault, std::int64_t nth, std::int64_t times) {
    plan.fault = fault;
    plan.nth = nth;
    plan.times = times;
    plan.seen = 0;
    plan.hit = false;
    plan.set = true;
}

bool endPlan() {
    plan.set = false;
    return plan.hit;
}

} // namespace shimledger::faults
