#include "core/oenology/answers/fermentation_answer.h"

#include "absl/strings/str_cat.h"
#include "core/oenology/carbon_dioxide.h"
#include "core/oenology/fermentation.h"
#include "core/oenology/range.h"
#include "core/oenology/room_air.h"

namespace rundlet::oenology {
namespace {

absl::Status Check(const FermentationInRoom& w) {
  return FirstError({CheckRange("volume", w.volume_l, 0.1, 1e6, "L"),
                     CheckRange("sugar", w.sugar_g_l, 1, 400, "g/L"),
                     CheckRange("temperature of the room", w.room_c, 0, 40, "C"),
                     CheckShare("share on the busiest day", w.peak_share, 0.05, 1)});
}

void SayLimits(double limit_ppm, Answer* answer) {
  if (limit_ppm > kWorkingDayPpm) {
    answer->Warn(absl::StrCat(
        "a limit of ", Print(limit_ppm, 0), " ppm is above ", Print(kWorkingDayPpm, 0),
        " ppm, the most that people may breathe as the mean of a working day: nobody may stay in "
        "such air for more than minutes"));
  }
  for (const ExposureLimit& limit : CarbonDioxideLimits()) {
    answer->Step(absl::StrCat("limit ", limit.place, ", ", limit.basis, ": ", Print(limit.ppm, 0),
                              " ppm (", limit.source, "; ", StandingWords(limit.standing), ")"));
  }
}

// What only a room's size tells.
absl::Status AddRoom(const FermentationInRoom& what, double gas_m3_h, Answer* answer) {
  const absl::StatusOr<std::optional<double>> hours =
      HoursToLimit(*what.room_m3, gas_m3_h, 0, what.limit_ppm);
  if (!hours.ok()) return hours.status();
  if (hours->has_value()) {
    const bool soon = **hours < 1;
    answer->Add("until the closed room stands at the limit", soon ? **hours * 60 : **hours,
                soon ? 0 : 1, soon ? "min" : "h");
    answer->Rest(kRoomTime);
  }
  answer->Add("rule for rooms below ground: four changes of air an hour",
              kChangesBelowGroundPerH * *what.room_m3, 0, "m3/h");
  answer->Rest(kRoomChanges);
  return absl::OkStatus();
}

}  // namespace

absl::StatusOr<Answer> AnswerFermentation(const FermentationInRoom& what) {
  if (absl::Status s = Check(what); !s.ok()) return s;
  const absl::StatusOr<double> gas_g_l = CarbonDioxideGL(what.sugar_g_l);
  const absl::StatusOr<double> heat_kj_l = FermentationHeatKjL(what.sugar_g_l);
  const absl::StatusOr<double> warming = FermentationWarmingK(what.sugar_g_l);
  if (!gas_g_l.ok()) return gas_g_l.status();
  if (!heat_kj_l.ok()) return heat_kj_l.status();
  if (!warming.ok()) return warming.status();
  const double gas_g = *gas_g_l * what.volume_l;
  const absl::StatusOr<double> gas_l = CarbonDioxideVolumeL(gas_g, what.room_c);
  if (!gas_l.ok()) return gas_l.status();
  const double peak_m3_h = *gas_l * what.peak_share / 24 / 1000;
  const absl::StatusOr<double> air = FreshAirM3H(peak_m3_h, what.limit_ppm);
  if (!air.ok()) return air.status();

  Answer answer;
  answer.Add("carbon dioxide in all", gas_g / 1000, 2, "kg");
  answer.Add("as gas", *gas_l / 1000, 2, "m3");
  answer.Add("gas on the busiest day", *gas_l * what.peak_share, 0, "L/d");
  answer.Add("fresh air for it, at least", *air, 1, "m3/h");
  answer.Add("heat in all", *heat_kj_l * what.volume_l / 1000, 2, "MJ");
  answer.Add("heat on the busiest day", *heat_kj_l * what.volume_l * what.peak_share / 86400 * 1000,
             0, "W");
  answer.Add("warming if no heat is lost", *warming, 0, "K");
  answer.Step(absl::StrCat(Print(what.sugar_g_l, 0), " g/L x 0.4886 x 0.95 = ", Print(*gas_g_l, 1),
                           " g/L of gas; times ", Print(what.volume_l, 1), " L"));
  answer.Step(absl::StrCat("busiest hour ", Print(peak_m3_h * 1000, 1), " L: x (1 - c) / (c - ",
                           Print(kOutsidePpm, 0), " ppm) with c = ", Print(what.limit_ppm, 0),
                           " ppm = ", Print(*air, 2), " m3/h"));
  SayLimits(what.limit_ppm, &answer);
  answer.Assume(absl::StrCat("the busiest day takes ", Print(what.peak_share * 100, 0),
                             " % of the sugar: common practice, no source"));
  answer.Assume("air and gas mix; in truth the gas lies along the floor, so draw air off there");
  answer.Warn(
      "never a clearance to enter: only a meter tells what is in the air, and local codes say what "
      "a room must have");
  if (what.room_m3.has_value()) {
    if (absl::Status s = AddRoom(what, peak_m3_h, &answer); !s.ok()) return s;
  }
  answer.Mind(Caution::kCarbonDioxide);
  answer.Rest(kFermentationGas);
  answer.Rest(kRoomAir);
  answer.Rest(kFermentationHeat);
  answer.Rest(kFermentationWarming);
  return answer;
}

absl::StatusOr<Answer> AnswerDissolvedGas(double temperature_c, double alcohol_pct,
                                          double sugar_g_l) {
  constexpr double kAtmosphereKpa = 101.325;
  const absl::StatusOr<double> wine =
      GasInWineGL(temperature_c, kAtmosphereKpa, alcohol_pct, sugar_g_l);
  const absl::StatusOr<double> water = GasInWaterGL(temperature_c, kAtmosphereKpa);
  if (!wine.ok()) return wine.status();
  if (!water.ok()) return water.status();
  const absl::StatusOr<double> at_20 = GasInWine20GL(kAtmosphereKpa, alcohol_pct, sugar_g_l);
  if (!at_20.ok()) return at_20.status();
  Answer answer;
  answer.Add("held by the wine under one atmosphere of carbon dioxide", *wine, 2, "g/L",
             *wine / 20);
  answer.Add("by water", *water, 2, "g/L");
  const double ratio = WeissSolubility(temperature_c) / WeissSolubility(20);
  answer.Step(absl::StrCat("at 20 C: ", Print(*at_20, 3), " g/L; times ", Print(ratio, 3), " for ",
                           Print(temperature_c, 1), " C = ", Print(*wine, 3), " g/L"));
  answer.Assume("still wine just after fermentation; in open air nearly all of it leaves in time");
  answer.Rest(kGasInWine);
  answer.Rest(kGasInWine20);
  answer.Rest(kGasInWater);
  return answer;
}

}  // namespace rundlet::oenology
