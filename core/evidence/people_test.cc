// Goal: a device that speaks for somebody who did not let it speak is a problem; one that nobody
// but the server vouches for is named; and what is in order says nothing. Method: devices of the
// (invented) circle write who invites whom, in the right way and in each wrong one.
#include "core/evidence/people.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/evidence/enrolment.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"

namespace rundlet::evidence {
namespace {

using rundlet::testing::TestDevice;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// A key of a test: the same character, the same key.
SigningKey KeyOf(char name) { return *SigningKey::FromSeed(std::string(32, name)); }

class PeopleTest : public ::testing::Test {
 protected:
  PeopleTest() { Take(maud_, Enrolment(maud_, 'm')); }

  void Take(TestDevice& device, const v1::Entry& draft) { TakeAt(++last_, device, draft); }
  void TakeAt(uint64_t seq, TestDevice& device, const v1::Entry& draft) {
    people_.Take(seq, device.Write(draft).entry);
  }
  // Without an invitation; or by one, signed with its key.
  static v1::Entry Enrolment(const TestDevice& device, char key, char invitation = 0) {
    v1::Entry draft;
    v1::DeviceEnrolled& enrolled = *draft.mutable_device_enrolled();
    enrolled.set_public_key(std::string(KeyOf(key).public_key().bytes()));
    enrolled.set_device_name("a device");
    if (invitation == 0) return draft;
    const std::string message =
        EnrolmentMessage({.cellar_id = device.writer().cellar_id,
                          .device_id = device.writer().device_id,
                          .device_key = KeyOf(key).public_key(),
                          .invitation_key = KeyOf(invitation).public_key()});
    enrolled.set_invitation_key(std::string(KeyOf(invitation).public_key().bytes()));
    enrolled.set_invitation_signature(*KeyOf(invitation).Sign(message));
    return draft;
  }
  static v1::Entry Invitation(const TestDevice& invited, char key, v1::MemberRole role) {
    v1::Entry draft;
    v1::Invited& body = *draft.mutable_invited();
    body.set_invitation_key(std::string(KeyOf(key).public_key().bytes()));
    body.set_member_id(invited.writer().member_id.ToBytes());
    body.set_member_name("an invented member");
    body.set_role(role);
    body.set_expires_at_us(testing::kDawnUs + 10 * testing::kDayUs);
    return draft;
  }
  // In the order of the journal: invited by a device, then there.
  void LetIn(TestDevice& newcomer, char key, char invitation, TestDevice& by, v1::MemberRole role) {
    Take(by, Invitation(newcomer, invitation, role));
    Take(newcomer, Enrolment(newcomer, key, invitation));
  }
  // But for the first device, of which the first test speaks.
  People::Findings Found() const { return people_.Check(1); }

