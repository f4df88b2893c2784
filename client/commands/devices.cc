// rundlet devices, device revoke: what may write here.
#include <algorithm>

#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/server_call.h"
#include "client/cli/table.h"
#include "client/commands/commands.h"
#include "client/commands/people.h"
#include "core/rights/rights.h"

namespace rundlet::client {
namespace {

absl::StatusOr<v1::ListDevicesResponse> FetchDevices(const Session& session, const Store& store) {
  v1::ListDevicesResponse response;
  absl::Status status = CallServer(session, store.device(), store.home(), "ListDevices",
                                   v1::ListDevicesRequest(), response);
  if (!status.ok()) return status;
  return response;
}

// When each device last wrote something that is in this book, by its own clock.
class LastEntries {
 public:
  explicit LastEntries(const Fold& fold) : fold_(fold), at_us_(fold.interner().size(), 0) {
    const Sequence& sequence = fold.sequence();
    for (RowId row = 0; row < sequence.rows(); ++row) {
      int64_t& at_us = at_us_[sequence.row(row).device];
      at_us = std::max(at_us, sequence.row(row).effective_at_us);
    }
  }
  int64_t Of(const std::string& device_id) const {
    const auto id = Uuid::FromBytes(device_id);
    if (!id.ok()) return 0;
    const Handle device = fold_.interner().Find(*id);
    return device == kNoHandle ? 0 : at_us_[device];
  }

 private:
  const Fold& fold_;
  std::vector<int64_t> at_us_;
};

class Devices : public ViewCommand {
 protected:
  bool HasPast() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    absl::StatusOr<v1::ListDevicesResponse> response = absl::FailedPreconditionError("no server");
    if (!cellar.store.device().server.empty()) response = FetchDevices(session, cellar.store);
    // What the server alone knows is missing then: roles, guests, who is refused.
    const bool from_book =
        absl::IsUnavailable(response.status()) || absl::IsFailedPrecondition(response.status());
    if (from_book) {
      if (!cellar.store.device().server.empty())
        session.err() << "note: from this book alone, as " << response.status().message() << "\n";
      const auto devices = DevicesInBook(cellar);
      if (!devices.ok()) return devices.status();
      response = v1::ListDevicesResponse();
      for (const v1::DeviceLine& device : *devices) *response->add_devices() = device;
    }
    if (!response.ok()) return response.status();
    if (json()) {
      session.out() << ProtoJson(*response) << "\n";
      return absl::OkStatus();
    }
    session.out() << TableOf(cellar, *response, session.env.zone).Print(session.columns());
    return absl::OkStatus();
  }

 private:
  static Table TableOf(const Cellar& cellar, const v1::ListDevicesResponse& response,
                       const absl::TimeZone& zone) {
    const LastEntries last(*cellar.fold);
    Table table({"Device", "Whose", "Role", "Since", "Last entry", "Key", "Id", ""});
    for (const v1::DeviceLine& device : response.devices()) {
      const bool ours = device.device_id() == cellar.store.device().device_id.bytes();
      table.Add({device.device_name(), device.member_name(),
                 device.role() == v1::MEMBER_ROLE_UNSPECIFIED
                     ? (ours ? cellar.store.device().role : "")
                     : std::string(RoleName(device.role())),
                 DayOf(device.created_at_us(), zone), DayOf(last.Of(device.device_id()), zone),
                 MarkOfKey(device.public_key()), MarkOfId(device.device_id()),
                 device.revoked_at_us() != 0
                     ? absl::StrCat("revoked ", DayOf(device.revoked_at_us(), zone))
                     : (ours ? "this one" : "")});
    }
    return table;
  }
};

// device revoke "Tobias's laptop"
class DeviceRevoke : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("device", word_, "its name, or the end of its id")
        ->type_name("DEVICE")
        ->required();
  }

  absl::Status Run(Session& session) override {
    const auto cellar = OpenAndReport(session);
    if (!cellar.ok()) return cellar.status();
    const Store& store = cellar->store;
    const auto devices = FetchDevices(session, store);
    if (!devices.ok()) return devices.status();
    const auto device = FindDevice(*devices, word_);
    if (!device.ok()) return device.status();
    v1::RevokeDeviceRequest request;
    request.set_device_id(device->device_id());
    v1::RevokeDeviceResponse nothing;
    if (absl::Status status =
            CallServer(session, store.device(), store.home(), "RevokeDevice", request, nothing);
        !status.ok())
      return status;
    session.out() << device->member_name() << "'s device " << device->device_name()
                  << " is refused from now on\n"
                  << "what it has not sent yet can be brought in from another one: rundlet "
                     "handover there, rundlet takeover here\n";
    return absl::OkStatus();
  }

 private:
  std::string word_;
};

}  // namespace

std::unique_ptr<Command> MakeDevices() { return std::make_unique<Devices>(); }
std::unique_ptr<Command> MakeDeviceRevoke() { return std::make_unique<DeviceRevoke>(); }

}  // namespace rundlet::client
