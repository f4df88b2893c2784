// Rooms, vessels, bottles.
#include "absl/status/status.h"
#include "client/numbers/subject.h"
#include "core/oenology/answers/adjust_answer.h"
#include "core/oenology/answers/fermentation_answer.h"
#include "core/oenology/answers/vessel_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;

absl::StatusOr<Answer> Fermentation(const Values& values) {
  oenology::FermentationInRoom what;
  what.volume_l = values["volume"];
  what.sugar_g_l = values["sugar"];
  what.room_c = values.Or("temperature", what.room_c);
  what.peak_share = values.Or("peak", what.peak_share * 100) / 100;
  what.limit_ppm = values.Or("limit", what.limit_ppm);
  what.room_m3 = values.Find("room");
  return oenology::AnswerFermentation(what);
}

absl::StatusOr<Answer> DissolvedGas(const Values& values) {
  return oenology::AnswerDissolvedGas(values["temperature"], values.Or("alcohol", 12),
                                      values["sugar"]);
}

absl::StatusOr<Answer> Cylinder(const Values& values) {
  const double diameter_cm = values["diameter"];
  const double depth_cm = values["depth"];
  if (const auto length_cm = values.Find("length"))
    return oenology::AnswerLyingCylinder(diameter_cm, *length_cm, depth_cm);
  if (!values.Has("height"))
    return absl::InvalidArgumentError(
        "say --height of one that stands, or --length of one that lies");
  return oenology::AnswerUprightCylinder(diameter_cm, values["height"], depth_cm);
}

absl::StatusOr<Answer> Barrel(const Values& values) {
  return oenology::AnswerBarrel(
      {.bung_cm = values["bung"], .head_cm = values["head"], .length_cm = values["length"]},
      values.Find("depth"));
}

absl::StatusOr<Answer> MakeUp(const Values& values) {
  const double concentrate_brix = values["brix"];
  const double volume_l = values["volume"];
  if (values.Has("to")) {
    const ScaleReading to = values.Scale("to");
    const auto density = oenology::DensityFrom(to.scale, to.value);
    if (!density.ok()) return density.status();
    const auto brix = oenology::ReadingOf(oenology::Scale::kBrix, *density);
    if (!brix.ok()) return brix.status();
    return oenology::AnswerMakeUpToBrix(volume_l, *brix, concentrate_brix);
  }
  if (!values.Has("concentrate")) {
    return absl::InvalidArgumentError(
        "say --concentrate, how much there is of it, or --to, the Brix that it shall have");
  }
  return oenology::AnswerMakeUpToVolume(values["concentrate"], concentrate_brix, volume_l);
}

absl::StatusOr<Answer> Bottles(const Values& values) {
  return oenology::AnswerBottles(values["volume"], values.Or("size", 750));
}

}  // namespace

std::vector<Subject> CellarSubjects() {
  return {
      {"fermentation",
       "gas and heat that a must gives off, and the air that the room needs",
       {{"volume", InputKind::kVolumeL, "of must: 23L", true},
        {"--sugar", InputKind::kGPerL, "that will ferment: 220g/L", true},
        {"--room", InputKind::kRoomM3, "the size of the room: 30m3"},
        {"--temperature", InputKind::kTemperature, "of the air; 20C if not said"},
        {"--peak", InputKind::kPercent, "of the sugar on the busiest day; 25% if not said"},
        {"--limit", InputKind::kNumber, "of carbon dioxide in ppm; 5000 if not said"}},
       Fermentation},
      {"gas",
       "carbon dioxide that a wine can hold",
       {{"--temperature", InputKind::kTemperature, "of the wine", true},
        {"--alcohol", InputKind::kPercent, "12% if not said"},
        {"--sugar", InputKind::kGPerL, "none if not said"}},
       DissolvedGas},
      {"cylinder",
       "what is in a cylinder, upright or lying",
       {{"--diameter", InputKind::kLengthCm, "inside: 60cm", true},
        {"--depth", InputKind::kLengthCm, "of the wine: 35cm", true},
        {"--height", InputKind::kLengthCm, "of one that stands"},
        {"--length", InputKind::kLengthCm, "of one that lies"}},
       Cylinder},
      {"barrel",
       "what a barrel holds by its inner measures, and what is in it",
       {{"--bung", InputKind::kLengthCm, "diameter at the bung", true},
        {"--head", InputKind::kLengthCm, "diameter of the heads", true},
        {"--length", InputKind::kLengthCm, "between the heads", true},
        {"--depth", InputKind::kLengthCm, "of the wine below the bung"}},
       Barrel},
      {"make-up",
       "concentrate made up with water to a volume, or to a volume and a density",
       {{"--brix", InputKind::kBrix, "of the concentrate: 68Brix", true},
        {"--volume", InputKind::kVolumeL, "to make: 23L", true},
        {"--concentrate", InputKind::kVolumeL, "all of this is used: 7L"},
        {"--to", InputKind::kScale, "density to have: 22Brix, 1.090"}},
       MakeUp},
      {"bottles",
       "bottles from a volume",
       {{"volume", InputKind::kVolumeL, "23L", true},
        {"--size", InputKind::kVolumeMl, "750mL if not said"}},
       Bottles},
  };
}

const std::vector<Subject>& AllSubjects() {
  static const std::vector<Subject>* const kAll = [] {
    auto* all = new std::vector<Subject>;
    for (std::vector<Subject> (*part)() :
         {DensitySubjects, StrengthSubjects, ChemistrySubjects, CellarSubjects}) {
      for (Subject& subject : part()) all->push_back(std::move(subject));
    }
    return all;
  }();
  return *kAll;
}

}  // namespace rundlet::client
