// rundlet gear calibrate: an instrument was held against something known.
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "core/quantity/reading.h"
#include "core/view/wire_units.h"

namespace rundlet::client {
namespace {

// gear calibrate "hydrometer 2" --against "water at 20 C" --expected 1.000 --found 1.002
class GearCalibrate : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto thing = planner.Named(v1::Thing::kEquipment, thing_);
    if (!thing.ok()) return thing.status();
    const auto expected = ReadValue("--expected", expected_);
    if (!expected.ok()) return expected.status();
    const auto found = ReadValue("--found", found_);
    if (!found.ok()) return found.status();
    if (expected->unit != found->unit)
      return Usage(absl::StrCat("--found: write it in the unit of --expected ", expected_));
    v1::Calibrated calibrated;
    calibrated.set_equipment_id(thing->ToBytes());
    calibrated.set_against(against_);
    calibrated.set_unit(ToWire(expected->unit));
    calibrated.set_expected_micro(expected->value_micro);
    calibrated.set_found_micro(found->value_micro);
    if (!again_.empty()) {
      const auto day = ReadDay("--again", again_);
      if (!day.ok()) return day.status();
      if (*day < FormatWhenDay(planner.now()))
        return Usage(absl::StrCat("--again: ", *day, " is over: write a day to come"));
      calibrated.set_due_on(*day);
    }
    if (found->value_micro != expected->value_micro)
      change.warnings.push_back("readings with it are kept as read: take its error into account");
    change.Add().mutable_calibrated()->Swap(&calibrated);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", thing_, "the instrument")->type_name("GEAR")->required();
    app.add_option("--against", against_, "what is known: \"water at 20 C\", \"buffer 4.01\"")
        ->required();
    app.add_option("--expected", expected_, "what it should show: 1.000, \"pH 4.01\", 20C")
        ->type_name("VALUE")
        ->required();
    app.add_option("--found", found_, "what it showed")->type_name("VALUE")->required();
    app.add_option("--again", again_, "when to do it again: 2027-03")->type_name("DAY");
  }

 private:
  // A value that tells its kind by its unit; a bare number is a specific gravity or, from 2 on, a
  // pH.
  static absl::StatusOr<Reading> ReadValue(absl::string_view option, const std::string& text) {
    for (const ReadingKind kind :
         {ReadingKind::kUnspecified, ReadingKind::kDensity, ReadingKind::kPh}) {
      const auto reading = ParseReading(kind, text);
      if (reading.ok()) return reading;
    }
    return Usage(absl::StrCat(option, ": '", text,
                              "' is no value: write 1.000, \"pH 4.01\", 20C or 22 Brix"));
  }

  std::string thing_, against_, expected_, found_, again_;
};

}  // namespace

std::unique_ptr<Command> MakeGearCalibrate() { return std::make_unique<GearCalibrate>(); }

}  // namespace rundlet::client
