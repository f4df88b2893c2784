#ifndef RUNDLET_TESTS_SUPPORT_SIGNATURE_H_
#define RUNDLET_TESTS_SUPPORT_SIGNATURE_H_

#include <string>

#include "absl/status/statusor.h"
#include "absl/types/span.h"
#include "core/entry/writer.h"
#include "core/evidence/signing_key.h"

namespace rundlet::testing {

// What a device signs of the entries that it hands in together, given their bytes.
absl::StatusOr<std::string> SignatureOver(const Writer& device,
                                          absl::Span<const std::string> entries,
                                          const evidence::SigningKey& key);

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_SUPPORT_SIGNATURE_H_
