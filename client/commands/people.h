#ifndef RUNDLET_CLIENT_COMMANDS_PEOPLE_H_
#define RUNDLET_CLIENT_COMMANDS_PEOPLE_H_

#include <string>
#include <vector>

#include "absl/status/statusor.h"
#include "absl/strings/string_view.h"
#include "client/cellar/cellar.h"
#include "rundlet/v1/cellar_service.pb.h"

namespace rundlet::client {

// Enough of a key or an id, in hexadecimal, for people to tell them apart.
std::string MarkOfKey(absl::string_view key);
std::string MarkOfId(absl::string_view id);

// A day as these lists show it: "2026-03-02 10:00".
std::string DayOf(int64_t at_us, const absl::TimeZone& zone);

// The person of this name: a member, or somebody who was invited and has registered nothing yet.
// NotFound, with names that are near; FailedPrecondition where several are called so.
absl::StatusOr<Uuid> FindPerson(Cellar& cellar, absl::string_view name);

// The same, as the server knows them; guests register nothing and are known to it alone.
absl::StatusOr<Uuid> FindPerson(Cellar& cellar, const v1::ListDevicesResponse& devices,
                                absl::string_view name);

// The device of this name, or with an id that ends so. NotFound; FailedPrecondition where several
// are meant: the text tells them apart.
absl::StatusOr<v1::DeviceLine> FindDevice(const v1::ListDevicesResponse& devices,
                                          absl::string_view word);

// The devices that the journal tells of, in the order of their coming.
absl::StatusOr<std::vector<v1::DeviceLine>> DevicesInBook(Cellar& cellar);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_PEOPLE_H_
