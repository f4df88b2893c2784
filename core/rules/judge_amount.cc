#include "core/rules/judge_amount.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/adjust.h"
#include "core/rules/words.h"

namespace rundlet::rules {
namespace {

constexpr int64_t kWhole = 1'000'000;
constexpr int64_t kMost = 1'000'000'000'000'000;  // more than any limit says

int64_t PerMillion(int64_t part, int64_t whole) {
  if (whole <= 0) return 0;
  const __int128 share = static_cast<__int128>(part) * kWhole / whole;
  return static_cast<int64_t>(std::min<__int128>(share, kMost));
}

// Micrograms a litre of what a reading says, by its unit.
std::optional<int64_t> ReadUgPerL(const WineEvent& reading) {
  switch (reading.unit) {
    case rundlet::v1::READING_UNIT_MG_PER_L:
      return reading.value / 1000;
    case rundlet::v1::READING_UNIT_G_PER_L:
    case rundlet::v1::READING_UNIT_G_PER_L_ACETIC:
      return reading.value;
    default:
      return std::nullopt;
  }
}

bool Among(absl::Span<const v1::Substance> substances, v1::Substance substance) {
  return std::find(substances.begin(), substances.end(), substance) != substances.end();
}

bool IsOf(const Case& c, const WineEvent& event, absl::Span<const v1::Substance> substances) {
  if (event.kind != WineEvent::Kind::kAdded) return false;
  const v1::Group* group = c.materials.GroupOf(event.material);
  return group != nullptr && Among(substances, group->substance());
}

// The last addition of any of the substances; the last change of the wine where it came in a blend.
RowId LastAddition(const Case& c, absl::Span<const v1::Substance> substances) {
  const auto& events = c.wine.events;
  const auto last = std::find_if(events.rbegin(), events.rend(), [&](const WineEvent& event) {
    return IsOf(c, event, substances);
  });
  return last == events.rend() ? c.wine.row : last->row;
}

// The additions of these substances that went in before the wine was read as dry.
std::vector<const WineEvent*> AddedToMust(const Case& c,
                                          absl::Span<const v1::Substance> substances) {
  std::vector<const WineEvent*> added;
  for (const WineEvent& event : c.wine.events) {
    const bool density = event.kind == WineEvent::Kind::kRead &&
                         event.of == static_cast<uint32_t>(rundlet::v1::READING_KIND_DENSITY);
    if (density && ValueOf(event).value_or(kWaterGravityMicro + 1) <= kWaterGravityMicro) break;
    if (IsOf(c, event, substances)) added.push_back(&event);
  }
  return added;
}

// The volume that an addition met: what waited in the vessel met the wine that came.
int64_t VolumeMet(const Case& c, const WineEvent& added) {
  if (added.volume_ul > 0) return added.volume_ul;
  for (const WineEvent& event : c.wine.events) {
    if (event.kind == WineEvent::Kind::kPoured && event.position >= added.position)
      return event.value;
  }
  return c.wine.volume_ul;
}

// What an addition of a material brought of volume, by its entry.
int64_t VolumeBrought(const Case& c, const WineEvent& added) {
  int64_t brought_ul = 0;
  for (const Line& line : c.fold.sequence().lines(c.fold.sequence().row(added.row))) {
    if (line.role == Role::kMaterial && line.handle == added.material) brought_ul += line.extra;
  }
  return brought_ul;
}

// Millionths of alcohol by volume from the sugar that went into the must.
std::optional<Amount> Enriched(const Case& c) {
  const v1::Substance sugar[] = {v1::SUBSTANCE_ENRICHMENT};
  int64_t ug_l = 0;
  RowId entry = kNone;
  for (const WineEvent* event : AddedToMust(c, sugar)) {
    const auto mass_ug = c.materials.WeightOf(event->material, event->dimension, event->value);
    if (!mass_ug.has_value()) continue;
    ug_l = std::min(kMost, ug_l + PerMillion(*mass_ug, VolumeMet(c, *event)));
    entry = event->row;
  }
  if (entry == kNone) return std::nullopt;
  // 16.83 g/L for 1 % vol, which is 10 000 millionths.
  const double ppm = static_cast<double>(ug_l) / (oenology::kSugarForOnePct * 100);
  return Amount{.value = static_cast<int64_t>(ppm),
                .unit = v1::UNIT_PPM_ALCOHOL,
                .entry = entry,
                .how = "from the sugar that went into the must, 16.83 g/L for 1 % vol"};
}

// Millionths of the volume that are water and sugar which went into the must.
std::optional<Amount> Ameliorated(const Case& c) {
  const v1::Substance both[] = {v1::SUBSTANCE_WATER, v1::SUBSTANCE_ENRICHMENT};
  int64_t ppm = 0;
  RowId entry = kNone;
  for (const WineEvent* event : AddedToMust(c, both)) {
    ppm = std::min(kMost, ppm + PerMillion(VolumeBrought(c, *event), VolumeMet(c, *event)));
    entry = event->row;
  }
  if (entry == kNone) return std::nullopt;
  return Amount{.value = ppm,
                .unit = v1::UNIT_PPM_VOLUME,
                .entry = entry,
                .how = "of what went into the must"};
}

std::optional<Amount> AddedByVolume(const Case& c, absl::Span<const v1::Substance> substances) {
  int64_t volume_ul = 0;
  for (const v1::Substance substance : substances)
    volume_ul += c.materials.VolumeOf(c.wine.doses, substance);
  if (volume_ul == 0) return std::nullopt;
  return Amount{.value = PerMillion(volume_ul, c.wine.volume_ul),
                .unit = v1::UNIT_PPM_VOLUME,
                .entry = LastAddition(c, substances),
                .how = "added in all"};
}

}  // namespace

std::optional<Amount> AddedByMass(const Case& c, absl::Span<const v1::Substance> substances,
                                  absl::string_view counted_as) {
  int64_t mass_ug = 0;
  for (const v1::Substance substance : substances)
    mass_ug += c.materials.MassOf(c.wine.doses, substance, counted_as);
  if (mass_ug == 0) return std::nullopt;
  return Amount{.value = PerMillion(mass_ug, c.wine.volume_ul),
                .unit = v1::UNIT_UG_PER_L,
                .entry = LastAddition(c, substances),
                .how = "added in all"};
}

std::optional<Amount> Measured(const Case& c, rundlet::v1::ReadingKind kind) {
  const WineEvent* reading = kind == 0 ? nullptr : c.LastReading(kind);
  if (reading == nullptr) return std::nullopt;
  v1::Happening sulfite;
  sulfite.add_groups("sulfite");
  const WineEvent* later = c.Last(sulfite);
  const auto ug_l = ReadUgPerL(*reading);
  const bool of_so2 =
      kind == rundlet::v1::READING_KIND_FREE_SO2 || kind == rundlet::v1::READING_KIND_TOTAL_SO2;
  if (!ug_l.has_value() || (of_so2 && later != nullptr && later->position > reading->position))
    return std::nullopt;
  return Amount{.value = *ug_l,
                .unit = v1::UNIT_UG_PER_L,
                .entry = reading->row,
                .how = "by its last reading"};
}

std::optional<Amount> AddedFor(const Case& c, const Limit& limit) {
  if (limit.kind == v1::KIND_FORBIDDEN) {
    auto amount = AddedByMass(c, limit.substances, "");
    return amount.has_value() ? amount : AddedByVolume(c, limit.substances);
  }
  switch (limit.unit) {
    case v1::UNIT_UG_PER_L:
    case v1::UNIT_UG_PER_KG:  // a kilogram of wine is a litre, to within what anybody can measure
      return AddedByMass(c, limit.substances, limit.counted_as);
    case v1::UNIT_PPM_ALCOHOL:
      return Among(limit.substances, v1::SUBSTANCE_ENRICHMENT) ? Enriched(c) : std::nullopt;
    case v1::UNIT_PPM_VOLUME:
      if (Among(limit.substances, v1::SUBSTANCE_AMELIORATION)) return Ameliorated(c);
      // A solution that the text describes is not what the book says was poured.
      return limit.counted_as.empty() ? AddedByVolume(c, limit.substances) : std::nullopt;
    default:
      return std::nullopt;
  }
}

bool AnyDoseOf(const Case& c, v1::Substance substance) {
  const bool mixed = substance == v1::SUBSTANCE_AMELIORATION;
  return std::any_of(c.wine.doses.begin(), c.wine.doses.end(), [&](const Share& dose) {
    const v1::Group* group = c.materials.GroupOf(c.fold.commodities().info(dose.of).handle);
    if (group == nullptr) return false;
    return group->substance() == substance ||
           (mixed && (group->substance() == v1::SUBSTANCE_WATER ||
                      group->substance() == v1::SUBSTANCE_ENRICHMENT));
  });
}

std::string AmountText(const Amount& amount) {
  return FigureText((amount.value + 99) / 100 * 100, amount.unit);
}

std::string LimitWords(const Case& c, const Quote& quote) {
  return absl::StrCat(quote.name, ": ", quote.figure, quote.condition.empty() ? "" : "; ",
                      quote.condition,
                      c.for_home ? " - for wine that is sold; advice for yours" : "");
}

Finding& AddLegal(const Case& c, const Limit& limit, RowId entry, Filled filled) {
  const Quote quote = QuoteOf(limit);
  Finding& finding = c.Add(entry, std::move(filled));
  finding.limit_id = limit.id;
  finding.legal = true;
  finding.source =
      quote.caveat.empty() ? quote.citation : absl::StrCat(quote.citation, "; ", quote.caveat);
  if (c.for_home) finding.severity = v1::SEVERITY_NOTE;
  return finding;
}

}  // namespace rundlet::rules
