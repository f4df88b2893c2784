#ifndef RUNDLET_SERVER_STORE_INVITATION_STORE_H_
#define RUNDLET_SERVER_STORE_INVITATION_STORE_H_

#include <optional>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "core/base/uuid.h"
#include "core/evidence/signing_key.h"
#include "core/rights/rights.h"
#include "rundlet/v1/cellar_service.pb.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {

// How long an invitation may be good at most.
inline constexpr absl::Duration kLongestInvitation = absl::Hours(24 * 30);

// Who may come in with one device; the public half of what an invitation holds.
struct InvitationRow {
  evidence::PublicKey key;
  Uuid member_id;
  std::string member_name;
  MemberRole role = MemberRole::kGuest;
  std::optional<Uuid> made_by;  // a device; none: the server's keeper
  absl::Time created_at;
  absl::Time expires_at;
  std::optional<absl::Time> revoked_at;
  std::optional<absl::Time> used_at;
  std::optional<Uuid> used_by;

  v1::InvitationState StateAt(absl::Time now) const;
};

// The invitations of a cellar. Errors are as Guard maps them.
class InvitationStore {
 public:
  explicit InvitationStore(CellarTransaction& transaction) : tx_(transaction) {}

  // AlreadyExists: there is one with this key.
  absl::Status Make(const InvitationRow& invitation);
  // NotFound: the cellar has none with this key, or there is no such cellar.
  absl::StatusOr<InvitationRow> Find(const evidence::PublicKey& key);
  // The newest first.
  absl::StatusOr<std::vector<InvitationRow>> List(int most);

  absl::Status MarkUsed(const evidence::PublicKey& key, const Uuid& device_id, absl::Time now);
  absl::Status Revoke(const evidence::PublicKey& key, absl::Time now);

  // What becomes of those that are open when something happens to who made them, or to whom they
  // are for; how many they were.
  absl::StatusOr<int> RevokeMadeByDevice(const Uuid& device_id, absl::Time now);
  absl::StatusOr<int> RevokeMadeByMember(const Uuid& member_id, absl::Time now);
  absl::StatusOr<int> RevokeFor(const Uuid& member_id, absl::Time now);

 private:
  absl::StatusOr<int> RevokeOpenWhere(absl::string_view condition, const Uuid& id, absl::Time now);

  CellarTransaction& tx_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_INVITATION_STORE_H_
