// Goal: who has shared gear, who wants it when, and whether it is clean and true follows from the
// entries that count, in whatever order they arrive; two who want one thing are named.
// Method: small stories of the invented circle, on two devices.
#include "core/care/gear.h"

#include "absl/strings/str_cat.h"
#include "tests/support/cellar_fixture.h"
#include "tests/support/drafts.h"

namespace rundlet::care {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using namespace rundlet::testing;  // NOLINT: the fixture's words

constexpr int64_t kHour = 60 * kMinuteUs;

class GearTest : public CellarTest {
 protected:
  GearTest() {
    Do(phone_.RegisterEquipment("press 1"));
    for (const char* member : {"Maud Ferrier", "Colm Adeyemi"}) {
      v1::Entry entry;
      entry.mutable_registered()->set_thing_id(IdOf(member).ToBytes());
      entry.mutable_registered()->mutable_member()->set_name(member);
      Do(phone_.Write(entry));
    }
  }

  static v1::Entry Lend(absl::string_view member, int64_t until_us = 0,
                        absl::string_view condition = "") {
    v1::Entry entry;
    entry.mutable_gear_handed()->set_equipment_id(IdOf("press 1").ToBytes());
    if (!member.empty()) entry.mutable_gear_handed()->set_member_id(IdOf(member).ToBytes());
    entry.mutable_gear_handed()->set_until_us(until_us);
    entry.mutable_gear_handed()->set_condition(std::string(condition));
    return entry;
  }
  static v1::Entry Book(absl::string_view member, int64_t from_us, int64_t until_us) {
    v1::Entry entry;
    entry.mutable_gear_booked()->set_equipment_id(IdOf("press 1").ToBytes());
    entry.mutable_gear_booked()->set_member_id(IdOf(member).ToBytes());
    entry.mutable_gear_booked()->set_from_us(from_us);
    entry.mutable_gear_booked()->set_until_us(until_us);
    return entry;
  }
  std::vector<std::string> Clashes(int64_t now_us) {
    std::vector<std::string> texts;
    for (const Clash& clash : ClashesOf(fold_, ClaimsAt(fold_, now_us), now_us))
      texts.push_back(absl::StrCat(NameOf(fold_, clash.first.member), " and ",
                                   NameOf(fold_, clash.second.member)));
    return texts;
  }
  static std::string NameOf(const Fold& fold, Handle handle) {
    return fold.directory().NameOf(handle, fold.sequence());
  }

  const int64_t now_ = kDawnUs + 10 * kDayUs;
};

TEST_F(GearTest, TheLastWordOnAThingSaysWhoHasIt) {
  EXPECT_THAT(ClaimsAt(fold_, now_), IsEmpty());
  Do(phone_.At(now_).Write(Lend("Maud Ferrier")));
  Do(phone_.At(now_ + kHour).Write(Lend("Colm Adeyemi", 0, "seal worn")));
  ASSERT_THAT(ClaimsAt(fold_, now_ + kHour), SizeIs(1));
  EXPECT_EQ(NameOf(fold_, ClaimsAt(fold_, now_ + kHour)[0].member), "Colm Adeyemi");
  EXPECT_EQ(NameOf(fold_, ClaimsAt(fold_, now_)[0].member), "Maud Ferrier") << "then";
  Do(phone_.At(now_ + 2 * kHour).Write(Lend("")));
  EXPECT_THAT(ClaimsAt(fold_, now_ + 2 * kHour), IsEmpty());
  const GearState state = StateOf(fold_, HandleOf(fold_, "press 1"), now_ + 3 * kHour);
  EXPECT_FALSE(state.lent.has_value());
  EXPECT_EQ(state.condition, "seal worn") << "until somebody says something else";
}

TEST_F(GearTest, TwoWhoWantItAtOneTimeAreNamedWhoeverArrivesFirst) {
  TestDevice tablet("tablet");
  const auto late =
      phone_.At(now_ + 1).Write(Book("Colm Adeyemi", now_ + 3 * kHour, now_ + 5 * kHour));
  Do(late);
  EXPECT_THAT(Clashes(now_), IsEmpty());
  Do(tablet.At(now_).Write(Book("Maud Ferrier", now_ + 4 * kHour, now_ + 6 * kHour)));
  EXPECT_THAT(Clashes(now_), ElementsAre("Maud Ferrier and Colm Adeyemi")) << "who asked first";
  EXPECT_THAT(Clashes(now_ + 5 * kHour), IsEmpty()) << "one of them is over";
  Do(phone_.Write(draft::Void(EntryId(late.entry))));
  EXPECT_THAT(Clashes(now_), IsEmpty());
}

TEST_F(GearTest, BookingsThatOnlyTouchOrAreOfOnePersonDoNotClash) {
  Do(phone_.At(now_).Write(Book("Maud Ferrier", now_ + kHour, now_ + 2 * kHour)));
  Do(phone_.At(now_).Write(Book("Colm Adeyemi", now_ + 2 * kHour, now_ + 3 * kHour)));
  Do(phone_.At(now_).Write(Book("Maud Ferrier", now_ + kHour, now_ + 2 * kHour)));
  EXPECT_THAT(Clashes(now_), IsEmpty());
}

// An overdue loan stands in the way of who has booked the thing from yesterday on.
TEST_F(GearTest, ALoanThatIsNotEndedClashesWithABookingThatHasBegun) {
  Do(phone_.At(now_).Write(Lend("Maud Ferrier", now_ + kHour)));
  Do(phone_.At(now_).Write(Book("Colm Adeyemi", now_ + 2 * kHour, now_ + 9 * kHour)));
  EXPECT_THAT(Clashes(now_ + kHour), IsEmpty());
  EXPECT_THAT(Clashes(now_ + 3 * kHour), ElementsAre("Maud Ferrier and Colm Adeyemi"));
}

TEST_F(GearTest, UseAfterCleaningIsToldOfAVessel) {
  v1::Entry cleaned;
  cleaned.mutable_sanitised()->add_subject_ids(IdOf("C1").ToBytes());
  cleaned.mutable_sanitised()->set_agent("sulfite and citric acid");
  const auto first = Do(phone_.At(now_).Write(cleaned));
  const Handle vessel = HandleOf(fold_, "C1");
  EXPECT_EQ(StateOf(fold_, vessel, now_).cleaned, fold_.sequence().Find(EntryId(first.entry)));
  EXPECT_FALSE(StateOf(fold_, vessel, now_).used_since);
  Do(phone_.At(now_ + kHour).Receive("Riesling", {Fill("C1", 20 * kLitre)}));
  EXPECT_TRUE(StateOf(fold_, vessel, now_ + kHour).used_since);
  Do(phone_.At(now_ + 2 * kHour).Write(cleaned));
  EXPECT_FALSE(StateOf(fold_, vessel, now_ + 2 * kHour).used_since);
}

}  // namespace
}  // namespace rundlet::care
