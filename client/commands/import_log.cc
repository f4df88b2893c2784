// rundlet import log: an old log from CSV, each line a command, all of them or none.
#include <algorithm>
#include <map>
#include <optional>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/base/file.h"
#include "client/cellar/closed_book.h"
#include "client/cli/auto_sync.h"
#include "client/cli/change.h"
#include "client/cli/period_gate.h"
#include "client/cli/planner.h"
#include "client/cli/progress.h"
#include "client/commands/commands.h"
#include "client/commands/import_mapping.h"
#include "client/store/file_lock.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kWriterPatience = absl::Seconds(10);
constexpr size_t kErrorsShown = 40;

// A line of the file that is to become entries.
struct LogRecord {
  int64_t line = 0;
  When when;
  std::vector<std::string> words;
  std::string key;  // what its entries' ids are made of
};

// The id of an entry that a line became: the same for the same line of the same cellar, so that a
// file that is imported again, or in a longer version, adds nothing twice. `part`: 0 is what the
// line is about, others are things that it registers.
Uuid IdFor(const LogRecord& line, size_t part, Sha256& sha) {
  sha.Update(absl::StrCat("rundlet import log\n", part, "\n", line.key));
  const Hash hash = sha.Finish();
  std::array<uint8_t, 10> random;
  std::copy_n(hash.begin(), random.size(), random.begin());
  return Uuid::Version7(std::max<int64_t>(0, line.when.at_us / 1000), random);
}

// Lines as commands, in the order in which things happened, one after the other into a book of what
// happened until then.
class LogImport {
 public:
  LogImport(Session& session, Cellar& cellar, Cellar& past)
      : session_(session), cellar_(cellar), past_(past) {}

  absl::Status Read(absl::string_view csv, LogMapping& mapping);
  absl::Status Make();
  absl::Status CheckHeld();
  absl::Status Save() { return cellar_.store.Append(written_, before_); }

  size_t entries() const { return written_.size(); }
  size_t lines() const { return lines_.size(); }
  size_t known() const { return known_; }
  size_t skipped() const { return skipped_; }

 private:
  void Fault(int64_t line, absl::string_view what) {
    faults_.push_back(absl::StrCat("line ", line, ": ", what));
  }
  absl::Status Faults() const;
  absl::Status CatchUp(int64_t until_us);
  absl::Status BeginPast();
  absl::Status MakeLine(const LogRecord& line);

  Session& session_;
  Cellar& cellar_;       // the whole book
  Cellar& past_;         // what happened until the line that is being made
  size_t position_ = 0;  // of the book's order, up to which `past_` has it
  std::vector<LogRecord> lines_;
  std::vector<WrittenEntry> written_;
  std::vector<int64_t> line_of_;  // by written entry
  std::vector<std::string> faults_;
  ChainHead before_, head_;
  closing::Periods periods_;
  size_t known_ = 0;
  size_t skipped_ = 0;
  Sha256 sha_;
};

absl::Status LogImport::Faults() const {
  if (faults_.empty()) return absl::OkStatus();
  const size_t shown = std::min(faults_.size(), kErrorsShown);
  std::string text =
      absl::StrJoin(faults_.begin(), faults_.begin() + static_cast<ptrdiff_t>(shown), "\n");
  if (shown < faults_.size()) absl::StrAppend(&text, "\n... and ", faults_.size() - shown, " more");
  return absl::InvalidArgumentError(absl::StrCat(text, "\nNothing was taken"));
}

