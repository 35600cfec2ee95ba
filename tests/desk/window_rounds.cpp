// SPDX-License-Identifier: GPL-3.0-or-later
// usage: desk_window_rounds [SECONDS] [SEED]
// Eight programs on one shop file, of which two are windows (offscreen) and six are verbs that start one
// after another. All book, and all are killed by SIGKILL at random moments and started again. What a program
// had acknowledged (a verb by exit code 0, a window by what stands on its screen) must be there once and
// whole, what was refused must not be there, verify must hold, the reservations must add up, and no window's
// log may be deleted beneath it. Exit code 0 if so.
#include "desk_fixture.h"
#include "keys.h"

#include "app/desk/desk_actions.h"
#include "app/desk/drawers/drawers_page.h"
#include "app/desk/drawers/pieces_panel.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"
#include "tests/faults/shop_work.h"

#include <QApplication>
#include <QLineEdit>
#include <QPushButton>
#include <QTableView>

#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>

#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <set>
#include <sstream>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;
using Clock = std::chrono::steady_clock;

namespace {

/// One line to the one that counts: written whole or not at all, since it is far shorter than PIPE_BUF.
void tell(int pipe_end, const std::string& line) {
    if (::write(pipe_end, (line + "\n").c_str(), line.size() + 1) < 0) ::_exit(3);
}

/// The last batch that reserved for the job.
inventory::Acknowledged lastReservation(const inventory::ShopFile& shop, const std::string& job) {
    inventory::Acknowledged last;
    inventory::StockHistory(shop).forEach([&](const inventory::LedgerEntry& entry) {
        if (entry.kind != inventory::MovementKind::reserve || entry.job != job) return;
        last = {entry.batch, entry.batch == last.batch ? last.movements + 1 : 1};
    });
    return last;
}

/// A window at work: pieces booked in the panel beside the drawers, a job planned and reserved by its keys.
class WindowAtWork {
public:
    WindowAtWork(const QString& shop, std::string job, std::string name, int pipe_end)
        : m_shop(shop), m_job(std::move(job)), m_name(std::move(name)), m_pipe(pipe_end) {
        if (!QTest::qWaitForWindowActive(&m_test.window)) ::_exit(4);
        m_test.window.openShop(shop);
        await("its shop", [&] { return m_test.window.shopShown(); });
        tell(m_pipe, "ready");
    }

    void work() {
        for (int entry = 0;; ++entry) {
            if (entry % 12 == 5) {
                planAndReserve();
            } else {
                bookPieces(entry);
            }
        }
    }

private:
    /// Waits for what a person would see; a window whose shop changes all the time is never at rest.
    void await(const char* what, const std::function<bool()>& seen) {
        if (settle(seen)) return;
        tell(m_pipe, std::string("WRONG the window did not show ") + what);
        ::_exit(5);
    }

    void bookPieces(int entry) {
        press(m_test.window, Qt::Key_M, Qt::ControlModifier | Qt::ShiftModifier);
        await("its drawers", [&] { return m_test.window.drawers().table()->model()->rowCount() > 0; });
        PiecesPanel& panel = m_test.window.drawers().pieces();
        const std::string reason = m_name + "-" + std::to_string(entry);
        const bool in = entry % 2 == 0;
        setValues(panel.fields(), {{QStringLiteral("what"), in ? QStringLiteral("came in without an order")
                                                               : QStringLiteral("thrown away")},
                                   {QStringLiteral("part"), QStringLiteral("SH-24.0-6-0.10")},
                                   {QStringLiteral("bin"), QStringLiteral("A01")},
                                   {QStringLiteral("quantity"), 1},
                                   {QStringLiteral("reason"), QString::fromStdString(reason)}});
        m_test.window.drawers().strip()->clear();
        QTest::mouseClick(panel.bookButton(), Qt::LeftButton);
        await("what became of the entry", [&] {
            return !panel.remark().isEmpty() || !m_test.window.drawers().strip()->sentence().isEmpty();
        });
        const bool done =
            panel.remark().isEmpty() && m_test.window.drawers().strip()->kind() == MessageStrip::Kind::done;
        tell(m_pipe,
             (done ? "done " : "refused ") + reason + (done ? "" : " " + panel.remark().toStdString()));
    }

