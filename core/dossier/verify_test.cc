// Goal: a dossier that holds is found to hold; every byte that is changed in it is found, by chance
// or on purpose; and so is every entry that is left out of a signature, put in another order, or
// put into another's mouth. Method: a small sealed journal of two devices. Each field of the
// message is flipped, once as damage on the way and once by somebody who makes the digest anew.
#include "core/dossier/verify.h"

#include <gmock/gmock.h>

#include <functional>

#include "core/dossier/testing.h"

namespace rundlet::dossier {
namespace {

using google::protobuf::FieldDescriptor;
using google::protobuf::Message;
using google::protobuf::Reflection;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

std::vector<std::string> ProblemsOf(const v1::Dossier& dossier) {
  const auto verdict = Verify(dossier);
  return verdict.ok() ? verdict->problems
                      : std::vector<std::string>{std::string(verdict.status().message())};
}

// Calls `visit` with each way of changing one value of a message a little, the message being
// changed in that way: of bytes and texts each byte, in turn the lowest and the highest bit.
void ForEachFlip(Message& message, const std::string& path,
                 const std::function<void(const std::string&)>& visit);

void FlipBytes(const std::string& was, const std::string& path,
               const std::function<void(const std::string&)>& set,
               const std::function<void(const std::string&)>& visit) {
  for (size_t i = 0; i < was.size(); ++i) {
    std::string changed = was;
    // A text stays UTF-8.
    changed[i] = static_cast<char>(changed[i] ^ (i % 2 == 0 || was[i] < 0 ? 0x01 : 0x02));
    set(changed);
    visit(path + "[" + std::to_string(i) + "]");
  }
  set(was + "x");
  visit(path + " and more");
  set(was);
}

void FlipField(Message& message, const FieldDescriptor& field, int index, const std::string& path,
               const std::function<void(const std::string&)>& visit) {
  const Reflection& r = *message.GetReflection();
  const bool repeated = field.is_repeated();
  switch (field.cpp_type()) {
    case FieldDescriptor::CPPTYPE_MESSAGE:
      ForEachFlip(*r.MutableRepeatedMessage(&message, &field, index), path, visit);
      break;
    case FieldDescriptor::CPPTYPE_STRING:
      FlipBytes(
          repeated ? r.GetRepeatedString(message, &field, index) : r.GetString(message, &field),
          path,
          [&](const std::string& value) {
            repeated ? r.SetRepeatedString(&message, &field, index, value)
                     : r.SetString(&message, &field, value);
          },
          visit);
      break;
    case FieldDescriptor::CPPTYPE_UINT32:
      r.SetUInt32(&message, &field, r.GetUInt32(message, &field) ^ 1);
      visit(path);
      r.SetUInt32(&message, &field, r.GetUInt32(message, &field) ^ 1);
      break;
    case FieldDescriptor::CPPTYPE_UINT64:
      r.SetUInt64(&message, &field, r.GetUInt64(message, &field) ^ 1);
      visit(path);
      r.SetUInt64(&message, &field, r.GetUInt64(message, &field) ^ 1);
      break;
    case FieldDescriptor::CPPTYPE_INT64:
      r.SetInt64(&message, &field, r.GetInt64(message, &field) ^ 1);
      visit(path);
      r.SetInt64(&message, &field, r.GetInt64(message, &field) ^ 1);
      break;
    default:
      ADD_FAILURE() << path << " is of a type that nobody flips";
  }
}

void ForEachFlip(Message& message, const std::string& path,
                 const std::function<void(const std::string&)>& visit) {
  for (int i = 0; i < message.GetDescriptor()->field_count(); ++i) {
    const FieldDescriptor& field = *message.GetDescriptor()->field(i);
    const std::string name = path + "." + field.name();
    const int count = field.is_repeated() ? message.GetReflection()->FieldSize(message, &field) : 1;
    for (int index = 0; index < count; ++index)
      FlipField(message, field, index, name + "#" + std::to_string(index), visit);
  }
}

// Of entries that somebody makes up.
const Uuid kMadeUp = *Uuid::Parse("01900000-0000-7000-8000-0000000000ff");

// The first master's key, the invitation, the hand's key, and what he wrote: one of each.
const std::vector<uint64_t> kFew = {1, 6, 8, 9};

class VerifyTest : public ::testing::Test {
 protected:
  SealedJournal journal_;
};

TEST_F(VerifyTest, AGoodOneHolds) {
  const auto verdict = Verify(journal_.Make(), KeyOf('s').public_key());
  ASSERT_TRUE(verdict.ok()) << verdict.status();
  EXPECT_THAT(verdict->problems, IsEmpty());
  ASSERT_EQ(verdict->lines.size(), journal_.places.size());
  for (const Line& line : verdict->lines) {
    EXPECT_TRUE(line.in_journal) << line.seq;
    EXPECT_NE(line.signed_by, "") << line.seq;
  }
  EXPECT_EQ(verdict->journal_size, journal_.places.size());
  EXPECT_THAT(verdict->lines[8].says, HasSubstr("drew 1 L"));
  EXPECT_EQ(verdict->lines[8].standing, "void");
  EXPECT_THAT(verdict->unproven, ::testing::ElementsAre(HasSubstr("names no invitation")))
      << "who was there first has to be believed";
}

TEST_F(VerifyTest, APartOfItHoldsAsWell) {
  const auto verdict = Verify(journal_.Make({1, 5, 6, 8, 9}));
  ASSERT_TRUE(verdict.ok()) << verdict.status();
  EXPECT_THAT(verdict->problems, IsEmpty());
}

TEST_F(VerifyTest, EveryByteChangedOnTheWayIsFound) {
  v1::Dossier dossier = journal_.Make(kFew);
  int flips = 0;
  ForEachFlip(dossier, "", [&](const std::string& where) {
    ++flips;
    EXPECT_THAT(ProblemsOf(dossier), Not(IsEmpty())) << where;
  });
  EXPECT_GT(flips, 2000);
  EXPECT_THAT(ProblemsOf(dossier), IsEmpty()) << "the test puts everything back";
}

TEST_F(VerifyTest, EveryByteChangedOnPurposeIsFoundButForTheMakersWords) {
  v1::Dossier dossier = journal_.Make(kFew);
  ForEachFlip(dossier, "", [&](const std::string& where) {
    const bool words = where.find(".title") == 0 || where.find(".cellar_name") == 0 ||
                       where.find(".made_at_us") == 0 || where.find(".digest") == 0;
    if (words) return;
    EXPECT_THAT(ProblemsOf(Forged(dossier)), Not(IsEmpty())) << where;
  });
}

TEST_F(VerifyTest, AnotherServersKeyIsNamed) {
  const auto verdict = Verify(journal_.Make(), KeyOf('x').public_key());
  ASSERT_TRUE(verdict.ok());
  EXPECT_THAT(verdict->problems, Contains(HasSubstr("which was demanded")));
}

TEST_F(VerifyTest, AnEntryThatWasRemovedOrMovedIsFound) {
  v1::Dossier removed = journal_.Make();
  removed.mutable_entries()->DeleteSubrange(3, 1);
  EXPECT_THAT(ProblemsOf(removed), Contains(HasSubstr("not as it was made")));
  v1::Dossier moved = journal_.Make();
  moved.mutable_entries()->SwapElements(3, 4);
  EXPECT_THAT(ProblemsOf(Forged(moved)), Contains(HasSubstr("the order was changed")));
  v1::Dossier swapped = journal_.Make();
  swapped.mutable_entries(3)->mutable_bytes()->swap(*swapped.mutable_entries(4)->mutable_bytes());
  EXPECT_THAT(ProblemsOf(Forged(swapped)), Contains(HasSubstr("place 4 is not what")));
  v1::Dossier twice = journal_.Make();
  *twice.add_entries() = twice.entries(2);
  EXPECT_THAT(ProblemsOf(Forged(twice)), Contains(HasSubstr("is here twice")));
}

TEST_F(VerifyTest, TheVoidOfALeftOutEntryIsTold) {
  const auto verdict = Verify(journal_.Make({1, 6, 8, 11}));
  ASSERT_TRUE(verdict.ok());
  EXPECT_THAT(verdict->problems, IsEmpty());
  EXPECT_THAT(verdict->unproven, Contains(HasSubstr("voids or amends one that is not here")));
}

// The server makes an entry up, or puts one into another's mouth: its own tree and checkpoint are
// as good as ever, but it has not the devices' keys.
TEST_F(VerifyTest, AForgedAuthorIsFound) {
  testing::TestDevice forger("phone");  // the same ids as the phone
  SealedJournal forged;
  forged.Record(forger, KeyOf('s'), {forger.WithId(kMadeUp).Observe("C1")});
  EXPECT_THAT(ProblemsOf(forged.Make()),
              Contains(AllOf(HasSubstr("the signature"), HasSubstr("is not good"))));

  SealedJournal unsigned_one;
  unsigned_one.Record(forger, KeyOf('s'), {forger.WithId(kMadeUp).Observe("C1")});
  unsigned_one.seals.pop_back();
  const auto verdict = Verify(unsigned_one.Make());
  ASSERT_TRUE(verdict.ok());
  EXPECT_EQ(verdict->lines.back().signed_by, "");
  EXPECT_THAT(verdict->unproven, Contains(HasSubstr("who wrote 1 entry (place 13)")));
  EXPECT_THAT(verdict->problems, Contains(HasSubstr("running number")))
      << "and the phone had used the number";
}

TEST_F(VerifyTest, ADeviceSpeaksForOneMember) {
  Writer writer = journal_.tablet().writer();
  writer.member_id = journal_.phone().writer().member_id;
  testing::TestDevice other("tablet", writer);
  SealedJournal journal;
  journal.Record(other, KeyOf('t'), {other.WithId(kMadeUp).Observe("C1")});
  EXPECT_THAT(ProblemsOf(journal.Make()), Contains(HasSubstr("speaks for 2 members")));
}

TEST_F(VerifyTest, ANewKeyIsSignedForByTheOldOne) {
  SealedJournal good;
  // The new key, and something after it, in one push that the old key signs; then the new one does.
  good.Record(good.tablet(), KeyOf('t'),
              {good.Enrol(good.tablet(), 'n'), good.tablet().Observe("C2")});
  good.Record(good.tablet(), KeyOf('n'), {good.tablet().Observe("C2")});
  EXPECT_THAT(ProblemsOf(good.Make()), IsEmpty());

  SealedJournal bad;
  bad.Record(bad.tablet(), KeyOf('n'), {bad.Enrol(bad.tablet(), 'n')});
  EXPECT_THAT(ProblemsOf(bad.Make()), Contains(HasSubstr("is not good")));
  SealedJournal old;
  old.Record(old.tablet(), KeyOf('t'), {old.Enrol(old.tablet(), 'n')});
  old.Record(old.tablet(), KeyOf('t'), {old.tablet().Observe("C2")});
  EXPECT_THAT(ProblemsOf(old.Make()), Contains(HasSubstr("is not good"))) << "it counts no longer";
}

// By whoever has the server's key: it takes no key of a device to put a new one into its mouth.
TEST_F(VerifyTest, AKeyThatNobodySignedForIsNone) {
  SealedJournal forged;
  forged.Record(forged.phone(), KeyOf('n'), {forged.Enrol(forged.phone(), 'n')});
  forged.Record(forged.phone(), KeyOf('n'), {forged.phone().Observe("C2", "vinegar")});
  v1::Dossier dossier = forged.Make();
  // The new key's own entry is not said to be covered by anything; what follows is, by the new key.
  v1::DossierEntry& enrolment = *dossier.mutable_entries(dossier.entries_size() - 2);
  const uint32_t dropped = enrolment.seal();
  enrolment.clear_seal();
  enrolment.clear_sealed_index();
  enrolment.clear_sealed_inclusion();
  dossier.mutable_seals()->DeleteSubrange(static_cast<int>(dropped) - 1, 1);
  dossier.mutable_entries(dossier.entries_size() - 1)->set_seal(dropped);
  const auto verdict = Verify(Forged(dossier));
  ASSERT_TRUE(verdict.ok()) << verdict.status();
  EXPECT_THAT(verdict->problems,
              AllOf(Contains(HasSubstr("says a key of its device that no good signature covers")),
                    Contains(HasSubstr("is not good"))));
  EXPECT_EQ(verdict->lines.back().signed_by, "") << "it is nobody's word";
}

// Not even a device's first key is believed without a signature of its own.
TEST_F(VerifyTest, AFirstKeySignsForItself) {
  v1::Dossier dossier = journal_.Make({1, 5});
  v1::DossierEntry& enrolment = *dossier.mutable_entries(0);
  ASSERT_EQ(enrolment.seal(), 1u);
  enrolment.clear_seal();
  enrolment.clear_sealed_index();
  enrolment.clear_sealed_inclusion();
  dossier.mutable_seals()->DeleteSubrange(0, 1);
  dossier.mutable_entries(1)->set_seal(1);
  EXPECT_THAT(ProblemsOf(Forged(dossier)),
              Contains(HasSubstr("place 1 says a key of its device that no good signature")));
}

// A file that was made to keep its reader busy: each seal would be held to each entry.
TEST_F(VerifyTest, MoreSignaturesThanEntriesAreNotLookedAt) {
  v1::Dossier dossier = journal_.Make();
  while (dossier.seals_size() <= dossier.entries_size()) *dossier.add_seals() = dossier.seals(0);
  const std::vector<std::string> problems = ProblemsOf(Forged(dossier));
  EXPECT_THAT(problems, Contains(HasSubstr("more signatures than entries")));
  EXPECT_THAT(problems, Not(Contains(HasSubstr("covers nothing that is here"))));
}

TEST_F(VerifyTest, ASignatureThatCoversNothingIsFound) {
  v1::Dossier dossier = journal_.Make();
  *dossier.add_seals() = dossier.seals(0);
  EXPECT_THAT(ProblemsOf(Forged(dossier)), Contains(HasSubstr("covers nothing that is here")));
}

TEST_F(VerifyTest, ANewerFormatIsSaidToBeOne) {
  v1::Dossier dossier = journal_.Make();
  dossier.set_format_version(2);
  EXPECT_THAT(ProblemsOf(Forged(dossier)), Contains(HasSubstr("newer rundlet")));
}

}  // namespace
}  // namespace rundlet::dossier
