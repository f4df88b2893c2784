#ifndef RUNDLET_CORE_IDENTITY_QR_H_
#define RUNDLET_CORE_IDENTITY_QR_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet {

// A text as a QR code (ISO/IEC 18004): rows of equal length, true for a dark field, with the quiet
// zone of four fields around it that the standard asks for. InvalidArgument: the text is empty or
// too long for one.
absl::StatusOr<std::vector<std::vector<bool>>> MakeQr(absl::string_view text);

// The code for a terminal: two rows of fields in each line, by half blocks (U+2580 ff). Light
// fields are drawn and dark ones left out, as cameras read it from light on dark; `light_terminal`
// turns that around.
std::string DrawQr(const std::vector<std::vector<bool>>& fields, bool light_terminal = false);

}  // namespace rundlet

#endif  // RUNDLET_CORE_IDENTITY_QR_H_
