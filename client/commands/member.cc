// rundlet member: the people of the cellar.
#include "client/commands/thing.h"

namespace rundlet::client {
namespace {

class MemberFields : public ThingFields {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--contact", contact_, "how to reach them");
    app.add_option("--household", household_, "of those who share one: rules on home wine ask it");
  }
  absl::Status Fill(const Planner&, v1::Thing& thing) const override {
    if (!contact_.empty()) thing.mutable_member()->set_contact(contact_);
    if (!household_.empty()) thing.mutable_member()->set_household(household_);
    return absl::OkStatus();
  }

 private:
  std::string contact_, household_;
};

}  // namespace

const ThingKind& MemberKind() {
  static const ThingKind* const kKind = new ThingKind{
      .kind = v1::Thing::kMember,
      .fields = [] { return std::unique_ptr<ThingFields>(new MemberFields); },
      .headings = {"Member", "Contact", "Household"},
      .row =
          [](const Fold&, Handle, const v1::Thing& thing) {
            return std::vector<std::string>{thing.member().name(), thing.member().contact(),
                                            thing.member().household()};
          }};
  return *kKind;
}

}  // namespace rundlet::client
