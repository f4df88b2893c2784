// rundlet read: measured values.
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "core/quantity/reading.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

using CoreReading = ::rundlet::Reading;

// "ph=3.4" and "ta=6.2g/L" say what they are; "20C" and "24.5Brix" by their unit; a bare number is
// a density.
absl::StatusOr<CoreReading> ReadValue(const std::string& word) {
  const NameAndValue split = SplitAtEquals(word);
  if (split.has_value) {
    const std::string name = absl::AsciiStrToLower(split.name);
    if (name == "so2") return ParseReading(ReadingKind::kFreeSo2, split.value);
    const auto kind = ParseReadingKind(name);
    if (!kind.ok()) return kind.status();
    return ParseReading(*kind, split.value);
  }
  const bool bare = word.find_first_not_of("0123456789.,-") == std::string::npos;
  return ParseReading(bare ? ReadingKind::kDensity : ReadingKind::kUnspecified, word);
}

// "ph 3.4" is written as readily as "ph=3.4".
std::vector<std::string> JoinNamesAndValues(const std::vector<std::string>& words) {
  std::vector<std::string> joined;
  for (size_t i = 0; i < words.size(); ++i) {
    const std::string name = absl::AsciiStrToLower(words[i]);
    const bool is_name = name == "so2" || ParseReadingKind(name).ok();
    if (is_name && i + 1 < words.size()) {
      joined.push_back(absl::StrCat(words[i], "=", words[i + 1]));
      ++i;
    } else {
      joined.push_back(words[i]);
    }
  }
  return joined;
}

// read C1 density=1.045 temp=20C pH=3.4
class Read : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    v1::Reading reading;
    reading.set_vessel_id(vessel->ToBytes());
    for (const std::string& word : JoinNamesAndValues(values_)) {
      const auto value = ReadValue(word);
      if (!value.ok())
        return absl::Status(value.status().code(),
                            absl::StrCat("'", word, "': ", value.status().message()));
      for (const v1::Measurement& other : reading.measurements()) {
        if (other.kind() == ToWire(value->kind)) {
          return Usage(absl::StrCat("'", word, "': the ", ReadingKindName(value->kind),
                                    " is there already"));
        }
      }
      v1::Measurement& measurement = *reading.add_measurements();
      measurement = ToWire(*value);
      measurement.set_method(method_);
    }
    if (!with_.empty()) {
      const auto gear = planner.Named(v1::Thing::kEquipment, with_);
      if (!gear.ok()) return gear.status();
      reading.set_equipment_id(gear->ToBytes());
    }
    change.Add().mutable_reading()->Swap(&reading);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    app.add_option("values", values_,
                   "what was read: 1.045, 20C, density=24.5Brix, pH=3.4, ta=6.2g/L, so2=28mg/L "
                   "(free), tso2=90mg/L, "
                   "va=0.4g/L, rs=4g/L, abv=12.5%")
        ->type_name("VALUE")
        ->required();
    app.add_option("--method", method_, "how it was measured: titration, strip ...");
    app.add_option("--with", with_, "the instrument, as registered: rundlet gear list")
        ->type_name("GEAR");
  }

 private:
  std::string vessel_, method_, with_;
  std::vector<std::string> values_;
};

}  // namespace

std::unique_ptr<Command> MakeRead() { return std::make_unique<Read>(); }

}  // namespace rundlet::client
