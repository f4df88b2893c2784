#ifndef RUNDLET_SERVER_PG_SOCKET_DIR_H_
#define RUNDLET_SERVER_PG_SOCKET_DIR_H_

#include <optional>
#include <string>

#include "absl/status/statusor.h"
#include "server/pg/child_process.h"

namespace rundlet::server {

// The directory for the private database's Unix socket, of mode 0700 and owned by the user that
// runs the database: what guards the database is that nobody else can reach the socket.
//
// It is <data_dir>/socket. The name of a socket has room for 107 bytes (unix(7)), so where the data
// directory's path is too long, it is a fresh directory under /tmp and <data_dir>/socket is a
// symbolic link to it, by which the next start finds and removes it if this run cannot.
//
// The caller must hold the lock of `data_dir`, and no postmaster may run on it.
absl::StatusOr<std::string> MakeSocketDir(const std::string& data_dir,
                                          const std::optional<OsUser>& owner);

// Removes the directory and its link. What cannot be removed stays for the next start.
void RemoveSocketDir(const std::string& data_dir);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_SOCKET_DIR_H_
