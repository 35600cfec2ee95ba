#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the demo shop's CSV files in this folder, or proves them right. A developer's tool: the product
reads the committed CSVs and never runs this.

    python3 seed_catalog/generate.py            write the files again (same bytes for the same seed)
    python3 seed_catalog/generate.py --check    read the committed files back and prove every claim of the README

Plain Python 3 standard library; reads nothing but the two o_ring_sizes_*.csv lists beside it."""

import sys

sys.dont_write_bytecode = True  # no __pycache__ in a folder that is handed to the importer

from generator import check, shop, tables  # noqa: E402

SEED = 20261125

if __name__ == "__main__":
    if sys.argv[1:] == []:
        shop.write(tables.FOLDER, SEED)
    elif sys.argv[1:] == ["--check"]:
        sys.exit(check.main(SEED))
    else:
        sys.exit(__doc__)
