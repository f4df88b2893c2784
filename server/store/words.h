#ifndef RUNDLET_SERVER_STORE_WORDS_H_
#define RUNDLET_SERVER_STORE_WORDS_H_

#include "absl/strings/string_view.h"
#include "rundlet/v1/board.pb.h"
#include "rundlet/v1/things.pb.h"
#include "rundlet/v1/types.pb.h"

namespace rundlet::server {

// The words by which the projections name what the protocol numbers: the name of the enum's value
// in lower case, without the enum's own ("ACCOUNT_LEES": "lees"). "unknown" for a number that this
// build does not know. The views live as long as the program.
absl::string_view WordOf(v1::Account account);
absl::string_view WordOf(v1::Dimension dimension);
absl::string_view WordOf(v1::ReadingKind kind);
absl::string_view WordOf(v1::ReadingUnit unit);
absl::string_view WordOf(v1::TreatmentKind kind);
absl::string_view WordOf(v1::HeldReason reason);

// The name of the protocol's field: "material_lot".
absl::string_view WordOf(v1::Thing::KindCase kind);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_STORE_WORDS_H_
