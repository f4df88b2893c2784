#include "client/sync/join.h"

#include <grpcpp/grpcpp.h>

#include <algorithm>
#include <optional>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "client/base/file.h"
#include "client/cellar/cellar.h"
#include "client/store/device_key.h"
#include "client/store/file_lock.h"
#include "client/store/rewrite_outbox.h"
#include "client/sync/certificate.h"
#include "client/sync/channel.h"
#include "client/sync/enrol.h"
#include "client/sync/grpc_remote.h"
#include "core/entry/entry.h"
#include "core/evidence/enrolment.h"
#include "core/rights/rights.h"
#include "rundlet/v1/join_service.grpc.pb.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kCallPatience = absl::Seconds(20);
constexpr absl::Duration kWriterPatience = absl::Seconds(10);

class Joiner {
 public:
  Joiner(const StoreHome& home, const JoinWords& words, const Environment& env, absl::Time deadline)
      : home_(home), words_(words), env_(env), deadline_(deadline) {}

  absl::StatusOr<Connection> Run();

 private:
  absl::Status LookAtBook();
  absl::Status KnowServer();
  absl::Status MakeRequest();
  absl::Status SignRequest();
  absl::Status Call();
  absl::Status TakeDevice();
  absl::StatusOr<KnownInJournal> ReadJournal();
  absl::Status BecomeDevice();
  absl::StatusOr<std::optional<v1::Entry>> Farewell() const;

  const StoreHome& home_;
  const JoinWords& words_;
  const Environment& env_;
  const absl::Time deadline_;
  std::optional<Device> old_;  // whose book is here
  Connection connection_;
  v1::JoinRequest request_;
  v1::JoinResponse response_;
  Device device_;
};

absl::Status Joiner::LookAtBook() {
  auto store = Store::Open(home_);
  if (store.ok()) {
    old_ = store->device();
    return CheckMayBecome(*store, words_.invitation.cellar_id);
  }
  // No book yet, or one that is lost: it is made anew, and the token that lies there is of no use.
  if (FileExists(home_.database()) && !absl::IsNotFound(store.status())) return store.status();
  if (FileExists(home_.salvaged())) return store.status();
  return RemoveFile(home_.token());
}

absl::Status Joiner::KnowServer() {
  const Invitation& invitation = words_.invitation;
  connection_.server = invitation.server;
  if (invitation.known == Invitation::Known::kPlainText)
    connection_.trust.kind = ServerTrust::Kind::kPlainText;
  if (invitation.known == Invitation::Known::kByAuthority)
    connection_.trust.kind = ServerTrust::Kind::kAuthority;
  if (invitation.known != Invitation::Known::kByFingerprint) return absl::OkStatus();
  auto pem = FetchCertificate(invitation.server, deadline_);
  if (!pem.ok()) return pem.status();
  const auto shown = FingerprintOf(*pem);
  if (!shown.ok()) return shown.status();
  if (*shown != invitation.fingerprint) {
    return absl::FailedPreconditionError(absl::StrCat(
        "what answers at ", invitation.server, " is not the server of this invitation. It shows a ",
        "certificate with the fingerprint\n  ", FormatFingerprint(*shown),
        "\nand the invitation says\n  ", FormatFingerprint(invitation.fingerprint),
        "\nNothing was sent. Somebody may stand between, or the server has a new certificate "
        "since: "
        "ask who keeps it, and for another invitation"));
  }
  connection_.trust = {.kind = ServerTrust::Kind::kPinned, .pem = *std::move(pem)};
  return absl::OkStatus();
}

