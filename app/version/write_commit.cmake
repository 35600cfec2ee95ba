# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -DSOURCE=... -DOUT=... [-DCOMMIT=...] -P write_commit.cmake: the header is touched only when the commit changes.
if(NOT COMMIT)
  execute_process(COMMAND git -C ${SOURCE} rev-parse --short=12 HEAD
    OUTPUT_VARIABLE COMMIT OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET RESULT_VARIABLE failed)
  if(failed)
    set(COMMIT unknown)
  else()
    execute_process(COMMAND git -C ${SOURCE} diff-index --quiet HEAD -- OUTPUT_QUIET ERROR_QUIET RESULT_VARIABLE changed)
    if(changed)
      string(APPEND COMMIT " with changes")
    endif()
  endif()
endif()
file(CONFIGURE OUTPUT ${OUT} CONTENT "#define SHIMLEDGER_BUILD_COMMIT \"${COMMIT}\"\n" @ONLY)
