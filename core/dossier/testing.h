#ifndef RUNDLET_CORE_DOSSIER_TESTING_H_
#define RUNDLET_CORE_DOSSIER_TESTING_H_

#include <algorithm>
#include <string>
#include <vector>

#include "core/dossier/file.h"
#include "core/dossier/maker.h"
#include "core/entry/entry.h"
#include "core/evidence/enrolment.h"
#include "core/evidence/seal.h"
#include "core/fold/fold.h"
#include "gtest/gtest.h"
#include "tests/support/cellar_builder.h"
#include "tests/support/drafts.h"

namespace rundlet::dossier {

// A key of a test: the same character, the same key.
inline evidence::SigningKey KeyOf(char name) {
  return *evidence::SigningKey::FromSeed(std::string(32, name));
}

// The journal of an invented cellar with two devices that sign: the first master's, who made the
// cellar, and a hand's, whom she invited. Everything is sealed as a server does it, a push at a
// time; then a dossier of all of it is made.
class SealedJournal {
 public:
  SealedJournal() {
    Record(phone_, KeyOf('p'), {Enrol(phone_, 'p')});
    Record(phone_, KeyOf('p'),
           {phone_.RegisterVessel("C1"), phone_.RegisterVessel("C2"), phone_.RegisterLot("White"),
            phone_.Receive("White", {testing::Fill("C1", 20 * testing::kLitre)}), Invite(),
            phone_.Rack({testing::DrawAll("C1")}, {testing::FillRest("C2")})});
    Record(tablet_, KeyOf('t'), {EnrolByInvitation()});
    tablet_.At(testing::kDawnUs + 60 * testing::kMinuteUs);  // when the wine is in C2
    slip_ = tablet_.Withdraw(testing::Draw("C2", testing::kLitre), v1::ACCOUNT_SAMPLE);
    Record(tablet_, KeyOf('t'), {slip_, tablet_.Observe("C2"), tablet_.Void(slip_.entry)});
    phone_.At(testing::kDawnUs + 90 * testing::kMinuteUs);
    Record(phone_, KeyOf('p'), {phone_.Observe("C2", "bright & <b>bold</b>")});
  }

  // Into the journal, as one push.
  void Record(testing::TestDevice& device, const evidence::SigningKey& key,
              const std::vector<WrittenEntry>& entries) {
    std::vector<Hash> leaves;
    v1::Seal seal;
    seal.set_device_id(device.writer().device_id.ToBytes());
    v1::SealRun& run = *seal.add_parts()->mutable_run();
    run.set_first_seq(places.size() + 1);
    run.set_count(entries.size());
    for (const WrittenEntry& entry : entries) {
      leaves.push_back(entry.hash);
      places.push_back(entry.hash);
      bytes.push_back(entry.bytes);
      fold.Insert(entry.entry);
    }
    fold.Settle();
    seal.set_last_seq(places.size());
    seal.set_signature(
        *SignSeal(evidence::SealOf(cellar(), device.writer().device_id, leaves), key));
    seals.push_back(seal);
  }

  WrittenEntry Enrol(testing::TestDevice& device, char key) {
    v1::Entry draft;
    draft.mutable_device_enrolled()->set_public_key(std::string(KeyOf(key).public_key().bytes()));
    draft.mutable_device_enrolled()->set_device_name("a device");
    return device.Write(draft);
  }

  // Of everything, or of the places named.
  v1::Dossier Make(const std::vector<uint64_t>& which = {}) const {
    evidence::Frontier tree;
    for (const Hash& place : places) tree.Append(place);
    const auto note = evidence::SignCheckpoint(
        {.cellar_id = cellar(), .size = tree.size(), .root = tree.Root()}, KeyOf('s'));
    auto maker = Maker::Create(*note, KeyOf('s').public_key(), places, seals);
    EXPECT_TRUE(maker.ok()) << maker.status();
    if (!maker.ok()) return {};
    for (uint64_t seq = 1; seq <= places.size(); ++seq) {
      if (!which.empty() && std::find(which.begin(), which.end(), seq) == which.end()) continue;
      EXPECT_TRUE(maker->Add(seq, bytes[seq - 1]).ok());
    }
    return maker->Finish("White", "Thistledown Wine Circle", testing::kDawnUs);
  }

  const Uuid& cellar() const { return phone_.writer().cellar_id; }
  testing::TestDevice& phone() { return phone_; }
  testing::TestDevice& tablet() { return tablet_; }
  const WrittenEntry& slip() const { return slip_; }  // that is void

  Fold fold;
  std::vector<Hash> places;
  std::vector<std::string> bytes;
  std::vector<v1::Seal> seals;

 private:
  WrittenEntry Invite() {
    v1::Entry draft;
    v1::Invited& invited = *draft.mutable_invited();
    invited.set_invitation_key(std::string(KeyOf('i').public_key().bytes()));
    invited.set_member_id(tablet_.writer().member_id.ToBytes());
    invited.set_member_name("Tobias Wren");
    invited.set_role(v1::MEMBER_ROLE_HAND);
    invited.set_expires_at_us(testing::kDawnUs + 10 * testing::kDayUs);
    return phone_.Write(draft);
  }
  WrittenEntry EnrolByInvitation() {
    v1::Entry draft;
    v1::DeviceEnrolled& enrolled = *draft.mutable_device_enrolled();
    const evidence::Enrolment enrolment{.cellar_id = cellar(),
                                        .device_id = tablet_.writer().device_id,
                                        .device_key = KeyOf('t').public_key(),
                                        .invitation_key = KeyOf('i').public_key()};
    enrolled.set_public_key(std::string(enrolment.device_key.bytes()));
    enrolled.set_device_name("tablet");
    enrolled.set_invitation_key(std::string(enrolment.invitation_key.bytes()));
    enrolled.set_invitation_signature(*KeyOf('i').Sign(EnrolmentMessage(enrolment)));
    return tablet_.Write(draft);
  }

  testing::TestDevice phone_{"phone"};
  testing::TestDevice tablet_{"tablet", "Tobias Wren"};
  WrittenEntry slip_;
};

// The digest is made anew, as by somebody who changed the file on purpose.
inline v1::Dossier Forged(v1::Dossier dossier) {
  dossier.set_digest(std::string(HashBytes(DigestOf(dossier))));
  return dossier;
}

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_TESTING_H_
