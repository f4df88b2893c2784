#include "client/commands/bottle_cautions.h"

#include <algorithm>
#include <vector>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "client/numbers/inputs.h"
#include "core/quantity/reading.h"
#include "core/view/log_line.h"
#include "core/view/wine_story.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

constexpr int64_t kDayUs = int64_t{24} * 3600 * 1'000'000;
constexpr double kSweetGravity = 1.000;  // above it sugar is certain
// A reading older than this says little of the wine as it is bottled.
constexpr int64_t kTooOldUs = 90 * kDayUs;
constexpr double kDrySugarGPerL = 4;  // what is called dry in most places

std::string AgeOf(int64_t at_us, const When& now) {
  const int64_t days = std::max<int64_t>(0, now.at_us - at_us) / kDayUs;
  if (days == 0) return "less than a day old";
  return absl::StrCat(days, days == 1 ? " day old" : " days old");
}

// What the readings of a wine say of the sugar that is left in it.
struct SugarEvidence {
  std::vector<std::string> said;
  bool any_holds = false;
  bool sweet = false;
};

void Weigh(const Fold& fold, const KnownReading& reading, const When& now, SugarEvidence& found) {
  const bool density = reading.kind == v1::READING_KIND_DENSITY;
  const std::string text = FormatReading(reading.value_micro, FromWire(reading.unit));
  const int64_t at_us = fold.sequence().row(reading.row).effective_at_us;
  std::string said = absl::StrCat(ReadingWord(reading.kind), " ", text, ", ", AgeOf(at_us, now));
  if (reading.changed_by != kNone) {
    absl::StrAppend(&said, ", before what was done to the wine since (",
                    ShortId(fold.sequence().row(reading.changed_by).id), ")");
  } else if (const auto value = ReadInput(density ? InputKind::kGravity : InputKind::kGPerL, text);
             value.ok()) {
    found.any_holds = found.any_holds || now.at_us - at_us < kTooOldUs;
    found.sweet = found.sweet || *value > (density ? kSweetGravity : kDrySugarGPerL);
  }
  found.said.push_back(std::move(said));
}

}  // namespace

std::string BottlingCaution(const Fold& fold, const Uuid& vessel, const When& now) {
  const Handle handle = fold.interner().Find(vessel);
  const std::string name = fold.directory().NameOf(handle, fold.sequence());
  SugarEvidence found;
  for (const KnownReading& reading : KnownReadings(fold, handle)) {
    if (reading.kind == v1::READING_KIND_DENSITY || reading.kind == v1::READING_KIND_RESIDUAL_SUGAR)
      Weigh(fold, reading, now, found);
  }
  std::sort(found.said.begin(), found.said.end());
  const std::string readings = absl::StrJoin(found.said, "; ");
  if (found.sweet) {
    return absl::StrCat(name, " still has sugar (", readings,
                        "): unless it is stabilised it ferments on in the bottle, and the bottles "
                        "BURST and hurt people. Do not bottle it before that is certain");
  }
  if (!found.any_holds) {
    return absl::StrCat(
        name, ": ", found.said.empty() ? "neither density nor sugar was ever read" : readings,
        ". Nobody knows whether sugar is left; where it is, the bottles BURST and hurt people. Do "
        "not bottle it before it was read: rundlet read ",
        name, " 0.996");
  }
  return absl::StrCat(name, ": ", readings,
                      ". Bottles burst where sugar ferments on in them: the density must have "
                      "stayed the same for weeks");
}

}  // namespace rundlet::client