absl::Status Joiner::SignRequest() {
  auto key = ReadDeviceKey(home_);
  if (absl::IsNotFound(key.status())) key = MakeDeviceKey(home_, env_);
  if (!key.ok()) return key.status();
  const auto device_id = Uuid::FromBytes(request_.device_id());
  if (!device_id.ok()) return device_id.status();
  const evidence::SigningKey& invitation_key = words_.invitation.key;
  const std::string message =
      evidence::EnrolmentMessage({.cellar_id = words_.invitation.cellar_id,
                                  .device_id = *device_id,
                                  .device_key = key->public_key(),
                                  .invitation_key = invitation_key.public_key()});
  const auto by_invitation = invitation_key.Sign(message);
  if (!by_invitation.ok()) return by_invitation.status();
  const auto by_device = key->Sign(message);
  if (!by_device.ok()) return by_device.status();
  request_.set_public_key(std::string(key->public_key().bytes()));
  request_.set_invitation_signature(*by_invitation);
  request_.set_device_signature(*by_device);
  return WriteJoinRequest(home_, request_);
}

absl::Status Joiner::MakeRequest() {
  const std::string invitation_key(words_.invitation.key.public_key().bytes());
  const auto before = ReadJoinRequest(home_);
  // The same device asks again with the same invitation: the answer may have been lost.
  const bool again = before.ok() && before->invitation_key() == invitation_key;
  request_.set_cellar_id(words_.invitation.cellar_id.ToBytes());
  request_.set_invitation_key(invitation_key);
  request_.set_device_id(again              ? before->device_id()
                         : old_.has_value() ? old_->device_id.ToBytes()
                                            : env_.NewId().ToBytes());
  request_.set_device_name(words_.device_name);
  if (old_.has_value() && old_->server.empty())
    request_.set_member_id(old_->member_id.ToBytes());
  else if (again)
    request_.set_member_id(before->member_id());
  return SignRequest();
}

absl::Status Joiner::Call() {
  const auto channel = OpenChannel(connection_.server, connection_.trust);
  if (!channel.ok()) return channel.status();
  const auto stub = v1::JoinService::NewStub(*channel);
  grpc::ClientContext context;
  context.set_deadline(absl::ToChronoTime(std::min(deadline_, absl::Now() + kCallPatience)));
  const grpc::Status got = stub->Join(&context, request_, &response_);
  if (got.ok()) return absl::OkStatus();
  return ExplainFailure(
      connection_, deadline_,
      absl::Status(static_cast<absl::StatusCode>(got.error_code()), got.error_message()));
}

absl::Status Joiner::TakeDevice() {
  const v1::GetDeviceResponse& said = response_.device();
  const auto cellar_id = Uuid::FromBytes(said.cellar_id());
  const auto device_id = Uuid::FromBytes(said.device_id());
  const auto member_id = Uuid::FromBytes(said.member_id());
  if (!cellar_id.ok() || !device_id.ok() || !member_id.ok() || response_.token().empty() ||
      said.cellar_id() != request_.cellar_id() || said.device_id() != request_.device_id()) {
    return absl::InternalError(absl::StrCat("the server at ", connection_.server,
                                            " let in another device than this one: upgrade it"));
  }
  device_ = {.cellar_id = *cellar_id,
             .member_id = *member_id,
             .device_id = *device_id,
             .cellar_name = said.cellar_name(),
             .member_name = said.member_name(),
             .device_name = said.device_name(),
             .role = said.role(),
             .server = connection_.server};
  connection_.token = response_.token();
  return absl::OkStatus();
}

// What the journal has already: where the book comes from a backup, or an answer was lost, some of
// what waits here is there.
absl::StatusOr<KnownInJournal> Joiner::ReadJournal() {
  auto remote = GrpcRemote::Connect(connection_, deadline_);
  if (!remote.ok()) return remote.status();
  KnownInJournal known;
  Sha256 sha;
  uint64_t last = 0;
  while (true) {
    const auto page = (*remote)->Pull(last);
    if (!page.ok()) return page.status();
    for (const PulledRow& row : page->rows) {
      v1::Entry entry;
      if (!entry.ParseFromString(row.bytes)) continue;
      const auto id = Uuid::FromBytes(entry.entry_id());
      if (id.ok()) known.entries[*id] = PlaceOf(entry);
      if (entry.device_id() == device_.device_id.bytes() &&
          entry.device_seq() > known.own.device_seq)
        known.own = {.device_seq = entry.device_seq(), .hash = LeafHash(sha, row.bytes)};
    }
    if (page->rows.empty() || page->rows.back().seq >= page->journal_size) return known;
    last = page->rows.back().seq;
  }
}