  uint64_t last_ = 0;
  TestDevice maud_{"laptop", "Maud Ferrier"};
  TestDevice tobias_{"tablet", "Tobias Wren"};
  TestDevice isolde_{"phone", "Isolde Thornbury"};
  People people_{maud_.writer().cellar_id};
};

TEST_F(PeopleTest, WhoWasInvitedByAMasterNeedsNoWord) {
  LetIn(tobias_, 't', 'i', maud_, v1::MEMBER_ROLE_MASTER);
  LetIn(isolde_, 'p', 'j', tobias_, v1::MEMBER_ROLE_HAND);
  Take(isolde_, Enrolment(isolde_, 'q'));  // a later key
  EXPECT_THAT(Found().problems, IsEmpty());
  EXPECT_THAT(Found().remarks, IsEmpty());
  EXPECT_EQ(Found().devices_let_in, 2);
  EXPECT_THAT(people_.Check().remarks, ElementsAre(HasSubstr("was there first")));
}

TEST_F(PeopleTest, TheOrderOfTakingDoesNotMatter) {
  TakeAt(4, isolde_, Enrolment(isolde_, 'p', 'j'));
  TakeAt(3, tobias_, Invitation(isolde_, 'j', v1::MEMBER_ROLE_HAND));
  TakeAt(5, tobias_, Enrolment(tobias_, 'u'));
  TakeAt(2, tobias_, Enrolment(tobias_, 't', 'i'));
  TakeAt(6, maud_, Invitation(tobias_, 'x', v1::MEMBER_ROLE_MASTER));
  EXPECT_THAT(Found().problems, IsEmpty());
  EXPECT_THAT(Found().remarks, ElementsAre(HasSubstr("let in by the server's keeper"),
                                           HasSubstr("only the server says")));
}

// The server makes a device of Maud's up, with or without an invitation that it made as well.
TEST_F(PeopleTest, AnInventedDeviceIsNamed) {
  TestDevice invented("invented", "Maud Ferrier");
  Take(invented, Enrolment(invented, 'x'));
  EXPECT_THAT(Found().remarks,
              ElementsAre(AllOf(HasSubstr(invented.writer().device_id.ToString()),
                                HasSubstr(maud_.writer().member_id.ToString()),
                                HasSubstr("place 2"), HasSubstr("names no invitation"))));
  TestDevice other("other", "Maud Ferrier");
  Take(other, Enrolment(other, 'y', 'k'));
  EXPECT_THAT(Found().remarks,
              ElementsAre(HasSubstr("names no invitation"),
                          HasSubstr("let in by the server's keeper, not by a member")));
  EXPECT_THAT(people_.Check(2).remarks, ElementsAre(HasSubstr("let in by the server's keeper")))
      << "what was told is not told again";
}

TEST_F(PeopleTest, ADeviceSpeaksForOneMember) {
  LetIn(tobias_, 't', 'i', maud_, v1::MEMBER_ROLE_HAND);
  Writer writer = tobias_.writer();
  writer.member_id = maud_.writer().member_id;
  TestDevice changed("tablet", writer);
  people_.Take(++last_, changed.Observe("C1").entry);
  EXPECT_THAT(Found().problems,
              ElementsAre(AllOf(HasSubstr("speaks for 2 members"), HasSubstr("at place 4"))));
}

TEST_F(PeopleTest, ADeviceSpeaksForWhoWasInvited) {
  Take(maud_, Invitation(tobias_, 'i', v1::MEMBER_ROLE_HAND));
  Take(isolde_, Enrolment(isolde_, 'p', 'i'));
  EXPECT_THAT(Found().problems, ElementsAre(HasSubstr("another member than was invited")));
}

TEST_F(PeopleTest, AnInvitationIsForOneDeviceAndOneKey) {
  LetIn(tobias_, 't', 'i', maud_, v1::MEMBER_ROLE_HAND);
  TestDevice second("second", "Tobias Wren");
  Take(second, Enrolment(second, 's', 'i'));
  EXPECT_THAT(Found().problems, ElementsAre(HasSubstr("that another device had used")));
  v1::Entry stolen = Enrolment(isolde_, 'p', 'j');
  stolen.mutable_device_enrolled()->set_public_key(std::string(KeyOf('x').public_key().bytes()));
  Take(isolde_, stolen);
  EXPECT_THAT(Found().problems, ElementsAre(HasSubstr("that another device had used"),
                                            HasSubstr("not let in by the invitation")));
}

TEST_F(PeopleTest, AHandInvitesNobodyHoweverManyKeysItSays) {
  LetIn(tobias_, 't', 'i', maud_, v1::MEMBER_ROLE_HAND);
  Take(tobias_, Enrolment(tobias_, 'u'));  // names no invitation, as a first device's does
  LetIn(isolde_, 'p', 'j', tobias_, v1::MEMBER_ROLE_HAND);
  EXPECT_THAT(Found().problems, IsEmpty());
  EXPECT_THAT(Found().remarks, ElementsAre(AllOf(HasSubstr(isolde_.writer().device_id.ToString()),
                                                 HasSubstr("came in as no master's"))));
}

TEST_F(PeopleTest, WhoTheServerLetInIsAMasterByTheServersWordAlone) {
  Take(tobias_, Enrolment(tobias_, 't', 'k'));
  LetIn(isolde_, 'p', 'j', tobias_, v1::MEMBER_ROLE_HAND);
  EXPECT_THAT(Found().remarks, ElementsAre(HasSubstr("let in by the server's keeper"),
                                           HasSubstr("that it is a master's, only the server")));
}

TEST_F(PeopleTest, AnInvitationOfOnesOwnIsNone) {
  Take(tobias_, Enrolment(tobias_, 't', 'i'));
  Take(tobias_, Invitation(tobias_, 'i', v1::MEMBER_ROLE_MASTER));
  EXPECT_THAT(Found().problems, ElementsAre(HasSubstr("an invitation that it wrote itself")));
}

// The newcomer may sync before who invited does.
TEST_F(PeopleTest, AnInvitationThatComesLateIsNamed) {
  Take(tobias_, Enrolment(tobias_, 't', 'i'));
  Take(maud_, Invitation(tobias_, 'i', v1::MEMBER_ROLE_HAND));
  EXPECT_THAT(Found().problems, IsEmpty());
  EXPECT_THAT(Found().remarks, ElementsAre(HasSubstr("before the invitation stood")));
}

TEST_F(PeopleTest, AKeylessDeviceIsNamed) {
  people_.Take(++last_, isolde_.Observe("C1").entry);
  EXPECT_THAT(Found().remarks, ElementsAre(HasSubstr("no entry says a key of it")));
  people_.Take(0, tobias_.Observe("C1").entry);
  EXPECT_EQ(Found().remarks.size(), 1u) << "what waits for the server stands nowhere yet";
}

}  // namespace
}  // namespace rundlet::evidence
