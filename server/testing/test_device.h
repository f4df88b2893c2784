#ifndef RUNDLET_SERVER_TESTING_TEST_DEVICE_H_
#define RUNDLET_SERVER_TESTING_TEST_DEVICE_H_

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "server/admin.h"

namespace rundlet::server {

// Devices and their tokens as they stand in the database, without an invitation. They have no key:
// what they hand in goes past the service, or they are given one (CellarTest::GiveKey).

// `device` says cellar, member and role; the rest is made up.
absl::StatusOr<NewDevice> MakeTestDevice(Admin& admin, Device device);

// A cellar with the (invented) Isolde Thornbury as its master.
absl::StatusOr<NewDevice> MakeTestCellar(Admin& admin, absl::string_view name);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_TESTING_TEST_DEVICE_H_
