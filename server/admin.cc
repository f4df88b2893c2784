#include "server/admin.h"

#include <array>
#include <memory>
#include <utility>

#include "absl/strings/str_cat.h"
#include "absl/strings/str_join.h"
#include "core/entry/limits.h"
#include "server/service/members.h"
#include "server/service/token.h"
#include "server/store/cellar_transaction.h"

namespace rundlet::server {
namespace {

constexpr absl::Duration kLongestWork = absl::Minutes(30);  // a rebuild of a large cellar
constexpr int kManyInvitations = 10'000;

absl::Status CheckNameOf(absl::string_view what, absl::string_view name) {
  if (CheckName(name).ok()) return absl::OkStatus();
  return absl::InvalidArgumentError(absl::StrCat("the name of a ", what,
                                                 " must not be empty, nor have more than ",
                                                 kMaxNameBytes, " bytes or control characters"));
}

}  // namespace

Admin::Admin(Options options)
    : options_(std::move(options)),
      pool_({.connection_string = options_.connection_string,
             .max_connections = 1,
             .role = "",  // the login role, which owns the schema
             .application_name = "rundletd-admin",
             .statement_timeout = kLongestWork,
             .transaction_pooling = options_.transaction_pooling,
             .prepare = CellarTransaction::Prepare}) {}

absl::Time Admin::Deadline() const { return options_.now() + kLongestWork; }

Uuid Admin::NewId() {
  std::array<uint8_t, 10> random;
  options_.random(absl::MakeSpan(random));
  return Uuid::Version7(absl::ToUnixMillis(options_.now()), random);
}

absl::StatusOr<std::unique_ptr<CellarTransaction>> Admin::Begin(const Uuid& cellar_id) {
  return CellarTransaction::Begin(pool_, cellar_id, Deadline());
}

absl::StatusOr<Uuid> Admin::MemberOf(CellarTransaction& transaction, absl::string_view name) {
  const auto devices = DeviceStore(transaction).List();
  if (!devices.ok()) return devices.status();
  for (const Device& device : *devices) {
    if (device.member_name == name) return device.member_id;
  }
  const auto invitations = InvitationStore(transaction).List(kManyInvitations);
  if (!invitations.ok()) return invitations.status();
  for (const InvitationRow& invitation : *invitations) {
    if (invitation.member_name == name) return invitation.member_id;
  }
  return NewId();
}

absl::StatusOr<NewInvitation> Admin::MakeInvitation(CellarTransaction& transaction,
                                                    absl::string_view member, const Uuid& member_id,
                                                    MemberRole role, absl::Duration valid) {
  absl::Status status = CheckNameOf("member", member);
  if (!status.ok()) return status;
  if (valid <= absl::ZeroDuration() || valid > kLongestInvitation)
    return absl::InvalidArgumentError("an invitation is good for thirty days at most: --valid 1d");
  std::array<uint8_t, evidence::SigningKey::kSeedSize> seed;
  options_.random(absl::MakeSpan(seed));
  NewInvitation made{.cellar_id = transaction.cellar_id(),
                     .seed = std::string(seed.begin(), seed.end())};
  const auto key = evidence::SigningKey::FromSeed(made.seed);
  if (!key.ok()) return key.status();
  const absl::Time now = options_.now();
  made.row = {.key = key->public_key(),
              .member_id = member_id,
              .member_name = std::string(member),
              .role = role,
              .created_at = now,
              .expires_at = now + valid};
  status = InvitationStore(transaction).Make(made.row);
  if (status.ok()) status = transaction.Commit();
  if (!status.ok()) return status;
  return made;
}

absl::StatusOr<NewInvitation> Admin::NewCellar(absl::string_view name, absl::string_view master,
                                               absl::Duration valid) {
  absl::Status status = CheckNameOf("cellar", name);
  if (!status.ok()) return status;
  const absl::StatusOr<std::vector<CellarName>> cellars = ListCellars();
  if (!cellars.ok()) return cellars.status();
  for (const CellarName& cellar : *cellars) {
    if (cellar.name != name) continue;
    return absl::AlreadyExistsError(
        absl::StrCat("there is a cellar '", name, "' here already (", cellar.cellar_id.ToString(),
                     "): choose another name, or let somebody into that one with: rundletd invite "
                     "--cellar '",
                     name, "' --member NAME"));
  }
  const auto transaction = Begin(NewId());
  if (!transaction.ok()) return transaction.status();
  status = DeviceStore(**transaction).MakeCellar(name, options_.now());
  if (!status.ok()) return status;
  return MakeInvitation(**transaction, master, NewId(), MemberRole::kMaster, valid);
}

absl::StatusOr<NewInvitation> Admin::Invite(const Uuid& cellar_id, absl::string_view member,
                                            MemberRole role, absl::Duration valid) {
  const auto transaction = Begin(cellar_id);
  if (!transaction.ok()) return transaction.status();
  const absl::StatusOr<Uuid> member_id = MemberOf(**transaction, member);
  if (!member_id.ok()) return member_id.status();
  return MakeInvitation(**transaction, member, *member_id, role, valid);
}

absl::StatusOr<std::vector<InvitationRow>> Admin::ListInvitations(const Uuid& cellar_id) {
  const auto transaction = Begin(cellar_id);
  if (!transaction.ok()) return transaction.status();
  return InvitationStore(**transaction).List(kManyInvitations);
}

absl::Status Admin::RevokeInvitation(const Uuid& cellar_id, const evidence::PublicKey& key) {
  const auto transaction = Begin(cellar_id);
  if (!transaction.ok()) return transaction.status();
  InvitationStore invitations(**transaction);
  const auto there = invitations.Find(key);
  if (!there.ok()) return there.status();
  if (there->used_by.has_value()) {
    return absl::FailedPreconditionError(
        absl::StrCat("somebody came in by this invitation already: rundletd device revoke ",
                     there->used_by->ToString()));
  }
  const absl::Status revoked = invitations.Revoke(key, options_.now());
  return revoked.ok() ? (*transaction)->Commit() : revoked;
}

absl::StatusOr<NewDevice> Admin::AddReader(const Uuid& cellar_id, absl::string_view member,
                                           absl::string_view device_name) {
  absl::Status status = CheckNameOf("member", member);
  if (status.ok()) status = CheckNameOf("device", device_name);
  if (!status.ok()) return status;
  const auto transaction = Begin(cellar_id);
  if (!transaction.ok()) return transaction.status();
  const absl::StatusOr<Uuid> member_id = MemberOf(**transaction, member);
  if (!member_id.ok()) return member_id.status();
  TokenSecret secret;
  options_.random(absl::MakeSpan(secret));
  NewDevice made{.device = {.cellar_id = cellar_id,
                            .device_id = NewId(),
                            .device_name = std::string(device_name),
                            .member_id = *member_id,
                            .member_name = std::string(member),
                            .role = MemberRole::kGuest}};
  made.token = FormatToken({cellar_id, made.device.device_id}, secret);
  made.device.token_sha256 = HashToken(made.token);
  status = DeviceStore(**transaction).MakeDevice(made.device, options_.now());
  if (status.ok()) status = (*transaction)->Commit();
  if (!status.ok()) return status;
  return made;
}

absl::Status Admin::RevokeDevice(const Uuid& cellar_id, const Uuid& device_id) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  const absl::Status revoked = DeviceStore(**transaction).Revoke(device_id, options_.now());
  if (!revoked.ok()) return revoked;
  const auto void_now =
      InvitationStore(**transaction).RevokeMadeByDevice(device_id, options_.now());
  return void_now.ok() ? (*transaction)->Commit() : void_now.status();
}

