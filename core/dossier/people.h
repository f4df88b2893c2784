#ifndef RUNDLET_CORE_DOSSIER_PEOPLE_H_
#define RUNDLET_CORE_DOSSIER_PEOPLE_H_

#include <map>
#include <set>
#include <string>
#include <vector>

#include "core/base/uuid.h"
#include "core/evidence/key_ring.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::dossier {

// Who may sign for whom, by what the entries of a dossier say: which keys each device has, whose
// device it is, and who let it in.
class People {
 public:
  explicit People(const Uuid& cellar_id) : cellar_id_(cellar_id) {}

  // Every entry with its place, in their order.
  void Take(uint64_t seq, const v1::Entry& entry);

  const evidence::KeyRing& keys() const { return keys_; }

  // After everything was taken: sentences on what is wrong, and on what has to be believed.
  void Check(std::vector<std::string>& problems, std::vector<std::string>& unproven) const;

 private:
  struct Enrolled {
    uint64_t seq = 0;
    Uuid device, member;
    v1::DeviceEnrolled said;
  };
  struct Invitation {
    uint64_t seq = 0;
    Uuid member, by;  // who is invited, and who invites
    v1::MemberRole role = v1::MEMBER_ROLE_UNSPECIFIED;
  };

  void CheckOne(const Enrolled& enrolled, std::vector<std::string>& problems,
                std::vector<std::string>& unproven) const;
  void CheckAuthors(std::vector<std::string>& problems, std::vector<std::string>& unproven) const;
  // Whether a member came in as a master, or as nobody's guest: before all invitations.
  bool MayInvite(const Uuid& member) const;

  const Uuid cellar_id_;
  evidence::KeyRing keys_;
  std::vector<Enrolled> enrolled_;
  std::map<std::string, Invitation> invitations_;     // by key
  std::map<Uuid, std::map<Uuid, uint64_t>> authors_;  // by device: members, and a place of theirs
};

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_PEOPLE_H_
