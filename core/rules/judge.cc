#include "core/rules/judge.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "core/oenology/scales.h"
#include "core/quantity/reading.h"
#include "core/view/log_line.h"

namespace rundlet::rules {
namespace {

std::optional<oenology::Scale> ScaleOf(rundlet::v1::ReadingUnit unit) {
  switch (unit) {
    case rundlet::v1::READING_UNIT_KG_PER_M3:
    case rundlet::v1::READING_UNIT_G_PER_ML:
      return oenology::Scale::kDensity;
    case rundlet::v1::READING_UNIT_BRIX:
      return oenology::Scale::kBrix;
    case rundlet::v1::READING_UNIT_PLATO:
      return oenology::Scale::kPlato;
    case rundlet::v1::READING_UNIT_BAUME:
      return oenology::Scale::kBaume;
    case rundlet::v1::READING_UNIT_OECHSLE:
      return oenology::Scale::kOechsle;
    default:
      return std::nullopt;
  }
}

std::optional<int64_t> GravityOf(int64_t value_micro, rundlet::v1::ReadingUnit unit) {
  if (unit == rundlet::v1::READING_UNIT_SPECIFIC_GRAVITY) return value_micro;
  const auto scale = ScaleOf(unit);
  if (!scale.has_value()) return std::nullopt;
  const double factor = unit == rundlet::v1::READING_UNIT_G_PER_ML ? 1e-3 : 1e-6;
  const auto density = oenology::DensityFrom(*scale, static_cast<double>(value_micro) * factor);
  if (!density.ok()) return std::nullopt;
  const auto gravity = oenology::ReadingOf(oenology::Scale::kGravity, *density);
  if (!gravity.ok()) return std::nullopt;
  return static_cast<int64_t>(*gravity * 1e6 + 0.5);
}

absl::string_view AnywayOf(const Fold& fold, RowId row, absl::string_view rule_id) {
  const rundlet::v1::Entry* kept = fold.records().Find(row);
  if (kept == nullptr) return "";
  const auto& ids = kept->anyway().rule_ids();
  const bool named = std::find(ids.begin(), ids.end(), std::string(rule_id)) != ids.end();
  return named ? absl::string_view(kept->anyway().reason()) : "";
}

}  // namespace

std::optional<int64_t> ValueOf(const WineEvent& reading) {
  const auto unit = static_cast<rundlet::v1::ReadingUnit>(reading.unit);
  if (reading.of == rundlet::v1::READING_KIND_DENSITY) return GravityOf(reading.value, unit);
  if (unit == rundlet::v1::READING_UNIT_FAHRENHEIT) return CelsiusOfFahrenheit(reading.value);
  return reading.value;
}

std::string Duration(int64_t us) {
  const int64_t minutes = us / kMinuteUs;
  const auto say = [](int64_t count, absl::string_view what) {
    return absl::StrCat(count, " ", what, count == 1 ? "" : "s");
  };
  if (minutes < 120) return say(minutes, "minute");
  if (minutes < 48 * 60) return say(minutes / 60, "hour");
  return say(minutes / (24 * 60), "day");
}

Finding& Case::Add(RowId entry, Filled filled) const {
  filled.push_back({"thing", fold.directory().NameOf(wine.thing, fold.sequence())});
  std::vector<std::pair<std::string, std::string>> replacements;
  for (auto& [word, text] : filled)
    replacements.emplace_back(absl::StrCat("{", word, "}"), std::move(text));
  return findings.emplace_back(Finding{.rule_id = rule().id(),
                                       .severity = rule().severity(),
                                       .thing = wine.thing,
                                       .entry = entry,
                                       .text = absl::StrReplaceAll(rule().text(), replacements),
                                       .reason = rule().reason(),
                                       .source = known.source,
                                       .lifted_by = rule().lifted_by(),
                                       .anyway = std::string(AnywayOf(fold, entry, rule().id()))});
}

std::string Case::SeenText(const WineEvent& event) const {
  const rundlet::v1::Entry* kept = fold.records().Find(event.row);
  if (kept == nullptr || !kept->has_observation()) return "";
  std::string text = kept->note();
  for (const rundlet::v1::Impression& impression : kept->observation().impressions())
    absl::StrAppend(&text, " ", impression.text());
  return absl::AsciiStrToLower(text);
}

bool Case::Is(const WineEvent& event, const v1::Happening& happening) const {
  const auto has = [&event](const auto& list) {
    return std::find(list.begin(), list.end(), static_cast<int>(event.of)) != list.end();
  };
  switch (event.kind) {
    case WineEvent::Kind::kAdded:
      return Names(happening, materials.GroupOf(event.material));
    case WineEvent::Kind::kRead:
      return has(happening.readings());
    case WineEvent::Kind::kTreated:
      return has(happening.treatments());
    case WineEvent::Kind::kBottled:
      return happening.bottled();
    case WineEvent::Kind::kObserved: {
      if (happening.seen_words().empty()) return false;
      const std::string text = SeenText(event);
      return std::any_of(
          happening.seen_words().begin(), happening.seen_words().end(),
          [&text](const std::string& word) { return absl::StrContains(text, word); });
    }
    case WineEvent::Kind::kPoured:
      return false;
  }
  return false;
}

std::string Case::NameOf(const WineEvent& event) const {
  switch (event.kind) {
    case WineEvent::Kind::kAdded:
      return materials.NameOf(event.material);
    case WineEvent::Kind::kRead:
      return std::string(ReadingWord(static_cast<rundlet::v1::ReadingKind>(event.of)));
    case WineEvent::Kind::kTreated:
      return std::string(TreatmentWord(static_cast<rundlet::v1::TreatmentKind>(event.of)));
    case WineEvent::Kind::kObserved:
      return "a note";
    case WineEvent::Kind::kBottled:
      return "the bottling";
    case WineEvent::Kind::kPoured:
      return "the pouring";
  }
  return "";
}

const WineEvent* Case::LastReading(rundlet::v1::ReadingKind kind, size_t count) const {
  for (size_t i = count; i-- > 0;) {
    const WineEvent& event = wine.events[i];
    if (event.kind == WineEvent::Kind::kRead && event.of == static_cast<uint32_t>(kind))
      return &event;
  }
  return nullptr;
}

const WineEvent* Case::Last(const v1::Happening& happening) const {
  for (size_t i = wine.events.size(); i-- > 0;) {
    if (Is(wine.events[i], happening)) return &wine.events[i];
  }
  return nullptr;
}

}  // namespace rundlet::rules
