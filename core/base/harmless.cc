#include "core/base/harmless.h"

namespace rundlet {
namespace {

bool IsObeyed(absl::string_view character) {
  const auto byte = [&](size_t i) { return static_cast<unsigned char>(character[i]); };
  if (character.size() == 1) return byte(0) < 0x20 || byte(0) == 0x7f;
  if (character.size() == 2) return byte(0) == 0xc2 && byte(1) < 0xa0;  // U+0080 to U+009F
  if (character.size() != 3 || byte(0) != 0xe2) return false;
  // U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069 turn the direction of writing.
  if (byte(1) == 0x80)
    return byte(2) == 0x8e || byte(2) == 0x8f || (byte(2) >= 0xaa && byte(2) <= 0xae);
  return byte(1) == 0x81 && byte(2) >= 0xa6 && byte(2) <= 0xa9;
}

}  // namespace

size_t LengthOfCharacter(unsigned char first) {
  if (first >= 0xf0 && first < 0xf8) return 4;
  if (first >= 0xe0) return first < 0xf0 ? 3 : 1;
  return first >= 0xc2 ? 2 : 1;
}

std::string Harmless(absl::string_view text, bool one_line) {
  std::string harmless;
  for (size_t i = 0; i < text.size();) {
    const absl::string_view character =
        text.substr(i, LengthOfCharacter(static_cast<unsigned char>(text[i])));
    i += character.size();
    // A carriage return alone goes back over what was written; before a line feed it does no harm,
    // and ends a line in formats that ask for both.
    if (character == "\r" && !one_line && text.substr(i, 1) == "\n") {
      harmless += '\r';
    } else if (character == "\n" || character == "\t") {
      harmless += one_line ? " " : std::string(character);
    } else if (IsObeyed(character)) {
      harmless += '?';
    } else {
      harmless.append(character.data(), character.size());
    }
  }
  return harmless;
}

}  // namespace rundlet
