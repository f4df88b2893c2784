#ifndef RUNDLET_CORE_QUANTITY_READING_KIND_H_
#define RUNDLET_CORE_QUANTITY_READING_KIND_H_

namespace rundlet {

// What is measured, and in what. The numbers are for this program only: what is stored or sent is
// mapped to the schema's own enums, name by name.

enum class ReadingKind {
  kUnspecified,
  kDensity,
  kTemperature,
  kPh,
  kTitratableAcidity,
  kFreeSo2,
  kTotalSo2,
  kVolatileAcidity,
  kResidualSugar,
  kAlcohol,
};

enum class ReadingUnit {
  kUnspecified,
  kSpecificGravity,  // relative to water, as the hydrometer at hand is marked
  kKgPerM3,          // the same number in g/L
  kGPerMl,
  kBrix,
  kPlato,
  kBaume,
  kOechsle,
  kCelsius,
  kFahrenheit,
  kPh,
  kGPerLTartaric,  // titratable acidity, as the acid named
  kGPerLSulfuric,
  kGPerLMalic,
  kGPerLAcetic,  // volatile acidity
  kMgPerL,       // written ppm by some
  kPercentVol,
  kGPerL,  // sugar
};

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_READING_KIND_H_
