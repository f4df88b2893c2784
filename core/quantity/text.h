#ifndef RUNDLET_CORE_QUANTITY_TEXT_H_
#define RUNDLET_CORE_QUANTITY_TEXT_H_

#include <string>

#include "absl/strings/string_view.h"

namespace rundlet {

// What the readers of this directory have in common: hands type on phones, and phones type for
// them.

// The text as a reader wants it: look-alikes turned into plain signs (both micro signs into "u",
// "½" into " 1/2", "³" into "3", a true minus into "-", any degree-like ring into "°"), every run
// of white space one space, none at the ends. Letters keep their case.
std::string Tidy(absl::string_view text);

// Whether it is well-formed UTF-8 (RFC 3629) throughout.
bool IsUtf8(absl::string_view text);

// Whether a word, in lower case, stands in a lower-case text: one of up to four letters by itself
// or with a plural s, so that "egg" is not found in another word; a longer one anywhere.
bool HasWord(absl::string_view text, absl::string_view word);

// The text in double quotes for a message to a person: valid UTF-8 whatever the bytes, control
// characters escaped, shortened after 60 bytes.
std::string Quoted(absl::string_view text);

}  // namespace rundlet

#endif  // RUNDLET_CORE_QUANTITY_TEXT_H_
