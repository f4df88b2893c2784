// rundlet period close, reopen, list: a stretch of the past that is not to change any more.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "absl/time/civil_time.h"
#include "client/cellar/open_returns.h"
#include "client/cli/json.h"
#include "client/commands/closing_words.h"
#include "client/commands/commands.h"
#include "core/closing/reach.h"
#include "core/closing/words.h"
#include "core/counts/differences.h"

namespace rundlet::client {
namespace {

using closing::Closing;
using closing::Periods;

// The local day that a word means: its two midnights.
struct Day {
  int64_t begin_us = 0;
  int64_t end_us = 0;
};

absl::StatusOr<Day> ReadPastDay(const std::string& word, const Planner& planner) {
  const auto when = ParseWhen(word, planner.now(), planner.zone());
  if (!when.ok()) return when.status();
  const absl::CivilDay day = absl::ToCivilDay(absl::FromUnixMicros(when->at_us), planner.zone());
  return Day{.begin_us = absl::ToUnixMicros(absl::FromCivil(day, planner.zone())),
             .end_us = absl::ToUnixMicros(absl::FromCivil(day + 1, planner.zone()))};
}

std::string Counted(int64_t count, absl::string_view one, absl::string_view many) {
  return absl::StrCat(count, " ", count == 1 ? one : many);
}

// What stands in the period that is about to be closed, and what in it is not settled.
struct Survey {
  int64_t held = 0;
  int64_t differences = 0;
  int64_t unsynced = 0;
  int64_t returned = 0;
};

absl::StatusOr<Survey> SurveyBefore(Cellar& cellar, int64_t until_us) {
  const Fold& fold = *cellar.fold;
  Survey survey;
  const auto before = [&](RowId row) {
    return fold.sequence().row(row).effective_at_us < until_us;
  };
  for (size_t i = 0; i < fold.state().held().size(); ++i)
    survey.held += before(fold.state().held()[i].row) ? 1 : 0;
  for (const counts::Difference& difference : counts::OpenDifferences(fold))
    survey.differences += before(difference.row) ? 1 : 0;
  const auto returns = OpenReturns(cellar);
  if (!returns.ok()) return returns.status();
  for (const StoredEntry& stored : *returns) {
    const auto entry = ReadEntry(stored.bytes);
    survey.returned += entry.ok() && entry->effective_at_us() < until_us ? 1 : 0;
  }
  // A book without a server has nobody to wait for.
  if (cellar.store.device().server.empty()) return survey;
  const absl::Status read = cellar.store.ForEach(0, [&](const StoredEntry& stored) {
    if (stored.state != EntryState::kOutbox) return absl::OkStatus();
    const auto entry = ReadEntry(stored.bytes);
    if (entry.ok() && closing::Changes(fold, closing::ReachOf(*entry), until_us)) ++survey.unsynced;
    return absl::OkStatus();
  });
  if (!read.ok()) return read;
  return survey;
}

// What keeps a careful person from closing; empty if nothing does.
std::string InTheWay(const Survey& survey) {
  std::vector<std::string> parts;
  if (survey.unsynced > 0)
    parts.push_back(absl::StrCat(Counted(survey.unsynced, "entry is", "entries are"),
                                 " not synced yet (rundlet sync)"));
  if (survey.held > 0)
    parts.push_back(
        absl::StrCat(Counted(survey.held, "entry is", "entries are"), " held (rundlet held)"));
  if (survey.returned > 0)
    parts.push_back(absl::StrCat(Counted(survey.returned, "entry was", "entries were"),
                                 " returned and waits to be dated anew or dropped (rundlet held)"));
  return absl::StrJoin(parts, ", ");
}

// period close 2025-12-31
class PeriodClose : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto day = ReadPastDay(day_, planner);
    if (!day.ok()) return day.status();
    if (day->end_us > planner.now().at_us)
      return Usage(absl::StrCat("'", day_, "' is not over: close up to a day that is"));
    Cellar& cellar = planner.cellar();
    const auto periods = PeriodsOf(cellar);
    if (!periods.ok()) return periods.status();
    if (periods->until_us() >= day->end_us) {
      return absl::FailedPreconditionError(absl::StrCat(
          "the book is ", ClosingText(planner.fold(), periods->standing().back()), " already"));
    }
    return Close(cellar, day->end_us, change);
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("day", day_, "the last day that is closed: 2025-12-31")
        ->type_name("DAY")
        ->required();
    app.footer(
        "Sync first, on every device, so that nothing is missing. From then on nothing is taken in "
        "that is\ndated into the period or changes what is. --anyway WHY closes it although "
        "something in it is held or not synced.");
  }

 private:
  absl::Status Close(Cellar& cellar, int64_t until_us, Change& change) const {
    const auto survey = SurveyBefore(cellar, until_us);
    if (!survey.ok()) return survey.status();
    const auto past = PastOf(cellar, until_us);
    if (!past.ok()) return past.status();
    const std::string in_the_way = InTheWay(*survey);
    if (!in_the_way.empty() && options().anyway.empty()) {
      return absl::FailedPreconditionError(
          absl::StrCat("nothing was closed: of what is dated into the period, ", in_the_way,
                       ". Settle that first, or say why not: --anyway \"reason\""));
    }
    const auto seen = cellar.store.Get(MetaKey::kLastSeq);
    if (!seen.ok()) return seen.status();
    Say(cellar, *survey, static_cast<int64_t>(past->entries()), in_the_way, change);
    v1::Entry& entry = change.Add();
    v1::PeriodClosed& closed = *entry.mutable_period_closed();
    closed.set_until_us(until_us);
    closed.set_journal_size(static_cast<uint64_t>(*seen));
    closed.set_state_digest(std::string(HashBytes(past->Now()->StateDigest())));
    if (!in_the_way.empty()) entry.set_note(options().anyway);
    return absl::OkStatus();
  }

