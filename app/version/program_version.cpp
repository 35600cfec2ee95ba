// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/version/program_version.h"

#include "build_commit.h" // written by write_commit.cmake at each build, changed only with the commit

namespace shimledger::version {

std::string programVersion() {
    return SHIMLEDGER_VERSION;
}

std::string versionText(const std::string& program, const std::string& more_libraries) {
    return program + " " + programVersion() + "\ncommit " + SHIMLEDGER_BUILD_COMMIT +
           "\nshop files of schema " + SHIMLEDGER_SCHEMA + "\nbuilt with " + SHIMLEDGER_LIBRARIES +
           (more_libraries.empty() ? "" : ", " + more_libraries);
}

} // namespace shimledger::version