absl::Status LogImport::Read(absl::string_view csv, LogMapping& mapping) {
  const auto records = reports::ReadCsv(csv, mapping.separator());
  if (!records.ok()) return records.status();
  if (records->empty()) return Usage("the file is empty: its first line must name the columns");
  const size_t columns = records->front().fields.size();
  if (absl::Status status = mapping.Bind(records->front().fields); !status.ok()) return status;
  std::map<std::string, int64_t> times;  // lines that say the same are told apart by their count
  for (const reports::CsvRecord& record : absl::MakeConstSpan(*records).subspan(1)) {
    if (record.fields.size() != columns) {
      Fault(record.line,
            absl::StrCat("it has ", record.fields.size(), " fields, the first line ", columns));
      continue;
    }
    const auto said = mapping.Apply(record.fields);
    if (!said.ok()) {
      Fault(record.line, said.status().message());
      continue;
    }
    if (said->words.empty()) {
      ++skipped_;
      continue;
    }
    const auto when = ParseWhen(said->when, session_.env.Now(), session_.env.zone);
    if (!when.ok()) {
      Fault(record.line, absl::IsInvalidArgument(when.status())
                             ? absl::StrCat("'", said->when,
                                            "' is no day that can be read: write 2025-12-31, or "
                                            "say 'day-order: dmy' or 'mdy' in the mapping")
                             : std::string(when.status().message()));
      continue;
    }
    std::string key = absl::StrCat(cellar_.store.device().cellar_id.ToString(), "\n",
                                   reports::CsvLine(record.fields));
    const int64_t nth = ++times[key];
    absl::StrAppend(&key, nth);
    lines_.push_back({record.line, *when, said->words, std::move(key)});
  }
  std::stable_sort(lines_.begin(), lines_.end(), [](const LogRecord& a, const LogRecord& b) {
    return a.when.at_us < b.when.at_us;
  });
  return Faults();
}

// Things are known from the beginning of time.
absl::Status LogImport::BeginPast() {
  const Sequence& order = cellar_.fold->sequence();
  for (size_t position = 0; position < order.size(); ++position) {
    const Row& row = order.row(order.at(position));
    if (row.kind != ActKind::kDirectory || row.standing != Row::Standing::kCounts) continue;
    const auto entry = EntryOfRow(cellar_, order.at(position));
    if (!entry.ok()) return entry.status();
    past_.fold->Insert(*entry);
  }
  past_.fold->Settle();
  return absl::OkStatus();
}

absl::Status LogImport::CatchUp(int64_t until_us) {
  const Sequence& order = cellar_.fold->sequence();
  for (; position_ < order.size(); ++position_) {
    const Row& row = order.row(order.at(position_));
    if (row.effective_at_us > until_us) break;
    if (row.kind == ActKind::kDirectory || row.standing != Row::Standing::kCounts) continue;
    const auto entry = EntryOfRow(cellar_, order.at(position_));
    if (!entry.ok()) return entry.status();
    past_.fold->Insert(*entry);
  }
  past_.fold->Settle();
  return absl::OkStatus();
}

absl::Status LogImport::MakeLine(const LogRecord& line) {
  auto command = ParseCommand(line.words);
  if (absl::IsCancelled(command.status())) return Usage("this asks for help");
  if (!command.ok()) return command.status();
  auto* const change_command = dynamic_cast<ChangeCommand*>(command->get());
  if (change_command == nullptr)
    return Usage(absl::StrCat("'", line.words[0], "' writes no entry that a log could hold"));
  const ChangeOptions& options = change_command->options();
  if (!options.at.empty() || options.dry_run || options.json)
    return Usage("--at, --dry-run and --json have no place in a mapping: 'day' says when");
  if (absl::Status status = CatchUp(line.when.at_us); !status.ok()) return status;

  Change change;
  Planner planner(past_, Moment::Latest(past_), line.when, session_.env);
  if (absl::Status status = change_command->Make(planner, change); !status.ok()) return status;
  if (!change.entries.empty() &&
      (change.entries.back().has_period_closed() || change.entries.back().has_period_reopened()))
    return Usage("an old log closes and reopens no period");
  for (const std::string& warning : change.warnings)
    session_.err() << "note: line " << line.line << ": " << warning << "\n";
  for (size_t i = 0; i < change.entries.size(); ++i) {
    v1::Entry& entry = change.entries[i];
    entry.set_effective_at_us(line.when.at_us);
    entry.set_utc_offset_min(line.when.utc_offset_min);
    entry.set_written_at_us(session_.env.Now().at_us);
    if (i + 1 == change.entries.size() && !options.note.empty()) entry.set_note(options.note);
    if (absl::Status status = CheckPeriods(cellar_, periods_, entry); !status.ok()) return status;
    auto written = WriteEntry(cellar_.store.device().writer(),
                              IdFor(line, change.entries.size() - 1 - i, sha_), entry, head_);
    if (!written.ok()) return written.status();
    past_.fold->Insert(written->entry);
    written_.push_back(*std::move(written));
    line_of_.push_back(line.line);
  }
  past_.fold->Settle();
  return absl::OkStatus();
}

