// rundlet log: the entries, in the order in which things happened.
#include <algorithm>

#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/base/safe_output.h"
#include "client/cli/json.h"
#include "client/cli/planner.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "core/view/log_line.h"

namespace rundlet::client {
namespace {

constexpr size_t kShownAtOnce = 40;

class Log : public ViewCommand {
 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("thing", thing_, "only what concerns it: a vessel, a lot, a packet ...")
        ->type_name("THING");
    app.add_flag("--all", all_, "not only the latest");
    app.add_option("--limit", limit_, "how many of the latest")->type_name("NUMBER");
  }
  absl::Status Show(Cellar& cellar, Session& session) override;

 private:
  absl::StatusOr<std::vector<size_t>> Positions(const Fold& fold) const;
  absl::StatusOr<size_t> Limit() const;

  std::string thing_, limit_;
  bool all_ = false;
};

absl::StatusOr<std::vector<size_t>> Log::Positions(const Fold& fold) const {
  if (!thing_.empty()) {
    const auto thing = FindAnything(fold, thing_);
    if (!thing.ok()) return thing.status();
    return PositionsAbout(fold, *thing);
  }
  std::vector<size_t> positions(fold.sequence().size());
  for (size_t i = 0; i < positions.size(); ++i) positions[i] = i;
  return positions;
}

absl::StatusOr<size_t> Log::Limit() const {
  if (all_) return SIZE_MAX;
  if (limit_.empty()) return kShownAtOnce;
  size_t limit = 0;
  if (!absl::SimpleAtoi(limit_, &limit) || limit == 0)
    return Usage("--limit: write a number, such as 20");
  return limit;
}

std::string What(const v1::LogLine& line) {
  std::string what = line.summary();
  if (!line.note().empty()) absl::StrAppend(&what, " (", line.note(), ")");
  what = Harmless(what, true);
  return what;
}

std::string State(const v1::LogLine& line, bool in_outbox) {
  std::string state = line.state() == "counts" ? "" : line.state();
  if (in_outbox) absl::StrAppend(&state, state.empty() ? "" : ", ", "not synced");
  return state;
}

absl::Status Log::Show(Cellar& cellar, Session& session) {
  const auto limit = Limit();
  if (!limit.ok()) return limit.status();
  auto positions = Positions(*cellar.fold);
  if (!positions.ok()) return positions.status();
  const size_t left_out = positions->size() - std::min(positions->size(), *limit);
  positions->erase(positions->begin(), positions->begin() + static_cast<ptrdiff_t>(left_out));

  Table table({"Entry", "When", "Who", "State", "What"});
  std::vector<std::string> items;
  for (const size_t position : *positions) {
    const auto stored =
        cellar.store.Find(cellar.fold->sequence().row(cellar.fold->sequence().at(position)).id);
    if (!stored.ok()) return stored.status();
    const auto entry = ReadEntry(stored->bytes);
    if (!entry.ok()) return entry.status();
    const v1::LogLine line = MakeLogLine(*cellar.fold, position, *entry);
    if (json()) items.push_back(ProtoJson(line));
    table.Add(
        {ShortId(stored->id),
         FormatWhen({.at_us = line.effective_at_us(), .utc_offset_min = line.utc_offset_min()}),
         line.author(), State(line, stored->state == EntryState::kOutbox), What(line)});
  }
  if (json()) {
    session.out() << JsonObject().Raw("lines", JsonArray(items)).Finish() << "\n";
    return absl::OkStatus();
  }
  if (left_out > 0) session.err() << left_out << " earlier ones are left out: --all shows them\n";
  if (table.empty()) {
    session.err() << "nothing yet\n";
  } else {
    session.out() << table.Print(session.columns());
  }
  return absl::OkStatus();
}

}  // namespace

std::unique_ptr<Command> MakeLog() { return std::make_unique<Log>(); }

}  // namespace rundlet::client
