// What doses ask of the wine, and the list of all of them.
#include "client/dose/dose_subject.h"
#include "core/oenology/scales.h"

namespace rundlet::client {

Need NeedPh(bool required) {
  return {"ph",    v1::READING_KIND_PH, InputKind::kPh, "pH, in place of the reading", "ph=3.40",
          required};
}

Need NeedAcidity(bool required) {
  return {"ta",
          v1::READING_KIND_TITRATABLE_ACIDITY,
          InputKind::kAcidity,
          "titratable acidity as tartaric, in place of the reading",
          "ta=6.0g/L",
          required};
}

Need NeedFreeSo2(bool required) {
  return {"free",
          v1::READING_KIND_FREE_SO2,
          InputKind::kMgPerL,
          "free SO2, in place of the reading",
          "so2=25mg/L",
          required};
}

Need NeedAlcohol(bool required) {
  return {"alcohol",           v1::READING_KIND_ALCOHOL,
          InputKind::kPercent, "alcohol, in place of the reading",
          "abv=12.5%",         required};
}

Need NeedTemperature() {
  return {"temperature",
          v1::READING_KIND_TEMPERATURE,
          InputKind::kTemperature,
          "temperature of the wine, in place of the reading",
          "temp=18C",
          false};
}

Need NeedGravity() {
  return {"density",
          v1::READING_KIND_DENSITY,
          InputKind::kGravity,
          "density, in place of the reading",
          "1.090",
          true};
}

absl::StatusOr<double> BrixOf(double gravity) {
  const auto density = oenology::DensityFrom(oenology::Scale::kGravity, gravity);
  if (!density.ok()) return density.status();
  return oenology::ReadingOf(oenology::Scale::kBrix, *density);
}

const std::vector<DoseSubject>& AllDoseSubjects() {
  static const std::vector<DoseSubject>* const kAll = [] {
    auto* all = new std::vector<DoseSubject>;
    for (std::vector<DoseSubject> (*part)() :
         {SulfiteDoses, AcidDoses, SugarDoses, FiningDoses, FermentingDoses}) {
      for (DoseSubject& subject : part()) all->push_back(std::move(subject));
    }
    return all;
  }();
  return *kAll;
}

}  // namespace rundlet::client