  static void Say(const Cellar& cellar, const Survey& survey, int64_t entries,
                  const std::string& in_the_way, Change& change) {
    change.warnings.push_back(
        absl::StrCat("closes ", Counted(entries, "entry", "entries"), ", with ",
                     Counted(survey.differences, "open difference", "open differences"),
                     " between counts and the book"));
    if (!in_the_way.empty()) change.warnings.push_back(in_the_way);
    if (!cellar.store.device().server.empty()) {
      change.warnings.push_back(
          "what another device has not synced yet will be returned to it; if any of it is on the "
          "server already, this closing comes back to you (rundlet held)");
    }
    change.details.emplace_back("closed_entries", absl::StrCat(entries));
    change.details.emplace_back("held_entries", absl::StrCat(survey.held));
    change.details.emplace_back("unsynced_entries", absl::StrCat(survey.unsynced));
    change.details.emplace_back("returned_entries", absl::StrCat(survey.returned));
    change.details.emplace_back("open_differences", absl::StrCat(survey.differences));
  }

  std::string day_;
};

// period reopen 2025-12-01 --reason "a delivery was forgotten"
class PeriodReopen : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto day = ReadPastDay(day_, planner);
    if (!day.ok()) return day.status();
    const auto periods = PeriodsOf(planner.cellar());
    if (!periods.ok()) return periods.status();
    if (!periods->IsClosed(day->begin_us))
      return absl::FailedPreconditionError(
          absl::StrCat("'", day_, "' is open: rundlet period list"));
    change.warnings.push_back(absl::StrCat(
        "everything from the beginning of that day on can be written again; close it again when "
        "that is done. Reports of it will say that it was reopened, and what has changed since"));
    v1::PeriodReopened& reopened = *change.Add().mutable_period_reopened();
    reopened.set_from_us(day->begin_us);
    reopened.set_reason(reason_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("day", day_, "the first day that is open again: 2025-12-01")
        ->type_name("DAY")
        ->required();
    app.add_option("--reason", reason_, "why; everybody can read it")
        ->required()
        ->check(NotEmpty());
  }

 private:
  std::string day_, reason_;
};

class PeriodList : public ViewCommand {
 protected:
  bool HasPast() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const auto periods = PeriodsOf(cellar);
    if (!periods.ok()) return periods.status();
    std::vector<std::string> standing;
    for (const Closing& closing : periods->standing()) {
      if (absl::Status status = ShowClosing(cellar, closing, session, standing); !status.ok())
        return status;
    }
    std::vector<std::string> reopenings;
    for (const closing::Reopening& reopening : periods->reopenings()) {
      const Closing was{.row = reopening.closing, .until_us = reopening.until_us};
      reopenings.push_back(absl::StrCat("had been ", ClosingText(*cellar.fold, was), "; ",
                                        ReopeningText(*cellar.fold, reopening)));
    }
    if (json()) {
      session.out() << JsonObject()
                           .Raw("closed", JsonArray(standing))
                           .Raw("reopened", JsonTexts(reopenings))
                           .Finish()
                    << "\n";
      return absl::OkStatus();
    }
    for (const std::string& text : reopenings) session.out() << text << "\n";
    if (periods->standing().empty()) session.out() << "nothing is closed\n";
    return absl::OkStatus();
  }

 private:
  absl::Status ShowClosing(Cellar& cellar, const Closing& closing, Session& session,
                           std::vector<std::string>& items) const {
    const auto check = CheckClosing(cellar, closing);
    if (!check.ok()) return check.status();
    const auto texts = CheckTexts(cellar, *check);
    if (!texts.ok()) return texts.status();
    const Row& row = cellar.fold->sequence().row(closing.row);
    if (json()) {
      items.push_back(JsonObject()
                          .Text("entry_id", row.id.ToString())
                          .Text("until", FormatWhenIso({.at_us = closing.until_us,
                                                        .utc_offset_min = row.utc_offset_min}))
                          .Bool("same", check->state == ClosingCheck::State::kSame)
                          .Raw("check", JsonTexts(*texts))
                          .Finish());
      return absl::OkStatus();
    }
    session.out() << ClosingText(*cellar.fold, closing) << "\n";
    for (const std::string& text : *texts) session.out() << "  " << text << "\n";
    return absl::OkStatus();
  }
};

}  // namespace

std::unique_ptr<Command> MakePeriodClose() { return std::make_unique<PeriodClose>(); }
std::unique_ptr<Command> MakePeriodReopen() { return std::make_unique<PeriodReopen>(); }
std::unique_ptr<Command> MakePeriodList() { return std::make_unique<PeriodList>(); }

}  // namespace rundlet::client
