#ifndef RUNDLET_CLIENT_COMMANDS_DEVICE_NAME_H_
#define RUNDLET_CLIENT_COMMANDS_DEVICE_NAME_H_

#include <string>

namespace rundlet::client {

// What a device is called: as it was said, else as the machine is.
std::string DeviceName(const std::string& said);

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_COMMANDS_DEVICE_NAME_H_
