// Runs a private cluster until it is killed, for tests of what happens when a server is.
//   cluster_holder DATA_DIR    prints "ready" and the postmaster's pid
#include <unistd.h>

#include <cstdio>

#include "server/pg/embedded_cluster.h"

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const auto cluster =
      rundlet::server::EmbeddedCluster::Start({.data_dir = argv[1], .unsafe_without_fsync = true});
  if (!cluster.ok()) {
    std::fprintf(stderr, "%s\n", cluster.status().ToString().c_str());
    return 1;
  }
  std::printf("ready %d\n", (*cluster)->postmaster_pid());
  std::fflush(stdout);
  while (true) ::pause();
}
