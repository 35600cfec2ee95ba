// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

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
    explicit FindWords(const QString& typed); ///< decimal commas and "24x0.1" are understood

    [[nodiscard]] bool isEmpty() const { return m_words.empty(); }
    [[nodiscard]] FindFit fit(const FindKey& key) const;

private:
    struct Word {
        QString text;
        bool figure = false;
        qint64 thousandths = -1; ///< below 0: still being typed ("12.")
    };
    [[nodiscard]] static int rankOf(const Word& word, const FindKey& key); ///< below 0: it is not in it

    std::vector<Word> m_words;
};

/// What is shown of all that was fitted: whole figures alone where there are any, else whatever fits.
[[nodiscard]] std::vector<bool> shownOf(const std::vector<FindFit>& fits);

} // namespace shimledger::desk
