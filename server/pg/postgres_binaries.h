#ifndef RUNDLET_SERVER_PG_POSTGRES_BINARIES_H_
#define RUNDLET_SERVER_PG_POSTGRES_BINARIES_H_

#include <optional>
#include <string>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {

// The major versions of PostgreSQL that a private cluster may run. The tests run with 15.
inline constexpr int kOldestPostgresMajor = 15;
inline constexpr int kNewestPostgresMajor = 17;

// Where Debian and Ubuntu install PostgreSQL: <root>/<major>/bin.
inline constexpr absl::string_view kPostgresInstallRoot = "/usr/lib/postgresql";

struct PostgresBinaries {
  int major = 0;
  std::string initdb;
  std::string postgres;
};

// The programs of the newest supported version under `install_root`, or of exactly `major` where it
// is given: a cluster's files can be read by the version that made them only.
// NotFound, with what to install, if there are none.
absl::StatusOr<PostgresBinaries> FindPostgresBinaries(
    std::optional<int> major = std::nullopt, absl::string_view install_root = kPostgresInstallRoot);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_POSTGRES_BINARIES_H_