    void planAndReserve() {
        m_test.window.jobs().pickJob(m_job);
        press(m_test.window, Qt::Key_F5);
        await("proposals", [&] { return m_test.window.actions()[ActionId::reserve_proposal]->isEnabled(); });
        m_test.window.jobs().strip()->clear();
        press(m_test.window, Qt::Key_F6);
        await("what became of the plan", [&] { return !m_test.window.jobs().strip()->sentence().isEmpty(); });
        inventory::ShopFile& shop = m_test.window.session().shop();
        if (m_test.window.jobs().strip()->kind() == MessageStrip::Kind::done &&
            !inventory::StockLedger(shop).reservationsOf(m_job).empty()) {
            const inventory::Acknowledged batch = lastReservation(shop, m_job);
            tell(m_pipe, "batch " + std::to_string(batch.batch) + " " + std::to_string(batch.movements));
        }
        inventory::StockLedger(shop).releaseAll(m_job, "rounds");
        m_test.window.session().announceChange();
    }

    QString m_shop;
    std::string m_job;
    std::string m_name;
    int m_pipe;
    TestWindow m_test;
};

/// One of the eight: a process, and what it is about.
struct Program {
    pid_t process = 0;
    int pipe_end = -1;
    bool window = false;
    bool ready = false;
    std::string reason;     ///< of a verb that books
    std::string unread;     ///< half a line
    Clock::time_point dies; ///< when it is killed, if it still runs
    Clock::time_point started;
};

struct Tally {
    std::map<std::string, char> told; ///< by reason: 'd'one, 'r'efused, '?' killed before it said
    std::vector<inventory::Acknowledged> batches;
    std::vector<std::string> wrong;
    int windows = 0;
    int verbs = 0;
    int killed_windows = 0;
    int killed_verbs = 0;
    double longest_verb_seconds = 0;
};

class Rounds {
public:
    Rounds(std::string self, std::string shop, std::uint64_t seed)
        : m_self(std::move(self)), m_shop(std::move(shop)), m_random(seed) {}

