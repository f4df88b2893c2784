// rundlet gear lend, gear return: who has a shared thing.
#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "client/commands/commands.h"
#include "client/commands/gear_words.h"
#include "core/care/gear.h"
#include "core/quantity/when_parts.h"

namespace rundlet::client {
namespace {

// What stands against it: that somebody else has the thing, or has booked it for that time.
void WarnOfClashes(const Planner& planner, const Uuid& thing, const Uuid& member, int64_t from_us,
                   int64_t until_us, Change& change) {
  const Fold& fold = planner.fold();
  const Handle gear = fold.interner().Find(thing);
  const Handle who = fold.interner().Find(member);
  for (const care::Claim& claim : care::ClaimsAt(fold, planner.now().at_us)) {
    if (claim.gear != gear || claim.member == who) continue;
    if (claim.from_us >= until_us || (claim.until_us <= from_us && !claim.lent)) continue;
    change.warnings.push_back(absl::StrCat(fold.directory().NameOf(claim.member, fold.sequence()),
                                           claim.lent ? " has it, " : " has booked it, ",
                                           care::SpanText(fold, claim), ": talk to each other"));
  }
}

// gear lend "press 1" --to "Maud Ferrier" --until "next fri 18:00"
class GearLend : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto thing = FindGearOrVessel(planner, thing_);
    if (!thing.ok()) return thing.status();
    const auto member = planner.Named(v1::Thing::kMember, member_);
    if (!member.ok()) return member.status();
    v1::GearHanded handed;
    handed.set_equipment_id(thing->ToBytes());
    handed.set_member_id(member->ToBytes());
    handed.set_condition(condition_);
    int64_t until_us = planner.now().at_us + 1;
    if (!until_.empty()) {
      const auto until = ReadAnyTime("--until", until_, planner.now(), planner.zone());
      if (!until.ok()) return until.status();
      if (until->at_us <= planner.now().at_us)
        return Usage("--until: write a time to come, such as tomorrow 18:00");
      handed.set_until_us(until->at_us);
      until_us = until->at_us;
    }
    WarnOfClashes(planner, *thing, *member, planner.now().at_us, until_us, change);
    change.Add().mutable_gear_handed()->Swap(&handed);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", thing_, "the gear, or an empty vessel, by name")
        ->type_name("GEAR|VESSEL")
        ->required();
    app.add_option("--to", member_, "the member who has it from now on")
        ->type_name("MEMBER")
        ->required();
    app.add_option("--until", until_, "when it is to be back: tomorrow 18:00, 2026-10-03")
        ->type_name("TIME");
    app.add_option("--condition", condition_, "how it is: \"seal worn\"");
  }

 private:
  std::string thing_, member_, until_, condition_;
};

// gear return "press 1" --condition "seal worn"
class GearReturn : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto thing = FindGearOrVessel(planner, thing_);
    if (!thing.ok()) return thing.status();
    const Fold& fold = planner.fold();
    const care::GearState state =
        care::StateOf(fold, fold.interner().Find(*thing), planner.now().at_us);
    if (!state.lent.has_value())
      change.warnings.push_back("by the book nobody has it: it is in its place");
    v1::GearHanded& handed = *change.Add().mutable_gear_handed();
    handed.set_equipment_id(thing->ToBytes());
    handed.set_condition(condition_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", thing_, "the gear, or a vessel, by name")
        ->type_name("GEAR|VESSEL")
        ->required();
    app.add_option("--condition", condition_, "how it came back: \"seal worn\"");
  }

 private:
  std::string thing_, condition_;
};

// gear book "press 1" --who "Maud Ferrier" --from "next sat 9:00" --until 12:00 --for pressing
class GearBook : public ChangeCommand {
 public:
  absl::Status Make(Planner& planner, Change& change) override {
    const auto thing = FindGearOrVessel(planner, thing_);
    if (!thing.ok()) return thing.status();
    const auto member = planner.Named(v1::Thing::kMember, member_);
    if (!member.ok()) return member.status();
    const auto from = ReadAnyTime("--from", from_, planner.now(), planner.zone());
    if (!from.ok()) return from.status();
    // "12:00" is of the day on which it begins.
    const bool only_clock =
        ReadClock(absl::StrReplaceAll(absl::AsciiStrToLower(until_), {{" ", ""}})).has_value();
    const auto until =
        ReadAnyTime("--until", until_, only_clock ? *from : planner.now(), planner.zone());
    if (!until.ok()) return until.status();
    if (until->at_us <= from->at_us)
      return Usage(
          absl::StrCat("--until: ", FormatWhen(*until), " is not after ", FormatWhen(*from)));
    if (until->at_us <= planner.now().at_us)
      return Usage(absl::StrCat("--until: ", FormatWhen(*until), " is over already"));
    WarnOfClashes(planner, *thing, *member, from->at_us, until->at_us, change);
    v1::GearBooked& booked = *change.Add().mutable_gear_booked();
    booked.set_equipment_id(thing->ToBytes());
    booked.set_member_id(member->ToBytes());
    booked.set_from_us(from->at_us);
    booked.set_until_us(until->at_us);
    booked.set_purpose(purpose_);
    return absl::OkStatus();
  }

 protected:
  void DeclareWords(CLI::App& app) override {
    app.add_option("what", thing_, "the gear, or a vessel, by name")
        ->type_name("GEAR|VESSEL")
        ->required();
    app.add_option("--who", member_, "the member who wants it")->type_name("MEMBER")->required();
    app.add_option("--from", from_, "tomorrow 9:00, next sat 9:00, 2026-10-03 9:00")
        ->type_name("TIME")
        ->required();
    app.add_option("--until", until_, "12:00 of that day, or another time")
        ->type_name("TIME")
        ->required();
    app.add_option("--for", purpose_, "what it is wanted for");
  }

 private:
  std::string thing_, member_, from_, until_, purpose_;
};

}  // namespace

std::unique_ptr<Command> MakeGearLend() { return std::make_unique<GearLend>(); }
std::unique_ptr<Command> MakeGearReturn() { return std::make_unique<GearReturn>(); }
std::unique_ptr<Command> MakeGearBook() { return std::make_unique<GearBook>(); }

}  // namespace rundlet::client
