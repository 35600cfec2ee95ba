#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Pictures of every screen with fixed data, without a display. Usage: tests/desk/screenshots.sh [OUTDIR]
set -euo pipefail
repo=$(cd "$(dirname "$(readlink -f "$0")")/../.." && pwd)
out=${1:-$repo/build/screenshots}
cd "$repo"
cmake --preset release > /dev/null
cmake --build --preset release --target desk_screenshots
exec build/release/bin/desk_screenshots "$out"
