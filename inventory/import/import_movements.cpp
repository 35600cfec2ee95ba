// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/import_session.h"
#include "inventory/job_end.h"
#include "inventory/ledger/count_loss.h"
#include "inventory/ledger/ledger_posting.h"
#include "inventory/ledger/line_context.h"
#include "inventory/ledger/order_rows.h"
#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

constexpr std::string_view movements_file = "movements.csv";
constexpr std::int64_t greatest_number = 1'000'000'000'000;

MovementLine readLine(ImportRow& row) {
    MovementLine line;
    line.kind = row.word("movement", parseMovementKind);
    line.part = row.filled("part");
    line.bin = row.filled("bin");
    line.condition = row.word("condition", parseCondition);
    line.quantity = row.whole("quantity", 0, 1'000'000'000);
    line.to_bin = row.text("to_bin");
    line.job = row.text("job");
    line.reason = row.text("reason");
    line.supplier = row.text("supplier");
    line.wanted_part = row.text("wanted_part");
    line.order_line = row.optionalWhole("order_line", 1, greatest_number);
    return line;
}

// What the file says of a waiting movement; its line in the file is column 0.
MovementLine waitingLine(const Query& row) {
    MovementLine line;
    line.kind = parseMovementKind(row.text(2));
    line.part = row.text(3);
    line.bin = row.text(4);
    line.condition = parseCondition(row.text(5));
    line.quantity = row.integer(6);
    line.to_bin = row.text(7);
    line.job = row.text(8);
    line.reason = row.text(9);
    line.supplier = row.text(10);
    line.wanted_part = row.text(11);
    line.order_line = row.optionalInteger(12);
    return line;
}

// The movement that was posted for the number by which the file calls it.
std::int64_t postedFor(ShopConnection& connection, std::int64_t number) {
    Query query(connection, "SELECT posted FROM import_movements WHERE number = ?1 AND posted IS NOT NULL",
                number);
    if (query.next()) return query.integer(0);
    throw FieldError("reverses", "no movement further up has the number " + std::to_string(number));
}

// Whose reservation a count shrinks is told to a person who counts; a file of past movements says itself what
// was released.
void refuseLoss(ShopConnection& connection, const MovementLine& line) {
    if (line.kind != MovementKind::count) return;
    const LotKey lot{partId(connection, line.part), binId(connection, line.bin),
                     conditionNumber(line.condition)};
    const std::vector<CountLoss> losses = lossesByCount(connection, lot, line.quantity);
    if (losses.empty()) return;
    throw FieldError("quantity",
                     "a count of " + std::to_string(line.quantity) + " of part " + inQuotes(line.part) +
                         " in bin " + inQuotes(line.bin) + " is less than is reserved there, also for job " +
                         inQuotes(losses.front().job_code) + ": release first, or post it as a count sheet");
}

void noteRefusal(ImportSession& session, std::int64_t line, std::string_view column,
                 const std::string& reason) {
    const auto place = session.headers[std::string(movements_file)].place(column);
    addProblem(session.report, {std::string(movements_file), line, place ? static_cast<int>(*place) + 1 : 0,
                                std::string(column), reason});
}

// Movements of one batch are posted together, those without a batch each by itself.
class BatchedPosting {
public:
    explicit BatchedPosting(ShopConnection& connection) : m_connection(connection) {}
    ~BatchedPosting() = default;
    BatchedPosting(const BatchedPosting&) = delete;
    BatchedPosting& operator=(const BatchedPosting&) = delete;

    LedgerPosting& forBatch(UtcTime utc, const std::string& batch) {
        if (m_posting && (batch.empty() || batch != m_batch || utc != m_utc)) finish();
        if (!m_posting) m_posting.emplace(m_connection, utc);
        m_batch = batch;
        m_utc = utc;
        return *m_posting;
    }
    void finish() {
        if (m_posting) m_posting->finish();
        m_posting.reset();
    }

private:
    ShopConnection& m_connection;
    std::optional<LedgerPosting> m_posting;
    std::string m_batch;
    UtcTime m_utc;
};

void postMovements(ImportSession& session) {
    ShopConnection& connection = session.shop.connection();
    BatchedPosting postings(connection);
    Query waiting(
        connection,
        "SELECT line, utc, kind, part, bin, condition, quantity, to_bin, job, reason, supplier, wanted_part, "
        "order_line, number, batch, reverses FROM import_movements ORDER BY number, utc, line");
    while (waiting.next()) {
        const std::int64_t line_number = waiting.integer(0);
        const MovementLine line = waitingLine(waiting);
        const std::optional<std::int64_t> reverses = waiting.optionalInteger(15);
        try {
            refuseLoss(connection, line);
            LedgerPosting& posting = postings.forBatch(waiting.utc(1), waiting.text(14));
            const std::int64_t posted = reverses
                                            ? posting.reverse(postedFor(connection, *reverses), line.reason)
                                            : posting.post(line);
            Query(connection, "UPDATE import_movements SET posted = ?2 WHERE line = ?1", line_number, posted)
                .run();
            ++session.report.movements;
        } catch (const FieldError& error) {
            noteRefusal(session, line_number, error.column(), error.what());
        } catch (const InputError& error) {
            noteRefusal(session, line_number, "quantity", error.what());
        }
    }
    postings.finish();
}

void giveEndings(ImportSession& session) {
    ShopConnection& connection = session.shop.connection();
    Query endings(connection, "SELECT what, code, ending, utc FROM import_endings ORDER BY what, line");
    while (endings.next()) {
        const std::string code = endings.text(1);
        if (endings.text(0) == "order") {
            closeOrder(connection, code);
            continue;
        }
        const JobStatus status = parseJobStatus(endings.text(2)); // each valve has a line of its own
        endValve(session.shop, code, status, "job " + std::string(jobStatusName(status)));
        std::optional<UtcTime> ended; // as the line has it: it did not end with this import
        if (!endings.isNull(3)) ended = endings.utc(3);
        Query(connection, "UPDATE jobs SET ended_utc = ?2 WHERE code = ?1", code, ended).run();
    }
    retireStaged(session);
}

} // namespace