absl::Status LogImport::Make() {
  const auto head = cellar_.store.Head();
  if (!head.ok()) return head.status();
  before_ = head_ = *head;
  auto periods = PeriodsOf(cellar_);
  if (!periods.ok()) return periods.status();
  periods_ = *std::move(periods);
  if (absl::Status status = BeginPast(); !status.ok()) return status;
  Progress progress(session_.env, static_cast<int64_t>(lines_.size()), "read", "lines");
  for (const LogRecord& line : lines_) {
    progress.Step();
    const auto stored = cellar_.store.Find(IdFor(line, 0, sha_));
    if (stored.ok()) {
      ++known_;
      continue;
    }
    if (!absl::IsNotFound(stored.status())) return stored.status();
    if (absl::Status status = MakeLine(line); !status.ok()) Fault(line.line, status.message());
  }
  return Faults();
}

absl::Status LogImport::CheckHeld() {
  Fold& fold = *cellar_.fold;
  for (const WrittenEntry& written : written_) fold.Insert(written.entry);
  fold.Settle();
  for (size_t i = 0; i < written_.size(); ++i) {
    const RowId row = fold.sequence().Find(*Uuid::FromBytes(written_[i].entry.entry_id()));
    const Held* held = fold.HeldAt(fold.sequence().PositionOf(row));
    if (held != nullptr)
      Fault(line_of_[i], absl::StrCat("would be held: ", HeldEvidence(fold, *held)));
  }
  return Faults();
}

class ImportLog : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("file", file_, "the old log, in CSV (RFC 4180), columns named in its first line")
        ->type_name("FILE")
        ->required();
    app.add_option("--mapping", mapping_, "how its columns become commands: see docs/import.md")
        ->type_name("FILE")
        ->required();
    app.add_flag("--dry-run", dry_run_, "say what would be taken, save nothing");
    app.add_flag("--even-held", even_held_,
                 "also lines that do not fit: they are kept without effect until somebody amends");
  }

  absl::Status Run(Session& session) override {
    const auto text = ReadFile(mapping_);
    if (!text.ok()) return text.status();
    auto mapping = LogMapping::Read(*text);
    if (!mapping.ok()) return mapping.status();
    const auto csv = ReadFile(file_);
    if (!csv.ok()) return csv.status();
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    std::optional<FileLock> lock;
    if (FileExists(home->database())) {
      auto taken =
          FileLock::Acquire(home->writer_lock(), kWriterPatience,
                            "another rundlet is writing on this device: try again when it is done");
      if (!taken.ok()) return taken.status();
      lock = *std::move(taken);
    }
    if (absl::Status status = Take(session, *home, *csv, *mapping); !status.ok()) return status;
    lock.reset();
    if (!dry_run_) AutoSync(session, *home);
    return absl::OkStatus();
  }

 private:
  absl::Status Take(Session& session, const StoreHome& home, const std::string& csv,
                    LogMapping& mapping) const {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    auto store = Store::Open(home);
    if (!store.ok()) return store.status();
    Cellar past{
        .store = *std::move(store), .snapshot = {}, .fold = std::make_unique<Fold>(), .damage = {}};
    LogImport import(session, *cellar, past);
    if (absl::Status status = import.Read(csv, mapping); !status.ok()) return status;
    if (absl::Status status = import.Make(); !status.ok()) return status;
    if (!even_held_) {
      if (absl::Status status = import.CheckHeld(); !status.ok()) return status;
    }
    if (!dry_run_ && import.entries() > 0) {
      if (absl::Status status = import.Save(); !status.ok()) return status;
    }
    session.out() << (dry_run_ ? "would take " : "took ") << import.lines() - import.known()
                  << " lines as " << import.entries() << " entries";
    if (import.known() > 0) session.out() << "; " << import.known() << " were here already";
    if (import.skipped() > 0) session.out() << "; " << import.skipped() << " were to be skipped";
    session.out() << "\n";
    return absl::OkStatus();
  }

  std::string file_, mapping_;
  bool dry_run_ = false;
  bool even_held_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeImportLog() { return std::make_unique<ImportLog>(); }

}  // namespace rundlet::client
