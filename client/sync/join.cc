#include "client/sync/join.h"

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cellar/cellar.h"
#include "client/store/file_lock.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kWriterPatience = absl::Seconds(10);
constexpr char kGuest[] = "guest";

absl::StatusOr<Store> JoinAgain(Store store, const Remote::Who& who) {
  const Device& ours = store.device();
  if (ours.cellar_id != who.device.cellar_id || ours.device_id != who.device.device_id) {
    return absl::AlreadyExistsError(absl::StrCat("this is the book of another device of '",
                                                 ours.cellar_name, "', in ", store.home().dir(),
                                                 ": join with a RUNDLET_HOME of its own"));
  }
  if (absl::Status status = store.UpdateDevice(who.device, who.last_device_seq); !status.ok())
    return status;
  return store;
}

}  // namespace

absl::StatusOr<Store> JoinCellar(const StoreHome& home, const std::string& server,
                                 const std::string& token, Remote& remote) {
  auto who = remote.GetDevice();
  if (absl::IsUnauthenticated(who.status())) {
    return absl::UnauthenticatedError(
        absl::StrCat(who.status().message(), ". Is ", server, " the server of this cellar?"));
  }
  if (!who.ok()) return who.status();
  who->device.server = server;
  // A lost book is made anew: the token that lies there is of no use without it.
  if (!FileExists(home.database())) {
    if (absl::Status status = RemoveFile(home.token()); !status.ok()) return status;
  }
  auto store = Store::Open(home);
  if (absl::IsNotFound(store.status())) {
    store = Store::Create(home, who->device, who->last_device_seq);
  } else if (store.ok()) {
    store = JoinAgain(*std::move(store), *who);
  }
  if (!store.ok()) return store.status();
  // After the store: with a token there is one.
  if (absl::Status status = WritePrivateFile(home.token(), token + "\n"); !status.ok())
    return status;
  return store;
}

absl::StatusOr<bool> RegisterMember(const StoreHome& home, const Environment& env) {
  const auto lock = FileLock::Acquire(home.writer_lock(), kWriterPatience,
                                      "another rundlet is writing on this device");
  if (!lock.ok()) return lock.status();
  auto cellar = OpenCellar(home);
  if (!cellar.ok()) return cellar.status();
  const Device& device = cellar->store.device();
  const Fold& fold = *cellar->fold;
  if (device.role == kGuest ||
      fold.directory().Find(fold.interner().Find(device.member_id)) != nullptr)
    return false;

  const When now = env.Now();
  v1::Entry draft;
  draft.set_effective_at_us(now.at_us);
  draft.set_utc_offset_min(now.utc_offset_min);
  draft.set_written_at_us(now.at_us);
  draft.mutable_registered()->set_thing_id(device.member_id.ToBytes());
  draft.mutable_registered()->mutable_member()->set_name(device.member_name);
  const auto before = cellar->store.Head();
  if (!before.ok()) return before.status();
  ChainHead head = *before;
  auto written = WriteEntry(device.writer(), env.NewId(), std::move(draft), head);
  if (!written.ok()) return written.status();
  if (absl::Status status = cellar->store.Append({*written}, *before); !status.ok()) return status;
  return true;
}

}  // namespace rundlet::client
