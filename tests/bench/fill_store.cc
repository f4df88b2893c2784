// Makes a store of a device that never met a server, with the history of an invented club in it,
// for timing the client.
//
// Usage: fill_store DIRECTORY ENTRIES
#include <cstdio>
#include <cstdlib>

#include "client/store/store.h"
#include "tests/bench/club_history.h"

namespace rundlet::client {
namespace {

absl::Status Fill(const std::string& directory, size_t entries) {
  const Device device{.cellar_id = testing::IdOf("cellar"),
                      .member_id = testing::IdOf("member"),
                      .device_id = testing::IdOf("device"),
                      .cellar_name = "Thistledown Wine Circle",
                      .member_name = "Isolde Thornbury",
                      .device_name = "bench",
                      .role = "master",
                      .server = "127.0.0.1:1"};
  auto store = Store::Create(StoreHome(directory), device, 0);
  if (!store.ok()) return store.status();
  testing::TestDevice writer("bench", device.writer());
  const std::vector<WrittenEntry> history = bench::ClubHistory(writer, entries);
  if (absl::Status status = store->Append(history, ChainHead()); !status.ok()) return status;
  // As after many commits: no long log waits to be read at each start.
  return store->db().Exec("PRAGMA wal_checkpoint(TRUNCATE)");
}

}  // namespace
}  // namespace rundlet::client

int main(int argc, char** argv) {
  if (argc != 3) {
    std::fputs("usage: fill_store DIRECTORY ENTRIES\n", stderr);
    return 2;
  }
  const absl::Status status = rundlet::client::Fill(argv[1], std::strtoul(argv[2], nullptr, 10));
  if (status.ok()) return 0;
  std::fprintf(stderr, "error: %s\n", status.ToString().c_str());
  return 1;
}
