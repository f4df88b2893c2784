#include "core/quantity/text.h"

#include <cstddef>
#include <cstdint>
#include <utility>

#include "absl/strings/ascii.h"
#include "absl/strings/match.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "absl/strings/strip.h"
#include "absl/types/span.h"

namespace rundlet {
namespace {

constexpr size_t kQuotedBytes = 60;

constexpr std::pair<absl::string_view, absl::string_view> kLookAlikes[] = {
    {"\u00B5", "u"},  // micro sign
    {"\u03BC", "u"},  // Greek mu
    {"³", "3"},      {"ℓ", "l"},    {"½", " 1/2"},   {"¼", " 1/4"},
    {"¾", " 3/4"},   {"⅓", " 1/3"}, {"⅔", " 2/3"},   {"\u2044", "/"},  // fraction slash
    {"\u2212", "-"},                                                   // minus
    {"\u2013", "-"},                                                   // en dash
    {"\u00BA", "°"},                                                   // ordinal sign
    {"\u02DA", "°"},                                                   // ring
    {"℃", "°C"},     {"℉", "°F"},   {"\u00A0", " "},                   // no-break space
    {"\u2009", " "},                                                   // thin space
    {"\u202F", " "},                                                   // narrow no-break space
};

// Length of the well-formed UTF-8 sequence at the front (RFC 3629), 0 when there is none.
size_t Utf8Length(absl::string_view text) {
  const auto byte = [&](size_t i) { return static_cast<uint8_t>(text[i]); };
  const uint8_t lead = byte(0);
  if (lead < 0x80) return 1;
  size_t length = 0;
  uint8_t low = 0x80, high = 0xBF;  // what the second byte may be
  if (lead >= 0xC2 && lead <= 0xDF) {
    length = 2;
  } else if (lead >= 0xE0 && lead <= 0xEF) {
    length = 3;
    if (lead == 0xE0) low = 0xA0;
    if (lead == 0xED) high = 0x9F;
  } else if (lead >= 0xF0 && lead <= 0xF4) {
    length = 4;
    if (lead == 0xF0) low = 0x90;
    if (lead == 0xF4) high = 0x8F;
  }
  if (length == 0 || text.size() < length) return 0;
  if (byte(1) < low || byte(1) > high) return 0;
  for (size_t i = 2; i < length; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return 0;
  }
  return length;
}

}  // namespace

std::string Tidy(absl::string_view text) {
  std::string plain = absl::StrReplaceAll(text, absl::MakeConstSpan(kLookAlikes));
  absl::RemoveExtraAsciiWhitespace(&plain);
  for (char& c : plain) {
    if (absl::ascii_isspace(c)) c = ' ';
  }
  return plain;
}

bool IsUtf8(absl::string_view text) {
  while (!text.empty()) {
    const size_t length = Utf8Length(text);
    if (length == 0) return false;
    text.remove_prefix(length);
  }
  return true;
}

bool HasWord(absl::string_view text, absl::string_view word) {
  constexpr size_t kShort = 4;
  if (word.size() > kShort) return absl::StrContains(text, word);
  for (const absl::string_view part : absl::StrSplit(text, absl::ByAnyChar(" -_/,.()"))) {
    if (part == word || absl::StripSuffix(part, "s") == word) return true;
  }
  return false;
}

std::string Quoted(absl::string_view text) {
  std::string quoted = "\"";
  while (!text.empty()) {
    if (quoted.size() > kQuotedBytes) {
      quoted += "...";
      break;
    }
    const size_t length = Utf8Length(text);
    if (length == 0 || absl::ascii_iscntrl(text[0])) {
      absl::StrAppend(&quoted, "\\x", absl::Hex(static_cast<uint8_t>(text[0]), absl::kZeroPad2));
      text.remove_prefix(1);
    } else {
      absl::StrAppend(&quoted, text.substr(0, length));
      text.remove_prefix(length);
    }
  }
  quoted += '"';
  return quoted;
}

}  // namespace rundlet
