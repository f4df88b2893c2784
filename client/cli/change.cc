#include "client/cli/change.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/base/file.h"
#include "client/cellar/stamp.h"
#include "client/cli/amend_target.h"
#include "client/cli/auto_sync.h"
#include "client/cli/clock_note.h"
#include "client/cli/effects.h"
#include "client/cli/may.h"
#include "client/cli/period_gate.h"
#include "client/cli/rule_gate.h"
#include "client/store/file_lock.h"
#include "core/counts/differences.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kWriterPatience = absl::Seconds(10);

// One change on its way into the book.
class ChangeRun {
 public:
  ChangeRun(Session& session, const ChangeOptions& options, Cellar& cellar)
      : session_(session),
        options_(options),
        cellar_(cellar),
        now_(session.env.Now()),
        when_(now_) {}

  absl::Status Prepare(const AmendWords* amend,
                       absl::FunctionRef<absl::Status(Planner&, Change&)> make);
  absl::Status TryOut();
  bool stopped() const { return AnyStop(findings_) && options_.anyway.empty(); }
  absl::Status Stop() const;
  void Announce() const;
  absl::Status Save();
  void Conclude() const;

 private:
  absl::Status ReadTime();
  absl::StatusOr<Moment> MomentOfChange();
  void Stamp();
  absl::Status WriteDrafts();
  absl::Status KeepReason();
  void TellNewDifferences(const std::vector<counts::Difference>& before);
  std::string ShortIdOfMain() const { return ShortId(MainId()); }
  Uuid MainId() const { return *Uuid::FromBytes(written_.back().entry.entry_id()); }

  Session& session_;
  const ChangeOptions& options_;
  Cellar& cellar_;
  const When now_;
  When when_;
  bool time_given_ = false;
  std::optional<AmendTarget> amends_;
  Change change_;
  ChainHead before_;
  std::vector<WrittenEntry> written_;
  Effects effects_;
  std::vector<Uuid> ids_;                 // of the entries, in order
  std::vector<rules::Finding> findings_;  // that the change newly causes
};

absl::Status ChangeRun::ReadTime() {
  if (amends_.has_value()) {
    when_ = amends_->when;
    time_given_ = true;
  }
  if (options_.at.empty()) return absl::OkStatus();
  const auto when = ParseWhen(options_.at, now_, session_.env.zone);
  if (!when.ok())
    return absl::InvalidArgumentError(absl::StrCat("--at: ", when.status().message()));
  when_ = *when;
  time_given_ = true;
  return absl::OkStatus();
}

absl::StatusOr<Moment> ChangeRun::MomentOfChange() {
  if (!time_given_) return Moment::Latest(cellar_);
  const Sequence& order = cellar_.fold->sequence();
  const Uuid without = amends_.has_value() ? amends_->id : Uuid();
  if (amends_.has_value() && options_.at.empty()) {
    if (const RowId old = order.Find(amends_->id); old != kNone) {
      return Moment::Before(cellar_, order.PositionOf(old), without);
    }
  }
  return Moment::Before(cellar_, order.PositionOfTime(when_.at_us + 1), without);
}

void ChangeRun::Stamp() {
  if (!time_given_) when_.at_us = TimeForNow(*cellar_.fold, change_.entries, now_.at_us);
  if (std::string note = ClockNote(cellar_, now_, time_given_ ? now_ : when_); !note.empty())
    change_.warnings.push_back(std::move(note));
  for (v1::Entry& entry : change_.entries) {
    entry.set_effective_at_us(when_.at_us);
    entry.set_utc_offset_min(when_.utc_offset_min);
    entry.set_written_at_us(now_.at_us);
  }
  v1::Entry& main = change_.entries.back();
  if (!options_.note.empty()) main.set_note(options_.note);
  if (amends_.has_value()) {
    *main.mutable_amendment() = amends_->amendment;
    if (main.note().empty()) main.set_note(amends_->note);
  }
}

absl::Status ChangeRun::Prepare(const AmendWords* amend,
                                absl::FunctionRef<absl::Status(Planner&, Change&)> make) {
  if (amend != nullptr) {
    auto target = FindAmendTarget(cellar_, *amend);
    if (!target.ok()) return target.status();
    amends_ = *std::move(target);
  }
  if (absl::Status status = ReadTime(); !status.ok()) return status;
  auto moment = MomentOfChange();
  if (!moment.ok()) return moment.status();
  Planner planner(cellar_, *std::move(moment), when_, session_.env);
  if (absl::Status status = make(planner, change_); !status.ok()) return status;
  Stamp();
  return CheckMayWrite(cellar_, change_.entries);
}

