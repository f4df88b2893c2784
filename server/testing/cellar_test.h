#ifndef RUNDLET_SERVER_TESTING_CELLAR_TEST_H_
#define RUNDLET_SERVER_TESTING_CELLAR_TEST_H_

#include <memory>
#include <string>
#include <vector>

#include "core/entry/writer.h"
#include "server/admin.h"
#include "server/cellar/batch_writer.h"
#include "server/cellar/cellar_cache.h"
#include "server/cellar/push.h"
#include "server/pg/connection_pool.h"
#include "server/pg/testing/test_database.h"
#include "tests/support/cellar_builder.h"

namespace rundlet::server {

// What one server process keeps in memory, on a database that it may share with others.
class Replica {
 public:
  explicit Replica(const std::string& connection_string, size_t cache_bytes = size_t{1} << 30);

  ConnectionPool& pool() { return pool_; }
  CellarCache& cache() { return cache_; }
  BatchWriter& writer() { return writer_; }

  // Pushes as a device, in a transaction of its own.
  absl::StatusOr<PushResult> Push(const Device& device, const std::vector<std::string>& entries);
  // Several pushes in one transaction.
  absl::StatusOr<std::vector<PushResult>> PushTogether(
      const std::vector<std::pair<Device, std::vector<std::string>>>& pushes);

  // StateDigest of the cellar, brought up to its journal; fails the test if it cannot be had.
  Hash Digest(const Uuid& cellar_id);

 private:
  ConnectionPool pool_;
  CellarCache cache_;
  BatchWriter writer_;
};

// A database with the cellar of the (invented) Thistledown Wine Circle and two of its devices.
class CellarTest : public DatabaseTest {
 protected:
  void SetUp() override;

  Admin& admin() { return *admin_; }
  const Device& isolde() const { return isolde_.device; }  // the master
  const Device& bram() const { return bram_.device; }      // a hand
  const std::string& isoldes_token() const { return isolde_.token; }
  const std::string& brams_token() const { return bram_.token; }
  const NewDevice& isoldes() const { return isolde_; }
  const NewDevice& brams() const { return bram_; }
  const Uuid& cellar_id() const { return isolde_.device.cellar_id; }

  // Devices and their tokens, as if they had joined. The same name is the same member.
  NewDevice AddDevice(absl::string_view member, MemberRole role);
  NewDevice AddDeviceTo(const Uuid& cellar_id, const Uuid& member_id, absl::string_view member,
                        MemberRole role);
  NewDevice NewCellar(absl::string_view name);
  static Writer WriterOf(const Device& device);
  // From now on the device signs what it pushes, by TestKeyOf. Returns the entry that says so, the
  // first of `writer`, which is to be handed in first.
  std::string GiveKey(const Device& device, rundlet::testing::TestDevice& writer);

  // While it lives, nobody writes to a cellar or changes who is in it.
  std::unique_ptr<CellarTransaction> HoldHead(const Uuid& cellar_id);

  // How the projections in the database differ from a fold of the journal from nothing, in words;
  // empty if they do not.
  std::string Differences(const Uuid& cellar_id);

 private:
  std::unique_ptr<Admin> admin_;
  NewDevice isolde_;
  NewDevice bram_;
};

// The bytes of written entries.
std::vector<std::string> BytesOf(const std::vector<WrittenEntry>& entries);

// "recorded 3", "already 3", "returned CHAIN_BROKEN", "not yet", in the order of the entries.
std::vector<std::string> Told(const PushResult& result);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_CELLAR_TEST_H_
