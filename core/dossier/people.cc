#include "core/dossier/people.h"

#include "absl/strings/str_cat.h"
#include "core/evidence/enrolment.h"

namespace rundlet::dossier {
namespace {

Uuid IdOf(const std::string& bytes) {
  const auto id = Uuid::FromBytes(bytes);
  return id.ok() ? *id : Uuid();
}

}  // namespace

void People::Take(uint64_t seq, const v1::Entry& entry) {
  const Uuid device = IdOf(entry.device_id());
  const Uuid member = IdOf(entry.author_id());
  authors_[device].emplace(member, seq);
  if (entry.has_invited()) {
    invitations_.try_emplace(entry.invited().invitation_key(),
                             Invitation{.seq = seq,
                                        .member = IdOf(entry.invited().member_id()),
                                        .by = member,
                                        .role = entry.invited().role()});
  }
  if (!entry.has_device_enrolled()) return;
  enrolled_.push_back(
      {.seq = seq, .device = device, .member = member, .said = entry.device_enrolled()});
  const auto key = evidence::PublicKey::FromBytes(entry.device_enrolled().public_key());
  if (key.ok()) keys_.Add(device, seq, *key);
}

bool People::MayInvite(const Uuid& member) const {
  for (const Enrolled& enrolled : enrolled_) {
    if (enrolled.member != member) continue;
    const auto by = invitations_.find(enrolled.said.invitation_key());
    if (by == invitations_.end() || by->second.role == v1::MEMBER_ROLE_MASTER) return true;
  }
  return false;
}

void People::CheckOne(const Enrolled& enrolled, std::vector<std::string>& problems,
                      std::vector<std::string>& unproven) const {
  const std::string who = absl::StrCat("the device ", enrolled.device.ToString(), " ('",
                                       enrolled.said.device_name(), "', entry ", enrolled.seq, ")");
  const auto device_key = evidence::PublicKey::FromBytes(enrolled.said.public_key());
  const auto invitation_key = evidence::PublicKey::FromBytes(enrolled.said.invitation_key());
  if (!device_key.ok() || !invitation_key.ok() ||
      !invitation_key->Verify(evidence::EnrolmentMessage({.cellar_id = cellar_id_,
                                                          .device_id = enrolled.device,
                                                          .device_key = *device_key,
                                                          .invitation_key = *invitation_key}),
                              enrolled.said.invitation_signature())) {
    problems.push_back(absl::StrCat(who, " was not let in by the invitation that it names"));
    return;
  }
  const auto invitation = invitations_.find(enrolled.said.invitation_key());
  if (invitation == invitations_.end()) {
    unproven.push_back(absl::StrCat(
        who, " came in by an invitation that no entry here makes: the keeper of the server did"));
    return;
  }
  if (invitation->second.member != enrolled.member)
    problems.push_back(absl::StrCat(who, " speaks for another member than was invited"));
  if (invitation->second.seq > enrolled.seq)
    problems.push_back(absl::StrCat(who, " came in before it was invited"));
  if (!MayInvite(invitation->second.by))
    unproven.push_back(absl::StrCat("the member who invited ", who,
                                    " was invited as no master: that they had become one, only the "
                                    "server says"));
}

void People::CheckAuthors(std::vector<std::string>& problems,
                          std::vector<std::string>& unproven) const {
  for (const auto& [device, members] : authors_) {
    const bool known = keys_.For(device, UINT64_MAX, UINT64_MAX) != nullptr;
    if (members.size() > 1) {
      problems.push_back(absl::StrCat("the device ", device.ToString(), " speaks for ",
                                      members.size(), " members, as at place ",
                                      members.rbegin()->second));
    } else if (!known) {
      unproven.push_back(absl::StrCat(
          "that the device ", device.ToString(),
          " wrote what is in its name: no entry says a key of it, so only the server says so"));
    }
  }
}

void People::Check(std::vector<std::string>& problems, std::vector<std::string>& unproven) const {
  std::map<std::string, Uuid> used;  // invitations
  std::set<Uuid> seen;               // devices
  for (const Enrolled& enrolled : enrolled_) {
    const bool first = seen.insert(enrolled.device).second;
    const std::string& invitation = enrolled.said.invitation_key();
    if (invitation.empty()) {
      // A later key is signed for by the one before it.
      if (first)
        unproven.push_back(absl::StrCat("the device ", enrolled.device.ToString(), " ('",
                                        enrolled.said.device_name(), "', entry ", enrolled.seq,
                                        ") names no invitation: it was there first, or before "
                                        "there were any"));
      continue;
    }
    const auto [it, fresh] = used.emplace(invitation, enrolled.device);
    if (!fresh && it->second != enrolled.device)
      problems.push_back(absl::StrCat("the device ", enrolled.device.ToString(),
                                      " came in by an invitation that another device had used"));
    CheckOne(enrolled, problems, unproven);
  }
  CheckAuthors(problems, unproven);
}

}  // namespace rundlet::dossier
