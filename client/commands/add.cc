// rundlet add: materials into a vessel.
#include "absl/strings/str_cat.h"
#include "client/commands/addition_words.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "core/quantity/amount.h"

namespace rundlet::client {
namespace {

// add C1 "potassium metabisulfite" 2g "yeast nutrient" 0.3g/L
class Add : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    if (what_.size() % 2 != 0) {
      return Usage(absl::StrCat("how much of ", what_.back(), "? Write it, as in: rundlet add ",
                                vessel_, " '", what_.back(), "' 2g"));
    }
    const auto vessel = planner.Vessel(vessel_);
    if (!vessel.ok()) return vessel.status();
    v1::Addition addition;
    addition.set_vessel_id(vessel->ToBytes());
    const int64_t volume_ul = planner.moment().VolumeOf(*vessel);
    std::vector<std::string> materials;
    for (size_t i = 0; i < what_.size(); i += 2) materials.push_back(what_[i]);
    if (absl::Status status = CheckPackets(planner, materials, packets_); !status.ok())
      return status;
    for (size_t i = 0; i < what_.size(); i += 2) {
      auto line = ReadAddition(planner, {.material = what_[i], .amount = what_[i + 1]}, packets_,
                               volume_ul, change);
      if (!line.ok()) return line.status();
      addition.add_lines()->Swap(&*line);
    }
    if (absl::Status status = ReadMixing(addition); !status.ok()) return status;
    if (volume_ul == 0)
      change.warnings.push_back(
          absl::StrCat(vessel_, " holds no wine then: this waits in it for the wine"));
    change.Add().mutable_addition()->Swap(&addition);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("vessel", vessel_, "the vessel, or a lot that is in one alone")
        ->type_name("VESSEL|LOT")
        ->required();
    app.add_option("what", what_,
                   "a material and how much of it, as often as needed: sugar 200g nutrient 0.3g/L")
        ->type_name("MATERIAL AMOUNT")
        ->required();
    AddList(app, "--packet", packets_,
            "the packet that it is taken from; else the oldest that has not expired")
        ->type_name("PACKET");
    app.add_option("--mixed-in", mixed_in_,
                   "the water that it was stirred into first, which goes in with it: 500mL")
        ->type_name("VOLUME");
    app.add_option("--mixed-at", mixed_at_, "how warm that water was: 60C")
        ->type_name("TEMPERATURE");
  }

 private:
  absl::Status ReadMixing(v1::Addition& addition) const {
    if (mixed_in_.empty() && mixed_at_.empty()) return absl::OkStatus();
    if (addition.lines_size() != 1)
      return Usage(
          "--mixed-in and --mixed-at are about one material: add the others by themselves");
    v1::AdditionLine& line = *addition.mutable_lines(0);
    if (!mixed_in_.empty()) {
      const auto water_ul = ParseVolume(mixed_in_);
      if (!water_ul.ok()) return Usage(absl::StrCat("--mixed-in: ", water_ul.status().message()));
      line.set_mixed_in_ul(*water_ul);
      line.set_volume_effect_ul(line.volume_effect_ul() + *water_ul);
    }
    if (!mixed_at_.empty()) {
      const auto millic = ReadMillic("--mixed-at", mixed_at_);
      if (!millic.ok()) return millic.status();
      line.set_mixed_at_millic(*millic);
    }
    return absl::OkStatus();
  }

  std::string vessel_;
  std::vector<std::string> what_;
  std::vector<std::string> packets_;
  std::string mixed_in_, mixed_at_;
};

}  // namespace

std::unique_ptr<Command> MakeAdd() { return std::make_unique<Add>(); }

}  // namespace rundlet::client
