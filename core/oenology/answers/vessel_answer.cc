#include "core/oenology/answers/vessel_answer.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "core/oenology/range.h"

namespace rundlet::oenology {
namespace {

// A measuring stick is read to 5 mm: what that makes in volume.
constexpr double kStickCm = 0.5;

void AddHeadspace(double full_l, double wine_l, Answer* answer) {
  const double headspace_l = std::max(0.0, full_l - wine_l);
  answer->Add("headspace", headspace_l, 1, "L");
  answer->Add("full", full_l, 1, "L");
  const absl::StatusOr<double> oxygen = HeadspaceOxygenMg(headspace_l);
  if (oxygen.ok() && headspace_l > 0) {
    if (*oxygen < 1000)
      answer->Add("oxygen in it, if it is air", *oxygen, 0, "mg");
    else
      answer->Add("oxygen in it, if it is air", *oxygen / 1000, 1, "g");
    answer->Rest(kHeadspaceOxygen);
  }
}

}  // namespace

absl::StatusOr<Answer> AnswerUprightCylinder(double diameter_cm, double height_cm,
                                             double depth_cm) {
  if (absl::Status s = FirstError({CheckRange("height", height_cm, 1, 5000, "cm"),
                                   CheckRange("depth", depth_cm, 0, height_cm, "cm")});
      !s.ok()) {
    return s;
  }
  const absl::StatusOr<double> wine = UprightCylinderL(diameter_cm, depth_cm);
  const absl::StatusOr<double> full = UprightCylinderL(diameter_cm, height_cm);
  if (!wine.ok()) return wine.status();
  if (!full.ok()) return full.status();
  Answer answer;
  const double error_l = *full / std::max(height_cm, 1.0) * kStickCm;
  answer.Add("wine", *wine, 1, "L", error_l);
  AddHeadspace(*full, *wine, &answer);
  answer.Step(absl::StrCat("pi x ", Print(diameter_cm, 1), "^2 x ", Print(depth_cm, 1),
                           " / 4000 = ", Print(*wine, 2), " L"));
  answer.Assume("inner measures, flat bottom; the depth is right to 5 mm");
  answer.Rest(kUprightCylinder);
  return answer;
}

absl::StatusOr<Answer> AnswerLyingCylinder(double diameter_cm, double length_cm, double depth_cm) {
  const absl::StatusOr<double> wine = LyingCylinderL(diameter_cm, length_cm, depth_cm);
  const absl::StatusOr<double> full = LyingCylinderL(diameter_cm, length_cm, diameter_cm);
  if (!wine.ok()) return wine.status();
  if (!full.ok()) return full.status();
  Answer answer;
  const absl::StatusOr<double> more =
      LyingCylinderL(diameter_cm, length_cm, std::min(depth_cm + kStickCm, diameter_cm));
  answer.Add("wine", *wine, 1, "L", more.ok() ? *more - *wine : 0);
  AddHeadspace(*full, *wine, &answer);
  answer.Step(absl::StrCat("the part of a circle of ", Print(diameter_cm, 1), " cm below ",
                           Print(depth_cm, 1), " cm, times ", Print(length_cm, 1),
                           " cm = ", Print(*wine, 2), " L"));
  answer.Assume("inner measures, flat heads, level; the depth is right to 5 mm");
  answer.Rest(kLyingCylinder);
  return answer;
}

absl::StatusOr<Answer> AnswerBarrel(const BarrelMeasures& barrel, std::optional<double> depth_cm) {
  const absl::StatusOr<BarrelVolume> volume = BarrelVolumeOf(barrel);
  if (!volume.ok()) return volume.status();
  Answer answer;
  if (depth_cm.has_value()) {
    const absl::StatusOr<double> wine = LyingBarrelL(barrel, *depth_cm);
    if (!wine.ok()) return wine.status();
    answer.Add("wine", *wine, 1, "L", *wine * 0.02);
    AddHeadspace(volume->parabola_l, *wine, &answer);
    answer.Rest(kBarrelPart);
    answer.Assume("the barrel lies level with the bung up");
  }
  answer.Add("barrel, staves as a parabola", volume->parabola_l, 1, "L", volume->parabola_l * 0.02);
  answer.Add("barrel, the common formula", volume->ellipse_l, 1, "L");
  answer.Add("barrel, as a cylinder of mean diameter", volume->mean_diameter_l, 1, "L");
  answer.Step(absl::StrCat("bung ", Print(barrel.bung_cm, 1), ", heads ", Print(barrel.head_cm, 1),
                           ", length ", Print(barrel.length_cm, 1), " cm, all inside"));
  answer.Assume("round sections and inner measures; a measured filling beats any formula");
  answer.Rest(kBarrelParabola);
  answer.Rest(kBarrelEllipse);
  answer.Rest(kBarrelMeanDiameter);
  return answer;
}

absl::StatusOr<Answer> AnswerBottles(double volume_l, double bottle_ml) {
  const absl::StatusOr<Bottles> bottles = BottlesOf(volume_l, bottle_ml);
  if (!bottles.ok()) return bottles.status();
  Answer answer;
  answer.Add("bottles", static_cast<double>(bottles->count), 0, "");
  answer.Add("left over", bottles->rest_l, 2, "L");
  answer.Step(absl::StrCat(Print(volume_l, 2), " L / ", Print(bottle_ml, 0),
                           " mL = ", Print(volume_l * 1000 / bottle_ml, 2)));
  answer.Assume("nothing is lost in filter, hose and tastings");
  answer.Rest(kBottles);
  return answer;
}

}  // namespace rundlet::oenology
