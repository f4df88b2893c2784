// Density on all scales, and the instruments that it is read with.
#include "absl/status/status.h"
#include "client/numbers/subject.h"
#include "core/oenology/answers/instruments_answer.h"
#include "core/oenology/answers/scales_answer.h"

namespace rundlet::client {
namespace {

using oenology::Answer;
using oenology::BaumeModulus;

const Input kReading = {"reading", InputKind::kScale,
                        "as read at 20 C: 1.090, 22Brix, 12Baume, 90Oechsle, 1090kg/m3", true};
const Input kModulus = {"--baume",
                        InputKind::kWord,
                        "whose Baume degrees: us, dutch, gerlach, french",
                        false,
                        {"us", "dutch", "gerlach", "french"}};

BaumeModulus ModulusNamed(const std::string& word) {
  if (word == "dutch") return BaumeModulus::kDutch144;
  if (word == "gerlach") return BaumeModulus::kGerlach14678;
  if (word == "french") return BaumeModulus::kFrench14432;
  return BaumeModulus::kUs145;
}

absl::StatusOr<Answer> Scales(const Values& values) {
  const ScaleReading reading = values.Scale("reading");
  return oenology::AnswerScales(reading.scale, reading.value, ModulusNamed(values.Word("baume")));
}

absl::StatusOr<Answer> Potential(const Values& values) {
  const ScaleReading reading = values.Scale("reading");
  return oenology::AnswerPotentialAlcohol(reading.scale, reading.value,
                                          ModulusNamed(values.Word("baume")));
}

absl::StatusOr<Answer> Hydrometer(const Values& values) {
  return oenology::AnswerHydrometer({.gravity = values["reading"],
                                     .temperature_c = values["temperature"],
                                     .calibration_c = values.Or("made-for", 20)},
                                    values.Find("alcohol"));
}

absl::StatusOr<Answer> Refractometer(const Values& values) {
  const double brix = values["brix"];
  if (const auto gravity = values.Find("gravity"))
    return oenology::AnswerRefractometerWithGravity(brix, *gravity);
  if (const auto original = values.Find("original"))
    return oenology::AnswerRefractometerWithOriginal(brix, *original);
  if (const auto baume = values.Find("fortified")) return oenology::AnswerFortified(brix, *baume);
  if (const auto temperature = values.Find("temperature"))
    return oenology::AnswerRefractometerTemperature(brix, *temperature);
  return absl::InvalidArgumentError(
      "say what else is known: --gravity by the hydrometer, --original before fermenting, "
      "--fortified with the Baume reading, or --temperature for juice");
}

}  // namespace

std::vector<Subject> DensitySubjects() {
  return {
      {"scales", "one reading of density on all scales", {kReading, kModulus}, Scales},
      {"potential",
       "the alcohol that the sugar of a must can give",
       {kReading, kModulus},
       Potential},
      {"hydrometer",
       "a hydrometer read at another temperature than its own",
       {{"reading", InputKind::kGravity, "as read: 1.090", true},
        {"--temperature", InputKind::kTemperature, "of the sample: 24C, 76F", true},
        {"--made-for", InputKind::kTemperature, "as marked on it: 20C if not said"},
        {"--alcohol", InputKind::kPercent, "of a dry wine; left out for juice and must"}},
       Hydrometer},
      {"refractometer",
       "a refractometer, also while alcohol is present",
       {{"brix", InputKind::kBrix, "as read, in Brix", true},
        {"--gravity", InputKind::kGravity, "of the same sample by hydrometer"},
        {"--original", InputKind::kBrix, "Brix before it fermented"},
        {"--fortified", InputKind::kNumber, "a fortified wine: its Baume by hydrometer"},
        {"--temperature", InputKind::kTemperature, "of juice, without compensation"}},
       Refractometer},
  };
}

}  // namespace rundlet::client
