// The list of all equations, in the order of docs/oenology.md.
#include <vector>

#include "core/oenology/acids.h"
#include "core/oenology/adjust.h"
#include "core/oenology/alcohol.h"
#include "core/oenology/blend.h"
#include "core/oenology/carbon_dioxide.h"
#include "core/oenology/energy.h"
#include "core/oenology/equation.h"
#include "core/oenology/ethanol.h"
#include "core/oenology/fermentation.h"
#include "core/oenology/fining.h"
#include "core/oenology/forecast.h"
#include "core/oenology/hydrometer.h"
#include "core/oenology/must.h"
#include "core/oenology/refractometer.h"
#include "core/oenology/room_air.h"
#include "core/oenology/scales.h"
#include "core/oenology/sorbate.h"
#include "core/oenology/sucrose.h"
#include "core/oenology/sulfite.h"
#include "core/oenology/topping.h"
#include "core/oenology/vessel_volume.h"
#include "core/oenology/water.h"
#include "core/oenology/yeast.h"

namespace rundlet::oenology {
namespace {

// What is measured and reckoned.
constexpr const Equation* kMeasures[] = {
    &kWaterDensity,
    &kSucroseDensity,
    &kApparentGravity,
    &kMustDensity,
    &kMustSugar,
    &kGravity,
    &kPlato,
    &kBaume,
    &kOechsle,
    &kKmw,
    &kHydrometerWater,
    &kHydrometerSucrose,
    &kHydrometerWine,
    &kRefractiveIndex,
    &kRefractometerTemperature,
    &kRefractometerAlcohol,
    &kRefractometerFermenting,
    &kRogersonSymington,
    &kEthanolDensity,
    &kAlcoholByVolume,
    &kSulfurDioxideDensity,
    &kAlcoholFactor,
    &kAlcoholBalling,
    &kAlcoholCutaia,
    &kAlcoholExtract,
    &kExtract,
    &kResidualSugar,
    &kPotentialAlcohol,
    &kInstrumentAlcohol,
    &kEnergy,
    &kFermentationGas,
    &kFermentationHeat,
    &kFermentationWarming,
    &kRoomAir,
    &kRoomTime,
    &kRoomChanges,
    &kGasInWater,
    &kGasInWine20,
    &kGasInWine,
    &kLogisticForecast,
    &kTailForecast,
    &kUprightCylinder,
    &kLyingCylinder,
    &kBarrelParabola,
    &kBarrelEllipse,
    &kBarrelMeanDiameter,
    &kBarrelPart,
    &kBottles,
    &kHeadspaceOxygen,
};

// What is added, blended and topped.
constexpr const Equation* kAdditions[] = {
    &kMolecularSo2,
    &kSulfurPk,
    &kSulfurPkInWine,
    &kSulfiteYield,
    &kSulfiteFreeShare,
    &kSulfiteLoss,
    &kAcidEquivalents,
    &kTitration,
    &kAcidAddition,
    &kDeacidification,
    &kPhShift,
    &kSorbateDose,
    &kSorbicAcid,
    &kFiningRanges,
    &kBentoniteSlurry,
    &kBenchTrial,
    &kSilicaSol,
    &kCopperSulfate,
    &kOak,
    &kSugarAddition,
    &kSugarForAlcohol,
    &kConcentrateAddition,
    &kWaterAddition,
    &kMakeUp,
    &kSpirit,
    &kPearsonSquare,
    &kYanTarget,
    &kNutrientNitrogen,
    &kInoculum,
    &kYeastForSugar,
    &kBlendMean,
    &kBlendSolver,
    &kUllage,
    &kToppingChoice,
};

}  // namespace

absl::Span<const Equation* const> AllEquations() {
  static const std::vector<const Equation*>* const kAll = [] {
    auto* all = new std::vector<const Equation*>;
    for (const Equation* one : kMeasures) all->push_back(one);
    for (const Equation* one : kAdditions) all->push_back(one);
    return all;
  }();
  return *kAll;
}

}  // namespace rundlet::oenology
