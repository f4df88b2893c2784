// rundlet differences, accept: where counts and the book do not agree, and how that is settled.
#include "core/counts/differences.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/cli/json.h"
#include "client/cli/may.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/differences_words.h"
#include "client/commands/plan_words.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

using counts::Difference;

std::string AmountText(const Fold& fold, const Difference& difference, int64_t amount) {
  const CommodityInfo& info = fold.commodities().info(difference.commodity);
  switch (info.kind) {
    case CommodityInfo::Kind::kWine:
      return FormatVolume(amount);
    case CommodityInfo::Kind::kBottles:
      return absl::StrCat(amount);
    default:
      return amount == 0 ? "none"
                         : FormatAmountOf(static_cast<v1::Dimension>(info.measure), amount);
  }
}

When WhenOf(const Fold& fold, RowId row) {
  const Row& entry = fold.sequence().row(row);
  return {.at_us = entry.effective_at_us, .utc_offset_min = entry.utc_offset_min};
}

std::string CommandText(const counts::Cause& cause) {
  return absl::StrJoin(cause.command, " ", [](std::string* out, const std::string& word) {
    absl::StrAppend(out, ShellWord(word));
  });
}

class Differences : public ViewCommand {
 protected:
  absl::Status Show(Cellar& cellar, Session& session) override {
    session.out() << (json() ? JsonOfDifferences(*cellar.fold) + "\n"
                             : TextOfDifferences(*cellar.fold, session.columns()));
    return absl::OkStatus();
  }
};

// accept "Rack A" --reason "nobody knows"
class Accept : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("place", place_, "the bin, vessel, packet or occasion whose count is accepted")
        ->type_name("BIN|VESSEL|PACKET|OCCASION")
        ->required();
    app.add_option("--reason", reason_, "why it is not explained; kept with your name")
        ->required()
        ->check(NotEmpty());
    DeclareChangeOptions(app, options_);
  }

  absl::Status Run(Session& session) override {
    auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    // What it writes anybody may write who counts; that nothing explains it, a master decides.
    if (absl::Status status =
            CheckRole(cellar->store.device(), MemberRole::kMaster, "a difference is accepted");
        !status.ok())
      return status;
    const Fold& fold = *cellar->fold;
    const auto thing = FindAnything(fold, place_);
    if (!thing.ok()) return thing.status();
    std::vector<Difference> open = counts::OpenDifferences(fold);
    std::erase_if(open, [&](const Difference& d) { return d.place != *thing; });
    if (open.empty())
      return absl::FailedPreconditionError(
          absl::StrCat("there is no open difference at '", place_, "': rundlet differences"));
    if (options_.note.empty()) options_.note = reason_;
    std::vector<RowId> rows;
    for (const Difference& d : open) {
      if (std::find(rows.begin(), rows.end(), d.row) == rows.end()) rows.push_back(d.row);
    }
    for (const RowId row : rows) {
      std::vector<Difference> of_row = open;
      std::erase_if(of_row, [row](const Difference& d) { return d.row != row; });
      const bool closed = fold.sequence().row(row).body == v1::Entry::kOccasionClosedFieldNumber;
      const absl::Status status =
          closed ? SettleOccasion(fold, of_row, session) : AdoptCount(fold, of_row, session);
      if (!status.ok()) return status;
    }
    return absl::OkStatus();
  }

 private:
  static v1::BinCounted Counted(const Fold& fold, const std::vector<Difference>& open) {
    v1::BinCounted counted;
    counted.set_bin_id(fold.interner().id(open[0].place).ToBytes());
    counted.set_adopted(true);
    for (const Difference& difference : open) {
      const CommodityInfo& info = fold.commodities().info(difference.commodity);
      v1::Bottles& bottles = *counted.add_bottles();
      bottles.set_bottling_id(fold.interner().id(info.handle).ToBytes());
      bottles.set_size_ul(info.measure);
      bottles.set_count(difference.counted);
    }
    return counted;
  }

  // Nothing of it is there any more.
  absl::Status SettleOccasion(const Fold& fold, const std::vector<Difference>& open,
                              Session& session) {
    return RunChange(session, options_, nullptr, [&](Planner&, Change& change) {
      *change.Add().mutable_bin_counted() = Counted(fold, open);
      return absl::OkStatus();
    });
  }

  // The count stands at its own moment, and the book follows it: in what is still open of it, as
  // the rest was counted again or explained since.
  absl::Status AdoptCount(const Fold& fold, const std::vector<Difference>& open, Session& session) {
    const RowId row = open[0].row;
    const AmendWords amend{.entry = fold.sequence().row(row).id.ToString(), .reason = reason_};
    return RunChange(session, options_, &amend, [&](Planner& planner, Change& change) {
      const auto entry = EntryOfRow(planner.cellar(), row);
      if (!entry.ok()) return entry.status();
      v1::Entry& adopted = change.Add();
      if (entry->has_gauging()) {
        *adopted.mutable_gauging() = entry->gauging();
        adopted.mutable_gauging()->clear_noted();
      } else if (entry->has_material_counted()) {
        *adopted.mutable_material_counted() = entry->material_counted();
        adopted.mutable_material_counted()->set_adopted(true);
      } else {
        *adopted.mutable_bin_counted() = Counted(fold, open);
      }
      return absl::OkStatus();
    });
  }

  std::string place_, reason_;
  ChangeOptions options_;
};

}  // namespace

