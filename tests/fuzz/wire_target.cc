// What comes over the wire or in a file that a stranger may have written: entries, pushes, seals,
// invitations, signed checkpoints, keys, dossiers. The first byte says which.
#include <string>

#include "absl/strings/str_cat.h"
#include "core/dossier/file.h"
#include "core/entry/entry.h"
#include "core/evidence/checkpoint.h"
#include "core/evidence/key_ring.h"
#include "core/evidence/seal_check.h"
#include "core/identity/invitation.h"
#include "rundlet/v1/cellar_service.pb.h"
#include "rundlet/v1/seal.pb.h"
#include "tests/fuzz/target.h"

namespace rundlet::testing {
namespace {

absl::Status TryEntry(absl::string_view bytes) {
  const auto entry = ParseEntry(bytes);
  if (!entry.ok()) {
    return Promise(absl::IsInvalidArgument(entry.status()) || absl::IsUnimplemented(entry.status()),
                   "no other error than these two", entry.status().ToString());
  }
  if (absl::Status s = Promise(CheckEntry(*entry).ok(), "what was parsed passes the check", bytes);
      !s.ok())
    return s;
  if (absl::Status s = Promise(!KindName(*entry).empty(), "an entry has a kind", bytes); !s.ok())
    return s;
  const auto again = ParseEntry(entry->SerializeAsString());
  return Promise(again.ok() && again->SerializeAsString() == entry->SerializeAsString(),
                 "an entry survives being written anew", bytes);
}

absl::Status TryPush(absl::string_view bytes) {
  v1::PushRequest push;
  if (!push.ParseFromArray(bytes.data(), static_cast<int>(bytes.size()))) return absl::OkStatus();
  for (const std::string& entry : push.entries()) {
    if (absl::Status s = TryEntry(entry); !s.ok()) return s;
  }
  return absl::OkStatus();
}

// Nobody holds a key, so no seal can hold, however it is made.
absl::Status TrySeal(absl::string_view bytes) {
  v1::Seal seal;
  if (!seal.ParseFromArray(bytes.data(), static_cast<int>(bytes.size()))) return absl::OkStatus();
  const auto checked =
      evidence::CheckSeal(seal, Uuid(), 0, evidence::KeyRing(),
                          [](uint64_t seq) -> absl::StatusOr<evidence::SealedPlace> {
                            if (seq == 0 || seq > 100)
                              return absl::NotFoundError("the journal has 100 places");
                            return evidence::SealedPlace{};
                          });
  return Promise(!checked.ok(), "a seal without a key does not hold", bytes);
}

absl::Status TryInvitation(absl::string_view text) {
  const auto invitation = ParseInvitation(text);
  if (!invitation.ok()) return absl::OkStatus();
  return Promise(!invitation->server.empty(), "an invitation names a server", text);
}

absl::Status TryKeyAndCheckpoint(absl::string_view text) {
  const auto key = evidence::ReadKey(text.substr(0, text.find('\n')));
  if (!key.ok()) return absl::OkStatus();
  const auto again = evidence::ReadKey(evidence::PrintKey(*key));
  if (absl::Status s = Promise(again.ok() && again->bytes() == key->bytes(),
                               "a key survives being printed", text);
      !s.ok())
    return s;
  const size_t end = text.find('\n');
  if (end == absl::string_view::npos) return absl::OkStatus();
  evidence::OpenCheckpoint(text.substr(end + 1), *key).IgnoreError();
  return absl::OkStatus();
}

absl::Status TryDossier(absl::string_view text) {
  const auto dossier = dossier::ReadDossier(text);
  if (!dossier.ok()) return absl::OkStatus();
  const auto json = dossier::ToJson(*dossier);
  if (!json.ok()) return Promise(false, "a dossier that was read can be written", text);
  const auto again = dossier::ReadDossier(*json);
  return Promise(again.ok() && again->SerializeAsString() == dossier->SerializeAsString(),
                 "a dossier survives being written anew", text);
}

}  // namespace

absl::Status TryInput(absl::string_view input) {
  if (input.empty()) return absl::OkStatus();
  const absl::string_view rest = input.substr(1);
  switch (input.front()) {
    case 'e':
      return TryEntry(rest);
    case 'p':
      return TryPush(rest);
    case 's':
      return TrySeal(rest);
    case 'i':
      return TryInvitation(rest);
    case 'k':
      return TryKeyAndCheckpoint(rest);
    case 'd':
      return TryDossier(rest);
    default:
      return absl::OkStatus();
  }
}

}  // namespace rundlet::testing