void openStaging(ImportSession& session) {
    ShopConnection& connection = session.shop.connection();
    connection.execute(
        "CREATE TEMP TABLE import_movements (line INTEGER PRIMARY KEY, utc TEXT, kind TEXT, part TEXT, "
        "bin TEXT, condition TEXT, quantity INTEGER, to_bin TEXT, job TEXT, reason TEXT, supplier TEXT, "
        "wanted_part TEXT, order_line INTEGER, number INTEGER UNIQUE, batch TEXT, reverses INTEGER, "
        "posted INTEGER)");
    connection.execute(
        "CREATE TEMP TABLE import_endings (what TEXT, code TEXT, ending TEXT, line INTEGER, utc TEXT)");
    openMasterStaging(session);
}

void closeStaging(ImportSession& session) {
    session.shop.connection().execute("DROP TABLE import_movements");
    session.shop.connection().execute("DROP TABLE import_endings");
    closeMasterStaging(session);
}

void readMovement(ImportSession& session, ImportRow& row) {
    ShopConnection& connection = session.shop.connection();
    const UtcTime utc = row.utc("utc");
    const MovementLine line = readLine(row);
    const std::optional<std::int64_t> number = row.optionalWhole("number", 1, greatest_number);
    const std::optional<std::int64_t> reverses = row.optionalWhole("reverses", 1, greatest_number);
    if (!row.good()) return;
    if ((line.kind == MovementKind::reversal) != reverses.has_value()) {
        row.problem("reverses", "a reversal, and only a reversal, says here which number it undoes");
        return;
    }
    row.attempt([&] {
        if (!reverses) static_cast<void>(resolveLine(connection, line));
        if (number && Query(connection, "SELECT 1 FROM import_movements WHERE number = ?1", *number).next()) {
            throw FieldError("number",
                             "the number " + std::to_string(*number) + " is given to a movement further up");
        }
        Query(connection,
              "INSERT INTO import_movements (line, utc, kind, part, bin, condition, quantity, to_bin, "
              "job, reason, "
              "supplier, wanted_part, order_line, number, batch, reverses) "
              "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)",
              row.line(), utc, movementKindName(line.kind), line.part, line.bin,
              conditionName(line.condition), line.quantity, line.to_bin, line.job, line.reason, line.supplier,
              line.wanted_part, line.order_line, number, row.text("batch"), reverses)
            .run();
    });
}

void postStaged(ImportSession& session) {
    postMovements(session);
    if (session.report.good()) giveEndings(session);
}

} // namespace shimledger::inventory
