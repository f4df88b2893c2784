#ifndef RUNDLET_CORE_EVIDENCE_PEOPLE_H_
#define RUNDLET_CORE_EVIDENCE_PEOPLE_H_

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "core/base/uuid.h"
#include "rundlet/v1/entry.pb.h"

namespace rundlet::evidence {

// Who speaks for whom, and who let them in, by what the entries of a journal say:
//
// - A device speaks for one member.
// - A device that came in by an invitation signed its key with it, before no other device did, and
//   speaks for the member who was invited.
// - The invitation is an entry that a master's device wrote before: the first device of the cellar,
//   or one that was itself invited as a master.
//
// Whatever breaks the first two is a problem: the journal contradicts itself. Where the third is
// not to be seen in the journal, nobody but the server says so. That is a remark, as it may be
// right: the server's keeper lets in the first master, and whoever lost all devices; a hand becomes
// a master by a word to the server; an invitation may come to the server after who used it.
//
// Who signs by which key is another question (key_ring.h, seal_check.h). Not safe to share between
// threads.
class People {
 public:
  explicit People(const Uuid& cellar_id) : cellar_id_(cellar_id) {}

  // An entry with its place, in any order. Of entries that have none yet nothing can be said.
  void Take(uint64_t seq, const v1::Entry& entry);

  // Sentences, each with the device and the place.
  struct Findings {
    std::vector<std::string> problems;
    std::vector<std::string> remarks;
    int64_t devices_let_in = 0;  // by an invitation that stands in the journal
  };
  // After everything was taken. `after`: remarks only on what stands behind this place, as what
  // came before was told. What is at place 1 is the first device of the cellar, whom nobody could
  // let in: who does not want to hear of it either passes 1.
  Findings Check(uint64_t after = 0) const;

 private:
  struct Enrolled {
    uint64_t seq = 0;
    Uuid device, member;
    v1::DeviceEnrolled said;
  };
  struct Invitation {
    uint64_t seq = 0;
    Uuid member, by_device;  // who is invited, and whose device invites
    v1::MemberRole role = v1::MEMBER_ROLE_UNSPECIFIED;
  };
  // What a device could do when it came in.
  enum class Standing { kMaster, kNoMaster, kServerSays };
  class Checking;

  Standing StandingOf(const Uuid& device) const;
  const Invitation* Find(const std::string& invitation_key) const;

  const Uuid cellar_id_;
  std::map<uint64_t, Enrolled> enrolled_;             // by place
  std::map<Uuid, uint64_t> first_enrolled_;           // by device: a place
  std::map<std::string, Invitation> invitations_;     // by key
  std::map<Uuid, std::map<Uuid, uint64_t>> authors_;  // by device: members, and a place of theirs
};

}  // namespace rundlet::evidence

#endif  // RUNDLET_CORE_EVIDENCE_PEOPLE_H_