std::string TextOfDifferences(const Fold& fold, size_t width) {
  const std::vector<Difference> open = counts::OpenDifferences(fold);
  if (open.empty()) return "counts and the book agree\n";
  Table table({"Where", "What", ">Counted", ">Book", "Difference", "When", "Entry"});
  for (const Difference& d : open) {
    table.Add({NameOf(fold, d.place), counts::WhatText(fold, d), AmountText(fold, d, d.counted),
               AmountText(fold, d, d.book), counts::OffText(fold, d),
               FormatWhen(WhenOf(fold, d.row)), ShortId(fold.sequence().row(d.row).id)});
  }
  std::string text = table.Print(width);
  const std::vector<counts::Occasion> occasions = counts::Occasions(fold);
  std::vector<std::string> said;  // two bins share the move that would explain both
  for (const Difference& d : open) {
    for (const counts::Cause& cause : counts::LikelyCauses(fold, d, open, occasions)) {
      if (std::find(said.begin(), said.end(), cause.text) != said.end()) continue;
      said.push_back(cause.text);
      absl::StrAppend(&text, "\n", NameOf(fold, d.place), ", perhaps: ", cause.text, "\n");
      absl::StrAppend(&text, "  ", CommandText(cause), "\n");
    }
  }
  absl::StrAppend(&text, "\n", open.size(), open.size() == 1 ? " difference" : " differences",
                  " open; count again, say where it went, or: rundlet accept ",
                  ShellWord(NameOf(fold, open[0].place)), " --reason WHY\n");
  return text;
}

std::string JsonOfDifferences(const Fold& fold) {
  static constexpr const char* kKinds[] = {"bin", "vessel", "packet", "occasion"};
  const std::vector<counts::Occasion> occasions = counts::Occasions(fold);
  const std::vector<Difference> open = counts::OpenDifferences(fold);
  std::vector<std::string> items;
  for (const Difference& d : open) {
    std::vector<std::string> causes;
    for (const counts::Cause& cause : counts::LikelyCauses(fold, d, open, occasions))
      causes.push_back(
          JsonObject().Text("text", cause.text).Text("command", CommandText(cause)).Finish());
    const CommodityInfo& info = fold.commodities().info(d.commodity);
    JsonObject json;
    json.Text("kind", kKinds[static_cast<size_t>(d.kind)])
        .Text("place", NameOf(fold, d.place))
        .Text("what", counts::WhatText(fold, d))
        .Number("counted", d.counted)
        .Number("book", d.book)
        .Text("entry_id", fold.sequence().row(d.row).id.ToString())
        .Text("effective_at", FormatWhenIso(WhenOf(fold, d.row)));
    if (info.kind == CommodityInfo::Kind::kBottles)
      json.Text("run", NameOf(fold, info.handle)).Number("size_ul", info.measure);
    items.push_back(json.Raw("causes", JsonArray(causes)).Finish());
  }
  return JsonObject().Raw("differences", JsonArray(items)).Finish();
}

std::unique_ptr<Command> MakeDifferences() { return std::make_unique<Differences>(); }
std::unique_ptr<Command> MakeAccept() { return std::make_unique<Accept>(); }

}  // namespace rundlet::client
