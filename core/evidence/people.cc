#include "core/evidence/people.h"

#include <algorithm>
#include <utility>

#include "absl/strings/str_cat.h"
#include "core/evidence/enrolment.h"

namespace rundlet::evidence {
namespace {

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

}  // namespace

void People::Take(uint64_t seq, const v1::Entry& entry) {
  if (seq == 0) return;
  const Uuid device = IdOf(entry.device_id());
  const Uuid member = IdOf(entry.author_id());
  uint64_t& place = authors_[device].try_emplace(member, seq).first->second;
  place = std::min(place, seq);
  if (entry.has_invited()) {
    Invitation& invitation = invitations_[entry.invited().invitation_key()];
    if (invitation.seq == 0 || seq < invitation.seq)
      invitation = {.seq = seq,
                    .member = IdOf(entry.invited().member_id()),
                    .by_device = device,
                    .role = entry.invited().role()};
  }
  if (!entry.has_device_enrolled()) return;
  enrolled_[seq] = {
      .seq = seq, .device = device, .member = member, .said = entry.device_enrolled()};
  uint64_t& first = first_enrolled_.try_emplace(device, seq).first->second;
  first = std::min(first, seq);
}

const People::Invitation* People::Find(const std::string& invitation_key) const {
  const auto found = invitations_.find(invitation_key);
  return found == invitations_.end() ? nullptr : &found->second;
}

// By its first key alone: a later one is signed by the one before it and names no invitation.
People::Standing People::StandingOf(const Uuid& device) const {
  const auto first = first_enrolled_.find(device);
  if (first == first_enrolled_.end()) return Standing::kServerSays;
  if (first->second == 1) return Standing::kMaster;
  const Invitation* by = Find(enrolled_.at(first->second).said.invitation_key());
  if (by == nullptr) return Standing::kServerSays;
  return by->role == v1::MEMBER_ROLE_MASTER ? Standing::kMaster : Standing::kNoMaster;
}

// One pass over what was taken.
class People::Checking {
 public:
  Checking(const People& people, uint64_t after) : people_(people), after_(after) {}

  Findings Run() {
    for (const auto& [seq, enrolled] : people_.enrolled_) CheckEnrolled(enrolled);
    CheckAuthors();
    return std::move(findings_);
  }

 private:
  void Problem(std::string text) { findings_.problems.push_back(std::move(text)); }
  void Remark(uint64_t seq, std::string text) {
    if (seq > after_) findings_.remarks.push_back(std::move(text));
  }
  void CheckEnrolled(const Enrolled& enrolled);
  void CheckInvitation(const Enrolled& enrolled, const std::string& who);
  void CheckInviter(const Enrolled& enrolled, const Invitation& invitation, const std::string& who);
  void CheckAuthors();

  const People& people_;
  const uint64_t after_;
  Findings findings_;
  std::map<std::string, Uuid> used_;  // invitations, by key
};

void People::Checking::CheckEnrolled(const Enrolled& enrolled) {
  const std::string who =
      absl::StrCat("the device ", enrolled.device.ToString(), " ('", enrolled.said.device_name(),
                   "', place ", enrolled.seq, ") of member ", enrolled.member.ToString());
  if (!enrolled.said.invitation_key().empty()) return CheckInvitation(enrolled, who);
  if (people_.first_enrolled_.at(enrolled.device) != enrolled.seq) return;  // a later key
  if (enrolled.seq == 1) {
    Remark(1, absl::StrCat(who, " was there first, and names no invitation"));
  } else {
    Remark(enrolled.seq, absl::StrCat(who,
                                      " names no invitation: it was in before there were any, or "
                                      "the server made it up; ask its owner"));
  }
}

void People::Checking::CheckInvitation(const Enrolled& enrolled, const std::string& who) {
  if (!IsSignedByInvitation(people_.cellar_id_, enrolled.device, enrolled.said))
    return Problem(absl::StrCat(who, " was not let in by the invitation that it names"));
  const auto [used, fresh] = used_.emplace(enrolled.said.invitation_key(), enrolled.device);
  if (!fresh && used->second != enrolled.device)
    Problem(absl::StrCat(who, " came in by an invitation that another device had used"));
  const Invitation* invitation = people_.Find(enrolled.said.invitation_key());
  if (invitation != nullptr) return CheckInviter(enrolled, *invitation, who);
  Remark(enrolled.seq,
         enrolled.seq == 1
             ? absl::StrCat(who, " was there first, let in by the server's keeper")
             : absl::StrCat(who, " was let in by the server's keeper, not by a member"));
}

void People::Checking::CheckInviter(const Enrolled& enrolled, const Invitation& invitation,
                                    const std::string& who) {
  ++findings_.devices_let_in;
  if (invitation.member != enrolled.member)
    Problem(absl::StrCat(who, " speaks for another member than was invited, who is ",
                         invitation.member.ToString()));
  if (invitation.by_device == enrolled.device)
    return Problem(absl::StrCat(who, " came in by an invitation that it wrote itself"));
  // The inviter signed the invitation all the same. It comes late where the newcomer synced before
  // who invited, or the server was set back to a backup.
  if (invitation.seq > enrolled.seq)
    Remark(enrolled.seq, absl::StrCat(who,
                                      " came in before the invitation stood in the journal, "
                                      "at place ",
                                      invitation.seq));
  const std::string inviter =
      absl::StrCat(who, " was invited by the device ", invitation.by_device.ToString());
  switch (people_.StandingOf(invitation.by_device)) {
    case Standing::kMaster:
      break;
    case Standing::kNoMaster:
      Remark(enrolled.seq,
             absl::StrCat(inviter,
                          ", which came in as no master's: that its member had become one, only "
                          "the server says"));
      break;
    case Standing::kServerSays:
      Remark(enrolled.seq, absl::StrCat(inviter, ": that it is a master's, only the server says"));
      break;
  }
}

void People::Checking::CheckAuthors() {
  for (const auto& [device, members] : people_.authors_) {
    if (members.size() > 1) {
      std::string places;
      for (const auto& [member, seq] : members)
        absl::StrAppend(&places, places.empty() ? "" : ", ", member.ToString(), " at place ", seq);
      Problem(absl::StrCat("the device ", device.ToString(), " speaks for ", members.size(),
                           " members: ", places));
    } else if (!people_.first_enrolled_.contains(device)) {
      Remark(members.begin()->second,
             absl::StrCat("that the device ", device.ToString(),
                          " wrote what is in its name, only the server says: no entry says a key "
                          "of it"));
    }
  }
}

People::Findings People::Check(uint64_t after) const { return Checking(*this, after).Run(); }

}  // namespace rundlet::evidence
