#include "client/sync/other_runs.h"

#include <grpcpp/grpcpp.h>

#include <algorithm>
#include <ostream>

#include "absl/strings/str_cat.h"
#include "absl/time/clock.h"
#include "client/base/exit_code.h"
#include "client/base/file.h"
#include "client/store/file_lock.h"
#include "client/store/store.h"
#include "client/sync/certificate.h"
#include "client/sync/channel.h"
#include "client/sync/connection.h"
#include "core/identity/qr.h"

namespace rundlet::client {
namespace {

constexpr absl::Duration kPatience = absl::Seconds(30);

int Answer(const absl::StatusOr<std::string>& answer, std::ostream& out) {
  out << static_cast<int>(answer.status().code()) << "\n"
      << (answer.ok() ? *answer : std::string(answer.status().message())) << std::flush;
  return answer.ok() ? kExitDone : kExitError;
}

absl::StatusOr<std::string> Call(const std::string& home, const std::string& method,
                                 const std::string& request, absl::Time deadline) {
  const auto store = Store::Open(StoreHome(home));
  if (!store.ok()) return store.status();
  const auto connection = ConnectionOf(*store);
  if (!connection.ok()) return connection.status();
  return CallByName(*connection, method, request, deadline);
}

// The certificate that is to be known, as the server shows it.
absl::StatusOr<ServerTrust> Look(const std::string& server, const ServerWords& words,
                                 const absl::StatusOr<ServerTrust>& known, absl::Time deadline) {
  if (words.authority) return ServerTrust{.kind = ServerTrust::Kind::kAuthority, .pem = {}};
  if (words.fingerprint.empty() && !known.ok()) return known;
  if (words.fingerprint.empty() && known->kind != ServerTrust::Kind::kPinned) return known;
  const auto wanted =
      words.fingerprint.empty() ? FingerprintOf(known->pem) : ParseFingerprint(words.fingerprint);
  if (!wanted.ok()) return wanted.status();
  auto pem = FetchCertificate(server, deadline);
  if (!pem.ok()) return pem.status();
  const auto shown = FingerprintOf(*pem);
  if (!shown.ok()) return shown.status();
  if (*shown == *wanted)
    return ServerTrust{.kind = ServerTrust::Kind::kPinned, .pem = *std::move(pem)};
  return absl::FailedPreconditionError(
      absl::StrCat("the server at ", server, " shows another certificate. Its fingerprint is\n  ",
                   FormatFingerprint(*shown), "\nand not\n  ", FormatFingerprint(*wanted),
                   "\nNothing was changed. Ask who keeps the server which of them is right"));
}

absl::StatusOr<std::string> SetServer(const std::string& dir, const ServerWords& words,
                                      absl::Time deadline) {
  const StoreHome home(dir);
  const auto lock = FileLock::Acquire(home.sync_lock(), kPatience,
                                      "a sync of this book is running: try again when it is done");
  if (!lock.ok()) return lock.status();
  auto store = Store::Open(home);
  if (!store.ok()) return store.status();
  Device device = store->device();
  if (device.server.empty() && !FileExists(home.token()))
    return absl::FailedPreconditionError(
        "this cellar has no server: to join one, ask for an invitation, then: rundlet join "
        "INVITATION");
  if (!words.address.empty()) device.server = words.address;
  const auto trust = Look(device.server, words, ReadServerTrust(home), deadline);
  if (!trust.ok()) return trust.status();
  // A plain way to another machine is refused here, not at the next sync.
  const auto channel = OpenChannel(device.server, *trust);
  if (!channel.ok()) return channel.status();
  // Nor is an authority believed that does not vouch for what the server shows.
  if (words.authority && !(*channel)->WaitForConnected(
                             absl::ToChronoTime(std::min(deadline, absl::Now() + kPatience)))) {
    return absl::FailedPreconditionError(absl::StrCat(
        "the server at ", device.server, " does not answer, or shows no certificate for that name ",
        "that an authority of this system vouches for. Nothing was changed. If it made its own, as "
        "rundletd does: rundlet server --fingerprint HEX"));
  }
  if (absl::Status s = WriteServerTrust(home, *trust); !s.ok()) return s;
  if (absl::Status s = store->UpdateDevice(device, 0); !s.ok()) return s;
  if (trust->kind != ServerTrust::Kind::kPinned) return std::string();
  const auto fingerprint = FingerprintOf(trust->pem);
  if (!fingerprint.ok()) return fingerprint.status();
  return FormatFingerprint(*fingerprint);
}

}  // namespace

int RunCall(const std::string& home, const std::string& method, const std::string& request,
            absl::Time deadline, std::ostream& out) {
  return Answer(Call(home, method, request, deadline), out);
}

int RunQr(const std::string& text, std::ostream& out) {
  const auto qr = MakeQr(text);
  if (!qr.ok()) return Answer(qr.status(), out);
  return Answer(DrawQr(*qr), out);
}

int RunServer(const std::string& home, const ServerWords& words, absl::Time deadline,
              std::ostream& out) {
  return Answer(SetServer(home, words, deadline), out);
}

}  // namespace rundlet::client
