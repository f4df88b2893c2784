#ifndef RUNDLET_SERVER_ADMIN_COMMANDS_H_
#define RUNDLET_SERVER_ADMIN_COMMANDS_H_

#include <CLI/CLI.hpp>
#include <functional>
#include <ostream>
#include <string>

#include "absl/status/statusor.h"
#include "absl/time/time.h"
#include "absl/types/span.h"
#include "server/admin.h"
#include "server/database.h"
#include "server/reach.h"

namespace rundlet::server {

// The subcommands of rundletd that change or show who is in a cellar, and rebuild.
class AdminCommands {
 public:
  struct Options {
    const DatabaseOptions* database;  // filled in by the time of Run
    std::function<absl::Time()> now;
    std::function<void(absl::Span<uint8_t>)> random;
    std::function<absl::StatusOr<Reach>()> reach;  // of the server that invitations lead to
    bool terminal = false;                         // whether somebody looks at what is written
  };

  explicit AdminCommands(Options options) : options_(std::move(options)) {}
  AdminCommands(const AdminCommands&) = delete;
  AdminCommands& operator=(const AdminCommands&) = delete;

  void AddTo(CLI::App& app);
  // Whether the command line names one of ours.
  bool chosen() const { return run_ != nullptr; }
  // Does it and writes the result to `out`. Returns the exit status.
  absl::StatusOr<int> Run(std::ostream& out);

 private:
  using Command = absl::StatusOr<int> (AdminCommands::*)(Admin& admin, std::ostream& out);

  void AddCellarCommands(CLI::App& app);
  void AddDeviceCommands(CLI::App& app);
  void AddInvitationCommands(CLI::App& app);
  void AddInvitationOptions(CLI::App* command);
  void AddAuditCommand(CLI::App& app);
  CLI::App* AddCommand(CLI::App* parent, const std::string& name, const std::string& help,
                       Command command);

  absl::StatusOr<int> NewCellar(Admin& admin, std::ostream& out);
  absl::StatusOr<int> ListCellars(Admin& admin, std::ostream& out);
  absl::StatusOr<int> Invite(Admin& admin, std::ostream& out);
  absl::StatusOr<int> ListInvitations(Admin& admin, std::ostream& out);
  absl::StatusOr<int> RevokeInvitation(Admin& admin, std::ostream& out);
  absl::StatusOr<int> NewReader(Admin& admin, std::ostream& out);
  absl::StatusOr<int> ListDevices(Admin& admin, std::ostream& out);
  absl::StatusOr<int> RevokeDevice(Admin& admin, std::ostream& out);
  absl::StatusOr<int> Rebuild(Admin& admin, std::ostream& out);
  absl::StatusOr<int> Audit(Admin& admin, std::ostream& out);
  absl::Status PrintInvitation(const NewInvitation& made, const Reach& reach, std::ostream& out);
  // The cellar that --cellar names, or all.
  absl::StatusOr<std::vector<CellarName>> ChosenCellars(Admin& admin);

  const Options options_;
  Command run_ = nullptr;
  // What the command line says.
  std::string name_;
  std::string master_;
  std::string cellar_;
  std::string member_;
  std::string device_;
  std::string role_ = "hand";
  std::string valid_ = "1d";
  std::string key_;
  bool qr_ = false;
  bool compare_ = false;
  std::string checkpoint_;
};

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_ADMIN_COMMANDS_H_
