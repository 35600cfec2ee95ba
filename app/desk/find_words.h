// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/typed_length.h"
#endif

#include <QString>

#include <vector>

namespace shimledger::desk {

/// What can be typed to find something: its words, and the figures among them ("24.0" of "24.0 x 6.0 x 0.10",
/// "1002" of "JOB-1002"; not the "24" of the drawer A24).
class FindKey {
public:
    FindKey() = default;
    explicit FindKey(const QString& text);

    [[nodiscard]] bool isEmpty() const { return m_text.isEmpty(); }

private:
    friend class FindWords;
    struct Figure {
        qint64 thousandths = -1; ///< below 0: digits and points that are no number
        qsizetype begin = 0;
        qsizetype length = 0;
    };
    QString m_text; ///< in lower case
    std::vector<Figure> m_figures;
};

/// How well something fits what was typed; the lower the rank, the better.
struct FindFit {
    bool fits = false;
    bool whole_figures = false; ///< each number typed is a figure of it, not only the beginning of one
    int rank = 0; ///< of its worst word: 0 a whole word or figure, 1 its beginning, 2 its middle
};

/// What a person types to find something: words in any order, each of which must be in it. A bare number is a
/// figure or the beginning of one, so that "24 0.1" finds no disc because 24 of it are there or because it
/// lies in A24; where anything has the whole figure, what only begins with it is meant by nobody yet.
class FindWords {
public:
    FindWords() = default;
    /// Decimal commas, "24x0.1", "24 mm" and "0.006 in" are understood. A number in inches fits every size
    /// that is so many inches when it is rounded to the decimals that were typed. Where `bare` is inches,
    /// numbers with decimals are in inches; whole ones are as they stand, since codes and counts are such
    /// numbers.
    explicit FindWords(const QString& typed, services::SizeUnit bare = services::SizeUnit::millimetres);

    [[nodiscard]] bool isEmpty() const { return m_words.empty(); }
    [[nodiscard]] FindFit fit(const FindKey& key) const;

private:
    struct Word {
        QString text;
        bool figure = false;
        qint64 thousandths = -1; ///< below 0: still being typed ("12.")
        qint64 off = -1;         ///< in inches: it may be off by that much; else below 0
    };
    static Word inInches(const QString& number);
    [[nodiscard]] static int rankOf(const Word& word, const FindKey& key); ///< below 0: it is not in it

    std::vector<Word> m_words;
};

/// What is shown of all that was fitted: whole figures alone where there are any, else whatever fits.
[[nodiscard]] std::vector<bool> shownOf(const std::vector<FindFit>& fits);

} // namespace shimledger::desk
