#ifndef RUNDLET_SERVER_ADMIN_H_
#define RUNDLET_SERVER_ADMIN_H_

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "server/pg/connection_pool.h"
#include "server/store/device_store.h"
#include "server/store/invitation_store.h"

namespace rundlet::server {

// A device that was made, and its token, which is shown this once and kept nowhere.
struct NewDevice {
  Device device;
  std::string token;
};

// An invitation that was made. The seed is of its key, and is shown this once and kept nowhere.
struct NewInvitation {
  Uuid cellar_id;
  InvitationRow row;
  std::string seed;
};

// What an administrator does to cellars and devices, as the owner of the database. Works beside
// running servers.
class Admin {
 public:
  struct Options {
    std::string connection_string;
    bool transaction_pooling = false;  // see ConnectionPool
    std::function<absl::Time()> now;
    std::function<void(absl::Span<uint8_t>)> random;  // fills with random bytes fit for secrets
  };

  explicit Admin(Options options);

  // A cellar with nobody in it, and the invitation of its master. AlreadyExists: there is one of
  // this name.
  absl::StatusOr<NewInvitation> NewCellar(absl::string_view name, absl::string_view master,
                                          absl::Duration valid);

  // An invitation for a member; the same name is the same member. InvalidArgument: it would be good
  // for no time, or for more than thirty days.
  absl::StatusOr<NewInvitation> Invite(const Uuid& cellar_id, absl::string_view member,
                                       MemberRole role, absl::Duration valid);
  absl::StatusOr<std::vector<InvitationRow>> ListInvitations(const Uuid& cellar_id);
  // NotFound; FailedPrecondition: somebody came in by it.
  absl::Status RevokeInvitation(const Uuid& cellar_id, const evidence::PublicKey& key);

  // A device without a key, for a program that reads: it is a guest's and hands nothing in.
  absl::StatusOr<NewDevice> AddReader(const Uuid& cellar_id, absl::string_view member,
                                      absl::string_view device_name);

  // Its open invitations are void, too.
  absl::Status RevokeDevice(const Uuid& cellar_id, const Uuid& device_id);

  absl::StatusOr<std::vector<Device>> ListDevices(const Uuid& cellar_id);
  absl::StatusOr<std::vector<CellarName>> ListCellars();

  // The cellar of this id or, exactly, of this name. NotFound, naming those that there are;
  // FailedPrecondition if several have the name.
  absl::StatusOr<CellarName> FindCellar(absl::string_view id_or_name);

  ConnectionPool& pool() { return pool_; }
  absl::Time Deadline() const;

 private:
  Uuid NewId();
  absl::StatusOr<std::unique_ptr<CellarTransaction>> Begin(const Uuid& cellar_id);
  // The id of the member of this name, or a new one.
  absl::StatusOr<Uuid> MemberOf(CellarTransaction& transaction, absl::string_view name);
  absl::StatusOr<NewInvitation> MakeInvitation(CellarTransaction& transaction,
                                               absl::string_view member, const Uuid& member_id,
                                               MemberRole role, absl::Duration valid);

  const Options options_;
  ConnectionPool pool_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_ADMIN_H_
