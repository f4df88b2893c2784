// Vessels and gear before a wine meets them, instruments, and what was stirred into water first.
#include <algorithm>

#include "absl/container/flat_hash_set.h"
#include "absl/functional/function_ref.h"
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "core/quantity/reading.h"
#include "core/quantity/when.h"
#include "core/rules/judge.h"

namespace rundlet::rules {
namespace {

std::string Celsius(int64_t millic) {
  return FormatReadingRounded(millic * 1000, ReadingUnit::kCelsius, 1);
}

// Calls for the vessel that a wine was poured into while it was empty, and for each piece of gear
// that touched it: when, the thing, and what to call it.
void ForEachUse(const Case& c,
                absl::FunctionRef<void(const WineEvent&, Handle, const std::string&)> use) {
  for (const WineEvent& event : c.wine.events) {
    if (event.kind != WineEvent::Kind::kPoured && event.kind != WineEvent::Kind::kBottled &&
        event.kind != WineEvent::Kind::kTreated)
      continue;
    if (event.kind == WineEvent::Kind::kPoured && !event.onto_wine && !c.wine.bottled &&
        event.vessel == c.wine.thing)
      use(event, event.vessel, "the vessel");
    const Row& row = c.fold.sequence().row(event.row);
    for (const Line& line : c.fold.sequence().lines(row)) {
      if (line.role == Role::kGear)
        use(event, line.handle, c.fold.directory().NameOf(line.handle, c.fold.sequence()));
    }
  }
}

// The temperature, in thousandths of a degree Celsius, of the line of an addition that added a
// material; nothing where nobody wrote it.
std::optional<int64_t> MixedAt(const Fold& fold, RowId row, Handle material) {
  const rundlet::v1::Entry* kept = fold.records().Find(row);
  if (kept == nullptr) return std::nullopt;
  for (const rundlet::v1::AdditionLine& line : kept->addition().lines()) {
    const auto id =
        Uuid::FromBytes(line.has_material_lot_id() ? line.material_lot_id() : line.material_id());
    if (line.has_mixed_at_millic() && id.ok() && fold.interner().Find(*id) == material)
      return line.mixed_at_millic();
  }
  return std::nullopt;
}

bool IsMadeOf(const Case& c, const v1::HotGlass& rule) {
  const Directory::Known* known = c.fold.directory().Find(c.wine.thing);
  if (known == nullptr) return false;
  const std::string made_of = absl::AsciiStrToLower(known->thing.vessel().made_of());
  return std::any_of(rule.made_of().begin(), rule.made_of().end(),
                     [&](const std::string& word) { return absl::StrContains(made_of, word); });
}

// Something that went into a vessel, and how warm it was.
struct Warm {
  size_t position = 0;
  RowId row = kNone;
  int64_t millic = 0;
  std::string what;
};

// The last cleaning; without a temperature it was cold.
std::optional<Warm> LastCleaning(const Case& c) {
  const auto cleanings = c.index.care().CleaningsOf(c.wine.thing);
  if (cleanings.empty()) return std::nullopt;
  const CareIndex::Time last = cleanings.back();
  const rundlet::v1::Sanitised& said = c.fold.records().Find(last.row)->sanitised();
  return Warm{.position = last.position,
              .row = last.row,
              .millic = said.temperature_millic(),
              .what = said.agent().empty() ? "what it was sanitised with" : said.agent()};
}

// The last hot addition into the vessel while there was no wine in it.
std::optional<Warm> LastHotMixing(const Case& c, int64_t above_millic) {
  const auto mixings = c.index.care().MixingsInto(c.wine.thing);
  for (auto time = mixings.rbegin(); time != mixings.rend(); ++time) {
    const auto parcels = c.fold.ParcelsAt(time->position);
    const bool onto_wine = std::none_of(parcels.begin(), parcels.end(), [&](const Parcel& parcel) {
      const auto& all = c.fold.state().parcels();
      return parcel.origin == 0 && parcel.place == c.wine.thing &&
             (parcel.before == kNone || all[parcel.before].volume_ul == 0);
    });
    if (onto_wine) continue;
    for (const rundlet::v1::AdditionLine& line :
         c.fold.records().Find(time->row)->addition().lines()) {
      if (line.mixed_at_millic() > above_millic)
        return Warm{.position = time->position,
                    .row = time->row,
                    .millic = line.mixed_at_millic(),
                    .what = "the water of an addition"};
    }
  }
  return std::nullopt;
}

// Whether an instrument was within its calibration when a reading was taken: "" or what it lacks.
std::string LackOfCalibration(const Case& c, Handle gear, const WineEvent& reading) {
  const auto last = LastBefore(c.index.care().CalibrationsOf(gear), reading.position);
  if (!last.has_value()) return "was never held against anything known";
  const std::string& due_on = c.fold.records().Find(last->row)->calibrated().due_on();
  const Row& row = c.fold.sequence().row(reading.row);
  const std::string day =
      FormatWhenDay({.at_us = row.effective_at_us, .utc_offset_min = row.utc_offset_min});
  if (due_on.empty() || day <= due_on) return "";
  return absl::StrCat("was to be checked again by ", due_on);
}

}  // namespace

void JudgeSanitised(const Case& c) {
  const CareIndex& care = c.index.care();
  ForEachUse(c, [&](const WineEvent& event, Handle thing, const std::string& name) {
    if (event.position < care.FirstCleaning()) return;
    if (!care.CleanAt(thing, event.position).has_value()) c.Add(event.row, {{"what", name}});
  });
}

void JudgeRinsed(const Case& c) {
  ForEachUse(c, [&](const WineEvent& event, Handle thing, const std::string& name) {
    const auto clean = c.index.care().CleanAt(thing, event.position);
    if (!clean.has_value()) return;
    const rundlet::v1::Sanitised& said = c.fold.records().Find(clean->row)->sanitised();
    if (!said.rinse_needed() || said.rinsed()) return;
    c.Add(event.row, {{"what", name}, {"need", said.agent().empty() ? "its agent" : said.agent()}});
  });
}

void JudgeHotGlass(const Case& c, const v1::HotGlass& rule) {
  if (!IsMadeOf(c, rule)) return;
  std::optional<Warm> last = LastCleaning(c);
  auto mixing = LastHotMixing(c, rule.above_millic());
  if (mixing.has_value() && (!last.has_value() || mixing->position > last->position))
    last = std::move(mixing);
  if (!last.has_value() || last->millic <= rule.above_millic()) return;
  c.Add(last->row, {{"amount", Celsius(last->millic)},
                    {"limit", Celsius(rule.above_millic())},
                    {"what", last->what}});
}

void JudgeCalibration(const Case& c) {
  absl::flat_hash_set<uint32_t> newer;  // kinds that were read again later
  absl::flat_hash_set<RowId> told;
  for (auto event = c.wine.events.rbegin(); event != c.wine.events.rend(); ++event) {
    if (event->kind != WineEvent::Kind::kRead) continue;
    if (event->position < c.index.care().FirstCalibration()) return;
    if (!newer.insert(event->of).second) continue;
    const Line* gear =
        FindLine(c.fold.sequence().lines(c.fold.sequence().row(event->row)), Role::kGear);
    if (gear == nullptr) continue;
    std::string lack = LackOfCalibration(c, gear->handle, *event);
    if (lack.empty() || !told.insert(event->row).second) continue;
    c.Add(event->row, {{"what", c.fold.directory().NameOf(gear->handle, c.fold.sequence())},
                       {"need", std::move(lack)}});
  }
}

void JudgeMixed(const Case& c) {
  const v1::Mixed& rule = c.rule().mixed();
  v1::Happening added;
  *added.mutable_groups() = rule.groups();
  for (const WineEvent& event : c.wine.events) {
    if (event.kind != WineEvent::Kind::kAdded || !c.Is(event, added)) continue;
    const auto millic = MixedAt(c.fold, event.row, event.material);
    if (!millic.has_value()) continue;
    const bool cold = rule.has_at_least_millic() && *millic < rule.at_least_millic();
    const bool hot = rule.has_at_most_millic() && *millic > rule.at_most_millic();
    if (!cold && !hot) continue;
    c.Add(event.row, {{"what", c.materials.NameOf(event.material)},
                      {"amount", Celsius(*millic)},
                      {"limit", Celsius(cold ? rule.at_least_millic() : rule.at_most_millic())}});
  }
}

}  // namespace rundlet::rules