absl::Status ChangeRun::WriteDrafts() {
  ChainHead next = before_;
  const Writer writer = cellar_.store.device().writer();
  written_.clear();
  for (size_t i = 0; i < change_.entries.size(); ++i) {
    auto written = WriteEntry(writer, ids_[i], change_.entries[i], next);
    if (!written.ok()) return written.status();
    written_.push_back(*std::move(written));
  }
  return absl::OkStatus();
}

// Writes the reason into the entries that break the rules, or else into the main one. What the book
// makes of them stays the same by it.
absl::Status ChangeRun::KeepReason() {
  for (const rules::Finding& finding : findings_) {
    if (finding.severity == rules::v1::SEVERITY_NOTE) continue;
    const auto cause =
        std::find(ids_.begin(), ids_.end(), cellar_.fold->sequence().row(finding.entry).id);
    const size_t at =
        cause == ids_.end() ? ids_.size() - 1 : static_cast<size_t>(cause - ids_.begin());
    v1::Anyway& anyway = *change_.entries[at].mutable_anyway();
    anyway.set_reason(options_.anyway);
    const auto& ids = anyway.rule_ids();
    if (std::find(ids.begin(), ids.end(), finding.rule_id) == ids.end())
      anyway.add_rule_ids(finding.rule_id);
  }
  return WriteDrafts();
}

absl::Status ChangeRun::TryOut() {
  if (absl::Status status = CheckPeriods(cellar_, change_.entries); !status.ok()) return status;
  const auto head = cellar_.store.Head();
  if (!head.ok()) return head.status();
  before_ = *head;
  for (size_t i = 0; i < change_.entries.size(); ++i) ids_.push_back(session_.env.NewId());
  if (absl::Status status = WriteDrafts(); !status.ok()) return status;
  Fold& fold = *cellar_.fold;
  const Glance before = Glance::Of(fold);
  // Looking for them costs the whole book, so only what reaches back pays for it.
  const bool reaches_back = time_given_ || change_.entries.back().has_void_();
  std::vector<counts::Difference> agreed_not;
  if (reaches_back) agreed_not = counts::OpenDifferences(fold);
  const RuleGate gate(fold, change_.entries, now_.at_us);
  for (const WrittenEntry& entry : written_) fold.Insert(entry.entry);
  fold.Settle();
  effects_ =
      WorkOutEffects(fold, before, written_, [&](RowId row) { return EntryOfRow(cellar_, row); });
  std::vector<RowId> rows;
  for (const Uuid& id : ids_) rows.push_back(fold.sequence().Find(id));
  std::vector<Handle> vessels;
  for (const Glance::Difference& difference : effects_.differences) {
    if (difference.vessel != kNoHandle) vessels.push_back(difference.vessel);
  }
  findings_ = gate.NewIn(fold, change_.entries, rows, vessels);
  if (!options_.anyway.empty()) {
    if (absl::Status status = KeepReason(); !status.ok()) return status;
  }
  effects_.warnings.insert(effects_.warnings.begin(), change_.warnings.begin(),
                           change_.warnings.end());
  if (reaches_back) TellNewDifferences(agreed_not);
  return absl::OkStatus();
}

// A change further back can put an earlier count at odds with the book.
void ChangeRun::TellNewDifferences(const std::vector<counts::Difference>& before) {
  const Fold& fold = *cellar_.fold;
  for (const counts::Difference& now : counts::OpenDifferences(fold)) {
    const bool own =
        std::find(ids_.begin(), ids_.end(), fold.sequence().row(now.row).id) != ids_.end();
    const bool was = std::any_of(before.begin(), before.end(), [&](const auto& then) {
      return then.row == now.row && then.commodity == now.commodity && then.off() == now.off();
    });
    if (own || was) continue;
    effects_.warnings.push_back(
        absl::StrCat("the count of ", NameOf(fold, now.place),
                     " no longer agrees with the book: ", counts::WhatText(fold, now), ", ",
                     counts::OffText(fold, now), "; see: rundlet differences"));
  }
}

