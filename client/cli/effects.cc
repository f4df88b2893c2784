#include "client/cli/effects.h"

#include <algorithm>
#include <map>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/cli/table.h"
#include "core/quantity/format.h"
#include "core/view/log_line.h"
#include "core/view/names.h"

namespace rundlet::client {
namespace {

void CollectFlows(const Fold& fold, size_t position, Effects& effects) {
  std::map<std::pair<bool, v1::Account>, int64_t> flows;
  for (const Movement& m : fold.MovementsAt(position)) {
    const bool out = m.to.kind() == Place::Kind::kOutside;
    if (m.from.kind() == Place::Kind::kOutside && m.from.account() == v1::ACCOUNT_GAIN &&
        m.to.kind() == Place::Kind::kStock) {
      const CommodityInfo& info = fold.commodities().info(m.commodity);
      effects.warnings.push_back(absl::StrCat(
          FormatAmountOf(static_cast<v1::Dimension>(info.measure), m.amount), " more of ",
          NameOf(fold, info.handle), " than the book has in stock; count it: rundlet count"));
    }
    if (m.commodity != kWine) continue;
    if (out && m.to.account() != v1::ACCOUNT_GLASS) flows[{true, m.to.account()}] += m.amount;
    if (m.from.kind() == Place::Kind::kOutside && m.from.account() == v1::ACCOUNT_GAIN) {
      flows[{false, v1::ACCOUNT_GAIN}] += m.amount;
    }
  }
  for (const auto& [flow, volume_ul] : flows) {
    effects.flows.push_back({.account = std::string(AccountWord(flow.second)),
                             .out = flow.first,
                             .volume_ul = volume_ul});
  }
}

}  // namespace

Effects WorkOutEffects(const Fold& fold, const Glance& before,
                       const std::vector<WrittenEntry>& written,
                       absl::FunctionRef<absl::StatusOr<v1::Entry>(RowId)> entry_of) {
  Effects effects;
  const Glance after = Glance::Of(fold);
  effects.differences = before.DifferencesTo(after, fold);
  std::vector<std::string> sentences;
  std::vector<RowId> own;
  for (const WrittenEntry& entry : written) {
    sentences.push_back(Summarise(fold, entry.entry));
    const RowId row = fold.sequence().Find(*Uuid::FromBytes(entry.entry.entry_id()));
    own.push_back(row);
    const size_t position = fold.sequence().PositionOf(row);
    CollectFlows(fold, position, effects);
    if (const Held* held = fold.HeldAt(position); held != nullptr) {
      effects.held = HeldSentence(fold, *held);
      effects.held_evidence = HeldEvidence(fold, *held);
    }
  }
  effects.summary = absl::StrJoin(sentences, "\n");

  const auto others = [&](const std::vector<RowId>& rows, bool with_reason) {
    std::vector<Effects::Other> list;
    for (const RowId row : rows) {
      if (std::find(own.begin(), own.end(), row) != own.end()) continue;
      const Row& other = fold.sequence().row(row);
      const auto entry = entry_of(row);
      std::string text =
          absl::StrCat(ShortId(other.id), " ", entry.ok() ? Summarise(fold, *entry) : "");
      const Held* held = with_reason ? fold.HeldAt(fold.sequence().PositionOf(row)) : nullptr;
      if (held != nullptr) absl::StrAppend(&text, ": ", HeldSentence(fold, *held));
      // What was voided is not held any more either, but takes no effect.
      if (!with_reason && other.standing != Row::Standing::kCounts) continue;
      list.push_back({.entry_id = other.id.ToString(), .text = std::move(text)});
    }
    return list;
  };
  effects.newly_held = others(before.NewlyHeldIn(after), true);
  effects.lifted = others(after.NewlyHeldIn(before), false);
  return effects;
}

void PrintEffects(const Effects& effects, std::ostream& out) {
  size_t width = 0;
  for (const auto& difference : effects.differences)
    width = std::max(width, WidthOf(difference.place));
  for (const auto& difference : effects.differences) {
    out << "  " << difference.place << std::string(width - WidthOf(difference.place) + 2, ' ')
        << difference.before << " -> " << difference.after << "\n";
  }
  for (const Effects::Flow& flow : effects.flows) {
    out << "  " << FormatVolume(flow.volume_ul) << (flow.out ? " to " : " more than the book had: ")
        << flow.account << "\n";
  }
  for (const Effects::Other& other : effects.lifted)
    out << "  takes effect now: " << other.text << "\n";
  for (const Effects::Other& other : effects.newly_held)
    out << "  held from now on: " << other.text << "\n";
}

void AddEffects(const Effects& effects, JsonObject& json) {
  std::vector<std::string> changes, flows, held, lifted;
  for (const auto& difference : effects.differences) {
    changes.push_back(JsonObject()
                          .Text("place", difference.place)
                          .Text("before", difference.before)
                          .Text("after", difference.after)
                          .Finish());
  }
  for (const Effects::Flow& flow : effects.flows) {
    flows.push_back(JsonObject()
                        .Text("account", flow.account)
                        .Text("direction", flow.out ? "out" : "in")
                        .Number("volume_ul", flow.volume_ul)
                        .Finish());
  }
  for (const Effects::Other& other : effects.newly_held) held.push_back(JsonText(other.entry_id));
  for (const Effects::Other& other : effects.lifted) lifted.push_back(JsonText(other.entry_id));
  json.Text("summary", effects.summary)
      .Raw("held", effects.held.empty() ? "null" : JsonText(effects.held))
      .Raw("changes", JsonArray(changes))
      .Raw("flows", JsonArray(flows))
      .Raw("newly_held", JsonArray(held))
      .Raw("lifted", JsonArray(lifted))
      .Raw("warnings", JsonTexts(effects.warnings));
}

}  // namespace rundlet::client
