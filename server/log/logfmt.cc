#include "server/log/logfmt.h"

#include <cstddef>
#include <cstdint>

#include "absl/strings/ascii.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {
namespace {

uint8_t ByteAt(absl::string_view text, size_t i) { return static_cast<uint8_t>(text[i]); }

// The size of the printable UTF-8 sequence of two to four bytes at `i`, or 0. The second byte's
// range excludes over-long forms, surrogates and values past U+10FFFF (Unicode 15, table 3-7), and
// U+0080..U+009F, which are control characters.
size_t MultiByteSize(absl::string_view text, size_t i) {
  const uint8_t lead = ByteAt(text, i);
  size_t size = 0;
  uint8_t low = 0x80;
  uint8_t high = 0xbf;
  if (lead >= 0xc2 && lead <= 0xdf) {
    size = 2;
    if (lead == 0xc2) low = 0xa0;
  } else if (lead >= 0xe0 && lead <= 0xef) {
    size = 3;
    if (lead == 0xe0) low = 0xa0;
    if (lead == 0xed) high = 0x9f;
  } else if (lead >= 0xf0 && lead <= 0xf4) {
    size = 4;
    if (lead == 0xf0) low = 0x90;
    if (lead == 0xf4) high = 0x8f;
  }
  if (size == 0 || i + size > text.size()) return 0;
  if (ByteAt(text, i + 1) < low || ByteAt(text, i + 1) > high) return 0;
  for (size_t k = 2; k < size; ++k) {
    if ((ByteAt(text, i + k) & 0xc0) != 0x80) return 0;
  }
  return size;
}

bool IsBare(absl::string_view value) {
  if (value.empty()) return false;
  for (const char c : value) {
    if (!absl::ascii_isgraph(c) || c == '"' || c == '=' || c == '\\') return false;
  }
  return true;
}

void AppendEscapedByte(char c, std::string& line) {
  switch (c) {
    case '"':
      line += "\\\"";
      return;
    case '\\':
      line += "\\\\";
      return;
    case '\n':
      line += "\\n";
      return;
    case '\r':
      line += "\\r";
      return;
    case '\t':
      line += "\\t";
      return;
    default:
      absl::StrAppend(&line, "\\x", absl::Hex(static_cast<uint8_t>(c), absl::kZeroPad2));
  }
}

}  // namespace

void AppendLogfmtValue(absl::string_view value, std::string& line) {
  if (IsBare(value)) {
    absl::StrAppend(&line, value);
    return;
  }
  line += '"';
  for (size_t i = 0; i < value.size();) {
    const size_t size = MultiByteSize(value, i);
    if (size > 0) {
      absl::StrAppend(&line, value.substr(i, size));
      i += size;
      continue;
    }
    const char c = value[i++];
    if (absl::ascii_isprint(c) && c != '"' && c != '\\') {
      line += c;
    } else {
      AppendEscapedByte(c, line);
    }
  }
  line += '"';
}

void AppendLogfmtKey(absl::string_view key, std::string& line) {
  for (const char c : key) {
    line += absl::ascii_isalnum(c) || c == '_' || c == '.' ? c : '_';
  }
}

}  // namespace rundlet::server
