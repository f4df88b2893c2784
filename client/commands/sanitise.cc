// rundlet sanitise: vessels and gear were made clean.
#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "core/entry/limits.h"
#include "core/quantity/format.h"
#include "core/quantity/reading.h"

namespace rundlet::client {
namespace {

constexpr int32_t kGlassMillic =
    50'000;  // common practice, no source: warmer water may crack glass

// Which nobody may leave in a vessel (common practice, no source).
bool IsLye(absl::string_view agent) {
  const std::string lower = absl::AsciiStrToLower(agent);
  for (const char* word : {"lye", "caustic", "hydroxide"}) {
    if (absl::StrContains(lower, word)) return true;
  }
  return false;
}

// sanitise C1 "siphon 1" --with "potassium metabisulfite" --strength 10g/L --minutes 10 --rinsed
class Sanitise : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    v1::Sanitised sanitised;
    std::string glass;
    for (const std::string& name : names_) {
      const auto thing = FindGearOrVessel(planner, name);
      if (!thing.ok()) return thing.status();
      sanitised.add_subject_ids(thing->ToBytes());
      if (const int64_t volume_ul = planner.moment().VolumeOf(*thing); volume_ul > 0)
        change.cautions.push_back(
            absl::StrCat(name, " holds ", FormatVolume(volume_ul),
                         " by the book: never clean a "
                         "vessel with wine in it; say when it was empty (--at), or where the wine "
                         "went"));
      if (absl::StrContains(absl::AsciiStrToLower(planner.Find(*thing)->vessel().made_of()),
                            "glass"))
        glass = name;
    }
    if (!packet_.empty()) {
      const auto packet = planner.Named(v1::Thing::kMaterialLot, packet_);
      if (!packet.ok()) return packet.status();
      sanitised.set_material_lot_id(packet->ToBytes());
    }
    sanitised.set_agent(agent_.empty() ? packet_ : agent_);
    if (sanitised.agent().empty())
      return Usage("with what? --with \"potassium metabisulfite\", --with \"boiling water\"");
    sanitised.set_strength(strength_);
    if (absl::Status status = ReadNumbers(sanitised); !status.ok()) return status;
    sanitised.set_rinsed(rinsed_);
    sanitised.set_rinse_needed(rinse_needed_ || IsLye(sanitised.agent()));
    Caution(sanitised, glass, change);
    change.Add().mutable_sanitised()->Swap(&sanitised);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", names_, "vessels and gear, by name")
        ->type_name("VESSEL|GEAR")
        ->required();
    app.add_option("--with", agent_, "the agent: \"potassium metabisulfite\", \"boiling water\"");
    app.add_option("--packet", packet_, "the packet that it came from")->type_name("PACKET");
    app.add_option("--strength", strength_, "as mixed: 10g/L")->type_name("RATE");
    app.add_option("--minutes", minutes_, "how long it worked")->type_name("NUMBER");
    app.add_option("--temperature", temperature_, "how warm: 60C")->type_name("TEMPERATURE");
    app.add_flag("--rinsed", rinsed_, "rinsed with clean water afterwards");
    app.add_flag("--rinse-needed", rinse_needed_, "its label wants it rinsed before use");
  }

 private:
  absl::Status ReadNumbers(v1::Sanitised& sanitised) const {
    if (!minutes_.empty()) {
      int32_t minutes = 0;
      if (!absl::SimpleAtoi(minutes_, &minutes) || minutes < 1 || minutes > kMaxDurationMin)
        return Usage(absl::StrCat("--minutes: '", minutes_, "' is no number of minutes"));
      sanitised.set_contact_min(minutes);
    }
    if (!temperature_.empty()) {
      const auto millic = ReadMillic("--temperature", temperature_);
      if (!millic.ok()) return millic.status();
      sanitised.set_temperature_millic(*millic);
    }
    return absl::OkStatus();
  }

  static void Caution(const v1::Sanitised& sanitised, const std::string& glass, Change& change) {
    change.cautions.push_back(
        "acids, lye and sulfite burn eyes and skin and sulfite fumes bring on asthma: gloves, "
        "goggles, air; never mix agents with each other");
    if (!glass.empty() && sanitised.temperature_millic() > kGlassMillic)
      change.cautions.push_back(absl::StrCat(glass, " is of glass: hot water cracks it"));
    if (sanitised.rinse_needed() && !sanitised.rinsed())
      change.warnings.push_back("it wants to be rinsed before use: --rinsed once that is done");
  }

  std::vector<std::string> names_;
  std::string agent_, packet_, strength_, minutes_, temperature_;
  bool rinsed_ = false;
  bool rinse_needed_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeSanitise() { return std::make_unique<Sanitise>(); }

}  // namespace rundlet::client
