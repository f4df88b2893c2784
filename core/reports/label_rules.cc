#include "core/reports/label_rules.h"

#include "absl/strings/str_cat.h"

namespace rundlet::reports {
namespace {

constexpr int64_t kOne = 1'000'000;  // one per cent by volume
constexpr int64_t kTenth = kOne / 10;
constexpr int64_t kHalf = kOne / 2;

constexpr char kWineSource[] = "Reg. (EU) 2019/33, Art. 44";
constexpr char kWineSeen[] =
    "recalled; the same figures were read in its predecessor, Reg. (EC) 607/2009, Art. 54";
constexpr char kFruitSource[] = "Reg. (EU) 1169/2011, Annex XII, row 2";

// Of grapes, still; of grapes, sparkling or fortified; of other fruit and of honey.
constexpr AlcoholRule kEu[] = {
    {"EU", "still wine of grapes; 0.8 where it lay over three years in bottle under a PDO or PGI",
     kHalf, kHalf, kWineSource, kWineSeen},
    {"EU", "sparkling and liqueur wine of grapes", 8 * kTenth, kHalf, kWineSource, kWineSeen},
    {"EU", "cider, perry, fruit wine, mead", kOne, kTenth, kFruitSource, "read"},
};
// By strength: under 7, 7 to 14, above 14.
constexpr AlcoholRule kUs[] = {
    {"US", "wine under 7 % vol", kOne * 3 / 4, kTenth, "27 CFR 24.257(a)(3)",
     "read in an older edition"},
    {"US", "wine of 7 to 14 % vol; no figure is owed beside the words table wine or light wine",
     kOne * 3 / 2, kTenth, "27 CFR 4.36(a), (b)(1)", "read in an older edition"},
    {"US", "wine above 14 % vol; the figure must still show the right tax class", kOne, kTenth,
     "27 CFR 4.36(b)(1), (c)", "read in an older edition"},
};
constexpr AlcoholRule kAustralasia[] = {
    {"AU", "wine, fruit wine, mead", kOne * 3 / 2, kTenth, "Food Standards Code, Std 2.7.1",
     "from memory: check it before you rely on it"},
    {"AU", "fortified wine", kHalf, kTenth, "Food Standards Code, Std 2.7.1",
     "from memory: check it before you rely on it"},
};

}  // namespace

const AlcoholRule* AlcoholRuleFor(absl::string_view jurisdiction, const v1::Lot& lot,
                                  int64_t alcohol_micro, bool* assumed) {
  const bool still = lot.style().empty() || lot.style() == "still";
  *assumed = false;
  if (jurisdiction == "EU" || jurisdiction == "GB") {  // where the same regulations were kept
    *assumed = lot.fruit().empty();
    if (!lot.fruit().empty() && lot.fruit() != "grape") return &kEu[2];
    return still ? &kEu[0] : &kEu[1];
  }
  if (jurisdiction == "US") {
    if (alcohol_micro < 7 * kOne) return &kUs[0];
    return alcohol_micro <= 14 * kOne ? &kUs[1] : &kUs[2];
  }
  if (jurisdiction == "AU" || jurisdiction == "NZ")
    return lot.style() == "fortified" ? &kAustralasia[1] : &kAustralasia[0];
  return nullptr;
}

std::string PrintedAlcohol(const AlcoholRule& rule, int64_t alcohol_micro) {
  const int64_t steps = (alcohol_micro + rule.step_micro / 2) / rule.step_micro;
  const int64_t tenths = steps * rule.step_micro / kTenth;
  return absl::StrCat(tenths / 10, ".", tenths % 10, " % vol");
}

}  // namespace rundlet::reports