void ChangeRun::Announce() const {
  if (options_.json) return;
  for (const std::string& warning : effects_.warnings)
    session_.err() << "note: " << warning << "\n";
  PrintFindings(findings_, session_.err());
  for (const std::string& caution : change_.cautions)
    session_.err() << "caution: " << caution << "\n";
  session_.err().flush();
  if (!effects_.held.empty()) {
    session_.out() << (options_.dry_run || stopped()
                           ? absl::StrCat("would be held, without effect: ", effects_.held_evidence)
                           : absl::StrCat("held, without effect so far: ", effects_.held))
                   << "\n";
  }
  // What is only tried out must not read as done.
  const absl::string_view mood = options_.dry_run || stopped() ? "would save: " : "";
  session_.out() << mood;
  if (amends_.has_value()) session_.out() << "instead of " << ShortId(amends_->id) << ": ";
  session_.out() << absl::StrReplaceAll(effects_.summary, {{"\n", absl::StrCat("\n", mood)}});
  if (time_given_) session_.out() << ", on " << FormatWhen(when_);
  session_.out() << "\n";
  PrintEffects(effects_, session_.out());
  session_.out().flush();
}

absl::Status ChangeRun::Stop() const {
  if (options_.json) Conclude();
  return absl::FailedPreconditionError(
      "nothing was saved: a rule stops it (above). If it was done, or must be, say why: "
      "--anyway \"reason\"");
}

absl::Status ChangeRun::Save() {
  if (options_.dry_run) return absl::OkStatus();
  const absl::Status status = cellar_.store.Append(written_, before_);
  if (status.ok() || absl::IsAborted(status) || absl::IsUnavailable(status)) return status;
  return absl::Status(status.code(),
                      absl::StrCat("this could not be saved for certain: ", status.message(),
                                   ". Look with: rundlet log, before entering it again"));
}

void ChangeRun::Conclude() const {
  if (options_.json) {
    std::vector<std::string> ids;
    for (const WrittenEntry& entry : written_)
      ids.push_back(Uuid::FromBytes(entry.entry.entry_id())->ToString());
    JsonObject json;
    json.Text("entry_id", ids.back())
        .Raw("entry_ids", JsonTexts(ids))
        .Bool("saved", !options_.dry_run && !stopped());
    json.Text("effective_at", FormatWhenIso(when_));
    AddEffects(effects_, json);
    json.Raw("cautions", JsonTexts(change_.cautions));
    json.Raw("findings", FindingsJson(*cellar_.fold, findings_));
    for (const auto& [name, detail] : change_.details) json.Raw(name, detail);
    session_.out() << json.Finish() << "\n" << std::flush;
    return;
  }
  if (options_.dry_run) {
    session_.out() << "nothing was saved (dry run)\n" << std::flush;
    return;
  }
  session_.out() << "saved as " << ShortIdOfMain();
  if (written_.size() > 1) session_.out() << " (" << written_.size() << " entries)";
  session_.out() << (effects_.held.empty() ? "" : ", held") << "\n" << std::flush;
}

}  // namespace

void DeclareChangeOptions(CLI::App& app, ChangeOptions& options) {
  const auto said = [](const std::string& text) {
    return text.empty() ? std::string("write a time, or leave --at out for now") : std::string();
  };
  app.add_option("--at", options.at,
                 "when it happened: \"mon 14:00\", \"2h ago\", \"2026-03-02 14:00\"")
      ->type_name("TIME")
      ->check(said);
  app.add_option("--note", options.note, "a note to keep with it");
  app.add_option("--anyway", options.anyway,
                 "why it is done although a rule speaks against it; kept with it");
  app.add_flag("--dry-run", options.dry_run, "say what would happen, save nothing");
  app.add_flag("--json", options.json, "print JSON");
}

void ChangeCommand::Declare(CLI::App& app) {
  DeclareWords(app);
  DeclareChangeOptions(app, options_);
}

absl::Status ChangeCommand::Run(Session& session) {
  return RunChange(session, options_, nullptr,
                   [this](Planner& planner, Change& change) { return Make(planner, change); });
}

absl::Status RunChange(Session& session, const ChangeOptions& options, const AmendWords* amend,
                       absl::FunctionRef<absl::Status(Planner&, Change&)> make) {
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
  auto cellar = OpenAndReport(session);
  if (!cellar.ok()) return cellar.status();
  ChangeRun run(session, options, *cellar);
  if (absl::Status status = run.Prepare(amend, make); !status.ok()) return status;
  if (absl::Status status = run.TryOut(); !status.ok()) return status;
  run.Announce();
  if (run.stopped() && !options.dry_run) return run.Stop();
  if (absl::Status status = run.Save(); !status.ok()) return status;
  run.Conclude();
  lock.reset();
  if (!options.dry_run) AutoSync(session, *home);
  return absl::OkStatus();
}

}  // namespace rundlet::client
