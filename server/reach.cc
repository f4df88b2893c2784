#include "server/reach.h"

#include <unistd.h>

#include <array>
#include <utility>
#include <vector>

#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "server/listen_address.h"
#include "server/private_file.h"

namespace rundlet::server {
namespace {

using Known = Invitation::Known;

constexpr std::pair<Known, absl::string_view> kWords[] = {{Known::kByFingerprint, "fingerprint"},
                                                          {Known::kByAuthority, "authority"},
                                                          {Known::kPlainText, "plain-text"}};

std::string FileIn(const std::string& data_dir) { return data_dir + "/reach"; }

}  // namespace

Reach ReachOf(const std::string& listen, int port, const std::string& address,
              const ServerTls& tls) {
  Reach reach{.address = address, .known = tls.known, .certificate_pem = tls.certificate_pem};
  if (!address.empty()) return reach;
  std::string host = HostOf(listen);
  std::array<char, 256> own = {};
  if (IsAnyAddress(host) && gethostname(own.data(), own.size() - 1) == 0) host = own.data();
  if (absl::StrContains(host, ':')) host = absl::StrCat("[", host, "]");
  reach.address = absl::StrCat(host, ":", port);
  return reach;
}

absl::Status WriteReach(const std::string& data_dir, const Reach& reach) {
  std::string text = absl::StrCat("address ", reach.address, "\n");
  for (const auto& [known, word] : kWords) {
    if (known == reach.known) absl::StrAppend(&text, "known-by ", word, "\n");
  }
  return Replace(FileIn(data_dir), absl::StrCat(text, reach.certificate_pem), /*shared=*/true);
}

absl::StatusOr<Reach> ReadReach(const std::string& data_dir) {
  const absl::StatusOr<std::string> text = ReadShared(FileIn(data_dir));
  if (!text.ok()) return text.status();
  const std::vector<absl::string_view> lines = absl::StrSplit(*text, absl::MaxSplits('\n', 2));
  absl::string_view address, word;
  if (lines.size() == 3) {
    address = lines[0];
    word = lines[1];
  }
  if (absl::ConsumePrefix(&address, "address ") && absl::ConsumePrefix(&word, "known-by ")) {
    for (const auto& [known, name] : kWords) {
      if (name == word)
        return Reach{.address = std::string(address),
                     .known = known,
                     .certificate_pem = std::string(lines[2])};
    }
  }
  return absl::DataLossError(
      absl::StrCat(FileIn(data_dir), " is damaged: start the server again, which writes it anew"));
}

}  // namespace rundlet::server
