// rundlet init: a cellar of one's own, without a server.
#include <cstdio>
#include <filesystem>
#include <vector>

#include "absl/strings/str_cat.h"
#include "client/base/file.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"
#include "client/commands/device_name.h"
#include "client/store/device_key.h"
#include "client/store/store.h"
#include "client/sync/enrol.h"
#include "core/entry/limits.h"
#include "core/rights/rights.h"

namespace rundlet::client {
namespace {

class Init : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("cellar", cellar_, "what the cellar is called")
        ->type_name("NAME")
        ->required()
        ->check(NotEmpty());
    app.add_option("--member", member_, "your name")
        ->type_name("NAME")
        ->required()
        ->check(NotEmpty());
    app.add_option("--device", device_, "what this device is called; else as the machine")
        ->type_name("NAME");
    app.add_flag("--json", json_, "print JSON");
  }

  absl::Status Run(Session& session) override {
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (const auto store = Store::Open(*home); !absl::IsNotFound(store.status())) {
      if (!store.ok()) return store.status();
      return absl::AlreadyExistsError(absl::StrCat(
          "there is a book of '", store->device().cellar_name, "' in ", home->dir(),
          ": make another one with a directory of its own: RUNDLET_HOME=DIRECTORY rundlet init"));
    }
    for (const std::string* name : {&cellar_, &member_, &device_}) {
      if (name->size() > kMaxNameBytes)
        return absl::InvalidArgumentError(absl::StrCat("'", *name, "' is too long for a name"));
    }
    if (absl::Status status = MakePrivateDirs(home->dir()); !status.ok()) return status;
    const Device device{.cellar_id = session.env.NewId(),
                        .member_id = session.env.NewId(),
                        .device_id = session.env.NewId(),
                        .cellar_name = cellar_,
                        .member_name = member_,
                        .device_name = DeviceName(device_),
                        .role = std::string(RoleName(MemberRole::kMaster)),
                        .server = ""};
    if (absl::Status status = MakeBook(*home, device, session.env); !status.ok()) return status;
    Print(*home, device, session);
    return absl::OkStatus();
  }

 private:
  // Made beside, with its first entries, and put in its place: there is all of it or nothing.
  static absl::Status MakeBook(const StoreHome& home, const Device& device,
                               const Environment& env) {
    auto key = ReadDeviceKey(home);
    if (absl::IsNotFound(key.status())) key = MakeDeviceKey(home, env);
    if (!key.ok()) return key.status();
    const StoreHome draft(home.dir() + "/new-book");
    std::error_code ignored;
    std::filesystem::remove_all(draft.dir(), ignored);
    if (absl::Status status = FillBook(draft, device, std::string(key->public_key().bytes()), env);
        !status.ok())
      return status;
    // The log of a book that is gone would be laid over the new one.
    for (const std::string& left :
         {home.snapshot(), home.database() + "-wal", home.database() + "-shm"}) {
      if (absl::Status status = RemoveFile(left); !status.ok()) return status;
    }
    if (std::rename(draft.database().c_str(), home.database().c_str()) != 0)
      return ErrnoStatus("put the book into", home.dir(), errno);
    std::filesystem::remove_all(draft.dir(), ignored);
    return SyncDir(home.dir());
  }

  static absl::Status FillBook(const StoreHome& draft, const Device& device,
                               const std::string& public_key, const Environment& env) {
    auto store = Store::Create(draft, device, 0);
    if (!store.ok()) return store.status();
    v1::JoinRequest enrolment;
    enrolment.set_public_key(public_key);
    enrolment.set_device_name(device.device_name);
    ChainHead head;
    std::vector<WrittenEntry> written;
    for (const v1::Entry& entry :
         {EnrolmentDraft(enrolment, env.Now()), RegistrationDraft(device, env.Now())}) {
      auto next = WriteEntry(device.writer(), env.NewId(), entry, head);
      if (!next.ok()) return next.status();
      written.push_back(*std::move(next));
    }
    if (absl::Status status = store->Append(written, ChainHead()); !status.ok()) return status;
    // All of it into the one file that is put in place.
    Query checkpoint(store->db(), "PRAGMA wal_checkpoint(TRUNCATE)");
    if (checkpoint.Next() && checkpoint.Int(0) != 0)
      return absl::UnavailableError("the new book is in use: try again");
    return checkpoint.status();
  }

  void Print(const StoreHome& home, const Device& device, Session& session) const {
    if (json_) {
      session.out() << JsonObject()
                           .Text("cellar_id", device.cellar_id.ToString())
                           .Text("cellar_name", device.cellar_name)
                           .Text("member_id", device.member_id.ToString())
                           .Text("device_id", device.device_id.ToString())
                           .Text("home", home.dir())
                           .Finish()
                    << "\n";
      return;
    }
    session.out() << "made the cellar " << device.cellar_name << "; " << device.member_name
                  << " is its master, on " << device.device_name << "\n"
                  << "its book is in " << home.dir() << ", and nowhere else: keep copies of it\n"
                  << "begin with: rundlet vessel new C1 --capacity 20L\n";
  }

  std::string cellar_, member_, device_;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeInit() { return std::make_unique<Init>(); }

}  // namespace rundlet::client