// Who wrote a book of their own may be called by another id in the cellar: the one of that name who
// is not asked for any more makes room.
absl::StatusOr<std::optional<v1::Entry>> Joiner::Farewell() const {
  if (old_->member_id == device_.member_id) return std::nullopt;
  const auto cellar = OpenCellar(home_);
  if (!cellar.ok()) return cellar.status();
  const Fold& fold = *cellar->fold;
  if (old_->cellar_id == device_.cellar_id ||
      fold.directory().Find(fold.interner().Find(old_->member_id)) == nullptr)
    return std::nullopt;
  const When now = env_.Now();
  v1::Entry draft;
  draft.set_effective_at_us(now.at_us);
  draft.set_utc_offset_min(now.utc_offset_min);
  draft.set_written_at_us(now.at_us);
  draft.mutable_retired()->set_thing_id(old_->member_id.ToBytes());
  return draft;
}

absl::Status Joiner::BecomeDevice() {
  auto known = ReadJournal();
  if (!known.ok()) return known.status();
  const auto lock = FileLock::Acquire(home_.writer_lock(), kWriterPatience,
                                      "another rundlet is writing on this device");
  if (!lock.ok()) return lock.status();
  Rewriting rewriting{.device = device_, .journal = *std::move(known), .first = {}, .last = {}};
  const auto role = ParseRole(device_.role);
  if (role.ok() && *role != MemberRole::kGuest) {
    rewriting.first.emplace_back(env_.NewId(), EnrolmentDraft(request_, env_.Now()));
    const auto farewell = Farewell();
    if (!farewell.ok()) return farewell.status();
    if (farewell->has_value()) rewriting.last.emplace_back(env_.NewId(), **farewell);
  }
  if (old_->cellar_id != device_.cellar_id) {
    if (absl::Status status = RemoveFile(home_.checkpoint()); !status.ok()) return status;
  }
  const auto counts = RewriteOutbox(home_, rewriting);
  if (!counts.ok()) return counts.status();
  return RemoveFile(home_.next_device_key());
}

absl::StatusOr<Connection> Joiner::Run() {
  if (absl::Status status = LookAtBook(); !status.ok()) return status;
  if (absl::Status status = KnowServer(); !status.ok()) return status;
  if (absl::Status status = MakePrivateDirs(home_.dir()); !status.ok()) return status;
  if (absl::Status status = MakeRequest(); !status.ok()) return status;
  absl::Status called = Call();
  if (absl::IsAlreadyExists(called) && old_.has_value()) {
    // The old device's id is not to be had again: this becomes a new one.
    request_.set_device_id(env_.NewId().ToBytes());
    if (absl::Status status = SignRequest(); !status.ok()) return status;
    called = Call();
  }
  if (!called.ok()) return called;
  if (absl::Status status = TakeDevice(); !status.ok()) return status;
  if (old_.has_value()) {
    if (absl::Status status = BecomeDevice(); !status.ok()) return status;
  } else {
    const auto store = Store::Create(home_, device_, response_.device().last_device_seq());
    if (!store.ok()) return store.status();
  }
  // After the store, which still goes with the old server until it is the new device's. Where the
  // process ends in between, the same invitation goes through all of it again.
  if (absl::Status status = WriteServerTrust(home_, connection_.trust); !status.ok()) return status;
  if (absl::Status status = WritePrivateFile(home_.token(), connection_.token + "\n"); !status.ok())
    return status;
  return connection_;
}

}  // namespace

absl::StatusOr<Connection> JoinCellar(const StoreHome& home, const JoinWords& words,
                                      const Environment& env, absl::Time deadline) {
  return Joiner(home, words, env, deadline).Run();
}

}  // namespace rundlet::client
