// rundlet device key: by which key this device signs what it hands in.
#include "client/store/device_key.h"

#include "absl/strings/escaping.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"
#include "client/commands/people.h"

namespace rundlet::client {
namespace {

// device key, device key --new
class DeviceKeyCommand : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_flag("--new", new_, "another key in the place of this one, as after a theft");
    app.add_flag("--json", options_.json, "print JSON");
  }

  absl::Status Run(Session& session) override {
    if (new_) {
      return RunChange(session, options_, nullptr, [&](Planner& planner, Change& change) {
        return Renew(session, planner, change);
      });
    }
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (const auto store = Store::Open(*home); !store.ok()) return store.status();
    const auto key = ReadDeviceKey(*home);
    if (!key.ok()) return key.status();
    const absl::string_view bytes = key->public_key().bytes();
    if (options_.json) {
      session.out() << JsonObject().Text("public_key", absl::Base64Escape(bytes)).Finish() << "\n";
      return absl::OkStatus();
    }
    session.out() << "this device signs with " << absl::Base64Escape(bytes) << " (mark "
                  << MarkOfKey(bytes) << ")\n";
    return absl::OkStatus();
  }

 private:
  // Whether a new key waits already: the server must have that first, or it would expect one that
  // nobody has any more.
  static absl::StatusOr<bool> OneWaits(Store& store) {
    bool waits = false;
    absl::Status status = store.ForEach(0, [&](const StoredEntry& stored) {
      v1::Entry entry;
      waits = waits || (stored.state == EntryState::kOutbox &&
                        entry.ParseFromString(stored.bytes) && entry.has_device_enrolled());
      return absl::OkStatus();
    });
    if (!status.ok()) return status;
    return waits;
  }

  static absl::Status Renew(Session& session, Planner& planner, Change& change) {
    Store& store = planner.cellar().store;
    if (store.device().server.empty())
      return absl::FailedPreconditionError(
          "this cellar has no server, so nothing was signed yet and the key is as good as new");
    const auto waits = OneWaits(store);
    if (!waits.ok()) return waits.status();
    if (*waits)
      return absl::FailedPreconditionError(
          "a key of this device waits to be synced: rundlet sync first, then make another one");
    const auto key = MakeNextDeviceKey(store.home(), session.env);
    if (!key.ok()) return key.status();
    v1::DeviceEnrolled& enrolled = *change.Add().mutable_device_enrolled();
    enrolled.set_public_key(std::string(key->public_key().bytes()));
    enrolled.set_device_name(store.device().device_name);
    change.warnings.push_back(
        "the old key signs until the server has the new one: rundlet sync, and soon if the old one "
        "was stolen");
    return absl::OkStatus();
  }

  bool new_ = false;
  ChangeOptions options_;
};

}  // namespace

std::unique_ptr<Command> MakeDeviceKey() { return std::make_unique<DeviceKeyCommand>(); }

}  // namespace rundlet::client
