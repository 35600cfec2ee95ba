// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::planner {

/// Sum of a[i] b[i]. Four sums side by side: one would wait for each addition.
[[nodiscard]] inline double dotProduct(const double* a, const double* b, int count) {
    double s0 = 0, s1 = 0, s2 = 0, s3 = 0;
    int k = 0;
    for (; k + 4 <= count; k += 4) {
        s0 += a[k] * b[k];
        s1 += a[k + 1] * b[k + 1];
        s2 += a[k + 2] * b[k + 2];
        s3 += a[k + 3] * b[k + 3];
    }
    for (; k < count; ++k) s0 += a[k] * b[k];
    return (s0 + s1) + (s2 + s3);
}

} // namespace shimledger::planner