    Tally run(double seconds) {
        const auto end = Clock::now() + std::chrono::duration<double>(seconds);
        std::array<Program, 8> programs;
        programs[0].window = programs[1].window = true;
        for (std::size_t i = 0; i < programs.size(); ++i) start(programs[i], i);
        for (int look = 0; Clock::now() < end; ++look) {
            ::usleep(2'000);
            for (std::size_t i = 0; i < programs.size(); ++i) step(programs[i], i, look % 100 == 0);
        }
        for (Program& program : programs) {
            ::kill(program.process, SIGKILL);
            finish(program, true);
        }
        return m_tally;
    }

private:
    void step(Program& program, std::size_t place, bool look_at_log) {
        readLines(program);
        int status = 0;
        if (::waitpid(program.process, &status, WNOHANG) == program.process) {
            ended(program, status);
            start(program, place);
        } else if (Clock::now() > program.dies) {
            ::kill(program.process, SIGKILL);
            ++(program.window ? m_tally.killed_windows : m_tally.killed_verbs);
            finish(program, true);
            start(program, place);
        } else if (program.window && look_at_log) {
            lookAtLog(program);
        }
    }

    void start(Program& program, std::size_t place) {
        int ends[2];
        if (::pipe2(ends, O_CLOEXEC) != 0) std::abort();
        program.pipe_end = ends[0];
        ::fcntl(ends[0], F_SETFL, O_NONBLOCK);
        program.started = Clock::now();
        program.ready = false;
        program.unread.clear();
        std::vector<std::string> words;
        if (program.window) {
            ++m_tally.windows;
            const std::string name = "w" + std::to_string(place) + "-" + std::to_string(m_tally.windows);
            words = {m_self, "--window", m_shop, place == 0 ? "JOB-1002" : "JOB-1004", name, "1"};
            program.dies = program.started + std::chrono::milliseconds(5'000 + draw(20'000));
        } else {
            ++m_tally.verbs;
            const bool books = draw(8) > 2;
            program.reason =
                (books ? "v" : "look") + std::to_string(place) + "-" + std::to_string(m_tally.verbs);
            words = books ? bookingVerb(program.reason) : lookingVerb(program.reason);
            program.dies = program.started + std::chrono::milliseconds(draw(3) == 0 ? draw(300) : 60'000);
        }
        program.process = ::fork();
        if (program.process == 0) {
            ::dup2(ends[1], 1);
            // What Qt says of its platform is nobody's entry.
            ::dup2(program.window ? ::open("/dev/null", O_WRONLY) : ends[1], 2);
            std::vector<char*> arguments;
            for (std::string& word : words) arguments.push_back(word.data());
            arguments.push_back(nullptr);
            ::execv(arguments[0], arguments.data());
            ::_exit(9);
        }
        ::close(ends[1]);
    }

    [[nodiscard]] std::vector<std::string> lookingVerb(const std::string& name) {
        switch (draw(3)) {
        case 0:
            return {SHIMLEDGER_COMMAND, "job", "list", "--db", m_shop};
        case 1:
            return {SHIMLEDGER_COMMAND, "backup", "--db", m_shop, "--out", m_shop + ".copy-" + name};
        default:
            return {SHIMLEDGER_COMMAND, "history", "bin", draw(2) == 0 ? "A01" : "A02", "--db", m_shop};
        }
    }

    [[nodiscard]] std::vector<std::string> bookingVerb(const std::string& reason) {
        const int what = draw(5);
        std::vector<std::string> words{SHIMLEDGER_COMMAND,
                                       "stock",
                                       what < 2   ? "receive"
                                       : what < 4 ? "scrap"
                                                  : "move",
                                       "--db",
                                       m_shop,
                                       "--part",
                                       "SH-24.0-6-0.10",
                                       "--bin",
                                       "A01",
                                       "--quantity",
                                       "1",
                                       "--reason",
                                       reason};
        if (what == 4) words.insert(words.end(), {"--to", "A02"});
        return words;
    }

    void readLines(Program& program) {
        char text[4096];
        for (ssize_t size; (size = ::read(program.pipe_end, text, sizeof text)) > 0;)
            program.unread.append(text, static_cast<std::size_t>(size));
        if (!program.window) return;
        for (std::size_t end; (end = program.unread.find('\n')) != std::string::npos;) {
            std::istringstream line(program.unread.substr(0, end));
            program.unread.erase(0, end + 1);
            std::string word;
            std::string reason;
            line >> word;
            if (word == "ready") {
                program.ready = true;
            } else if (word == "batch") {
                inventory::Acknowledged batch;
                line >> batch.batch >> batch.movements;
                m_tally.batches.push_back(batch);
            } else if (word == "done" || word == "refused") {
                line >> reason;
                m_tally.told[reason] = word[0];
                if (word == "refused") std::printf("window: %s\n", line.str().c_str());
            } else {
                m_tally.wrong.push_back("a window says: " + line.str());
            }
        }
    }

    /// The process has ended or is killed: what it said is read to its end.
    void finish(Program& program, bool killed) {
        if (killed) ::waitpid(program.process, nullptr, 0);
        readLines(program);
        ::close(program.pipe_end);
        if (killed && !program.window) m_tally.told[program.reason] = '?';
    }

    void ended(Program& program, int status) {
        finish(program, false);
        const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
        if (program.window) {
            m_tally.wrong.push_back("a window ended by itself with " + std::to_string(code));
            return;
        }
        m_tally.longest_verb_seconds =
            std::max(m_tally.longest_verb_seconds,
                     std::chrono::duration<double>(Clock::now() - program.started).count());
        m_tally.told[program.reason] = code == 0 ? 'd' : 'r';
        // Nothing else than empty drawers may refuse one of these.
        if (code != 0 && (code != 2 || program.unread.find("available") == std::string::npos))
            m_tally.wrong.push_back("a verb ended with " + std::to_string(code) + ": " + program.unread);
    }

    void lookAtLog(const Program& program) {
        std::error_code gone;
        for (const auto& open :
             std::filesystem::directory_iterator("/proc/" + std::to_string(program.process) + "/fd", gone)) {
            const std::string file = std::filesystem::read_symlink(open.path(), gone).string();
            if (file.rfind(m_shop, 0) == 0 && file.find("(deleted)") != std::string::npos)
                m_tally.wrong.push_back("deleted beneath a window: " + file);
        }
    }

    int draw(int bound) { return static_cast<int>(m_random() % static_cast<std::uint64_t>(bound)); }

    std::string m_self;
    std::string m_shop;
    std::mt19937_64 m_random;
    Tally m_tally;
};

/// Adds what the file says otherwise than the programs had been told.
void compare(const std::filesystem::path& path, Tally& tally) {
    const inventory::ShopFile shop = inventory::ShopFile::open(path);
    for (const std::string& sentence :
         inventory::whatIsWrong(shop, tally.batches, inventory::VerifyDepth::everything))
        tally.wrong.push_back(sentence);
    // An entry of two rows (a move) has one batch.
    std::map<std::string, std::set<std::int64_t>> there;
    inventory::StockHistory(shop).forEach(
        [&](const inventory::LedgerEntry& entry) { there[entry.reason].insert(entry.batch); });
    for (const auto& [reason, how] : tally.told) {
        const std::size_t times = there.count(reason) > 0 ? there.at(reason).size() : 0;
        if (how == 'd' && reason[0] != 'l' && times == 0)
            tally.wrong.push_back(reason + " was acknowledged and is lost");
        if (how == 'r' && times > 0) tally.wrong.push_back(reason + " was refused and is there");
        if (times > 1) tally.wrong.push_back(reason + " is there more than once");
    }
}

} // namespace

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen"); // no display is needed, and none is used
    QLocale::setDefault(QLocale::c());
    const QApplication application(argc, argv);
    if (argc > 5 && std::string(argv[1]) == "--window") {
        WindowAtWork(QString::fromLocal8Bit(argv[2]), argv[3], argv[4], std::atoi(argv[5])).work();
    }
    const double seconds = argc > 1 ? std::atof(argv[1]) : 60;
    const std::uint64_t seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : std::random_device{}();
    std::printf("%.0f s, seed %llu\n", seconds, static_cast<unsigned long long>(seed));
    const DemoShopCopy copy;
    const std::string path = copy.path().toStdString();
    std::int64_t before = 0;
    {
        const inventory::ShopFile shop = inventory::ShopFile::open(path);
        before = inventory::verifyStock(shop, inventory::VerifyDepth::ledger).movements;
    }
    Tally tally = Rounds(std::filesystem::read_symlink("/proc/self/exe").string(), path, seed).run(seconds);
    compare(path, tally);
    std::map<std::string, int> counts;
    for (const auto& [reason, how] : tally.told) ++counts[std::string(1, reason[0]) + how];
    const inventory::ShopFile shop = inventory::ShopFile::open(path);
    std::printf("%d windows (%d killed; %d entries acknowledged, %zu reservations, %d refused), %d verbs (%d "
                "killed, %d "
                "done, %d refused, longest %.2f s), %lld movements more\n",
                tally.windows, tally.killed_windows, counts["wd"], tally.batches.size(), counts["wr"],
                tally.verbs, tally.killed_verbs, counts["vd"] + counts["ld"], counts["vr"] + counts["lr"],
                tally.longest_verb_seconds,
                static_cast<long long>(inventory::verifyStock(shop).movements - before));
    constexpr std::size_t most_told = 20;
    if (tally.wrong.size() > most_told) tally.wrong.resize(most_told);
    for (const std::string& sentence : tally.wrong) std::printf("WRONG: %s\n", sentence.c_str());
    return tally.wrong.empty() ? 0 : 1;
}