absl::StatusOr<std::vector<Device>> Admin::ListDevices(const Uuid& cellar_id) {
  const absl::StatusOr<std::unique_ptr<CellarTransaction>> transaction =
      CellarTransaction::Begin(pool_, cellar_id, Deadline());
  if (!transaction.ok()) return transaction.status();
  return DeviceStore(**transaction).List();
}

absl::StatusOr<std::vector<CellarName>> Admin::ListCellars() {
  const absl::StatusOr<ConnectionPool::Lease> lease = pool_.Borrow(Deadline());
  if (!lease.ok()) return lease.status();
  return DeviceStore::ListCellars(**lease);
}

absl::StatusOr<CellarName> Admin::FindCellar(absl::string_view id_or_name) {
  const absl::StatusOr<std::vector<CellarName>> cellars = ListCellars();
  if (!cellars.ok()) return cellars.status();
  const absl::StatusOr<Uuid> id = Uuid::Parse(id_or_name);
  std::vector<CellarName> found;
  std::vector<std::string> names;
  for (const CellarName& cellar : *cellars) {
    if (cellar.name == id_or_name || (id.ok() && cellar.cellar_id == *id)) found.push_back(cellar);
    names.push_back(absl::StrCat("'", cellar.name, "' (", cellar.cellar_id.ToString(), ")"));
  }
  if (found.size() == 1) return found[0];
  if (found.size() > 1) {
    return absl::FailedPreconditionError(
        absl::StrCat("several cellars are called '", id_or_name,
                     "': name one by its id: ", absl::StrJoin(names, ", ")));
  }
  return absl::NotFoundError(
      absl::StrCat("there is no cellar '", id_or_name, "': ",
                   names.empty() ? "make one with 'rundletd cellar new'"
                                 : absl::StrCat("there are ", absl::StrJoin(names, ", "))));
}

}  // namespace rundlet::server
