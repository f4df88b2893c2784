#include "server/pg/postgres_binaries.h"

#include <unistd.h>

#include "absl/status/status.h"
#include "absl/strings/str_cat.h"

namespace rundlet::server {

absl::StatusOr<PostgresBinaries> FindPostgresBinaries(std::optional<int> major,
                                                      absl::string_view install_root) {
  const int newest = major.value_or(kNewestPostgresMajor);
  const int oldest = major.value_or(kOldestPostgresMajor);
  for (int candidate = newest; candidate >= oldest; --candidate) {
    const std::string bin = absl::StrCat(install_root, "/", candidate, "/bin/");
    PostgresBinaries found{candidate, absl::StrCat(bin, "initdb"), absl::StrCat(bin, "postgres")};
    if (::access(found.initdb.c_str(), X_OK) == 0 && ::access(found.postgres.c_str(), X_OK) == 0) {
      return found;
    }
  }
  if (major.has_value()) {
    return absl::NotFoundError(absl::StrCat("the private database was made by PostgreSQL ", *major,
                                            ", which is not installed under ", install_root,
                                            ": install the package postgresql-", *major));
  }
  return absl::NotFoundError(absl::StrCat(
      "there is no PostgreSQL server of version ", kOldestPostgresMajor, " to ",
      kNewestPostgresMajor, " under ", install_root, ": install the package postgresql-",
      kOldestPostgresMajor, ", or give the connection string of a PostgreSQL server"));
}

}  // namespace rundlet::server
