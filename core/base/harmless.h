#ifndef RUNDLET_CORE_BASE_HARMLESS_H_
#define RUNDLET_CORE_BASE_HARMLESS_H_

#include <cstddef>
#include <string>

#include "absl/strings/string_view.h"

namespace rundlet {

// `text` with everything that a terminal might obey replaced: control characters, and those that
// turn the direction of writing; also line feeds where `one_line`.
std::string Harmless(absl::string_view text, bool one_line);

// The length that the first byte of a UTF-8 character announces; 1 for what is none.
size_t LengthOfCharacter(unsigned char first);

}  // namespace rundlet

#endif  // RUNDLET_CORE_BASE_HARMLESS_H_
