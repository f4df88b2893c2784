#include "client/store/server_trust.h"

#include <algorithm>

#include "absl/strings/ascii.h"
#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "absl/strings/str_join.h"
#include "absl/strings/strip.h"
#include "client/base/file.h"

namespace rundlet::client {
namespace {

constexpr absl::string_view kBegin = "-----BEGIN CERTIFICATE-----";
constexpr absl::string_view kEnd = "-----END CERTIFICATE-----";
constexpr absl::string_view kAuthorityWord = "authority";
constexpr absl::string_view kPlainTextWord = "plain-text";

}  // namespace

absl::StatusOr<ServerTrust> ReadServerTrust(const StoreHome& home) {
  auto text = ReadFile(home.server_certificate());
  if (!text.ok()) return text.status();
  const absl::string_view word = absl::StripAsciiWhitespace(*text);
  if (word == kAuthorityWord) return ServerTrust{.kind = ServerTrust::Kind::kAuthority, .pem = {}};
  if (word == kPlainTextWord) return ServerTrust{.kind = ServerTrust::Kind::kPlainText, .pem = {}};
  if (FingerprintOf(*text).ok())
    return ServerTrust{.kind = ServerTrust::Kind::kPinned, .pem = *std::move(text)};
  return absl::DataLossError(
      absl::StrCat(home.server_certificate(),
                   " is damaged: ask who keeps the server for the fingerprint of its ",
                   "certificate, then: rundlet server --fingerprint HEX"));
}

absl::Status WriteServerTrust(const StoreHome& home, const ServerTrust& trust) {
  switch (trust.kind) {
    case ServerTrust::Kind::kPinned:
      return WritePrivateFile(home.server_certificate(), trust.pem);
    case ServerTrust::Kind::kAuthority:
      return WritePrivateFile(home.server_certificate(), absl::StrCat(kAuthorityWord, "\n"));
    case ServerTrust::Kind::kPlainText:
      return WritePrivateFile(home.server_certificate(), absl::StrCat(kPlainTextWord, "\n"));
  }
  return absl::OkStatus();
}

absl::StatusOr<Hash> FingerprintOf(absl::string_view pem) {
  const size_t begin = pem.find(kBegin);
  const size_t end = pem.find(kEnd);
  std::string der;
  if (begin == absl::string_view::npos || end == absl::string_view::npos || end < begin ||
      !absl::Base64Unescape(pem.substr(begin + kBegin.size(), end - begin - kBegin.size()), &der) ||
      der.empty())
    return absl::InvalidArgumentError("this is no certificate in PEM");
  Sha256 sha;
  sha.Update(der);
  return sha.Finish();
}

std::string FormatFingerprint(const Hash& fingerprint) {
  return absl::StrJoin(fingerprint, ":", [](std::string* out, uint8_t byte) {
    absl::StrAppendFormat(out, "%02X", byte);
  });
}

absl::StatusOr<Hash> ParseFingerprint(absl::string_view text) {
  std::string digits;
  for (const char c : text) {
    if (absl::ascii_isxdigit(static_cast<unsigned char>(c))) {
      digits += c;
    } else if (c != ':' && c != ' ') {
      digits.clear();
      break;
    }
  }
  Hash hash = {};
  if (digits.size() != 2 * hash.size())
    return absl::InvalidArgumentError(
        "this is no fingerprint: it has 64 hexadecimal digits, as the server's keeper sees them");
  const std::string bytes = absl::HexStringToBytes(digits);
  std::copy(bytes.begin(), bytes.end(), hash.begin());
  return hash;
}

}  // namespace rundlet::client
