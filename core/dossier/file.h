#ifndef RUNDLET_CORE_DOSSIER_FILE_H_
#define RUNDLET_CORE_DOSSIER_FILE_H_

#include <cstddef>
#include <cstdint>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "core/base/sha256.h"
#include "rundlet/v1/dossier.pb.h"

namespace rundlet::dossier {

// The file of a dossier: JSON, by itself or inside a page (docs/dossier.md).

inline constexpr uint32_t kFormatVersion = 1;

// No dossier's file is longer: some fifty thousand entries with their proofs. Whoever is handed one
// by a stranger need not read more.
inline constexpr size_t kMaxFileBytes = size_t{128} << 20;

// What stands in the page before and after the JSON, once.
inline constexpr char kDataBegin[] = "<pre id=\"rundlet-dossier\">";
inline constexpr char kDataEnd[] = "</pre>";

// Of everything in it but the digest.
Hash DigestOf(const v1::Dossier& dossier);

// The JSON mapping of proto3 with the names of the .proto file, a field a line. It has no '<', '>'
// or '&', so that it can stand in a page as it is. Internal: the library failed.
absl::StatusOr<std::string> ToJson(const v1::Dossier& dossier);

// Reads either file. InvalidArgument: it is none, is longer than may be, or has fields that this
// build does not know.
absl::StatusOr<v1::Dossier> ReadDossier(absl::string_view file);

}  // namespace rundlet::dossier

#endif  // RUNDLET_CORE_DOSSIER_FILE_H_
