#include "server/admin_commands.h"

#include <utility>
#include <vector>

#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_format.h"
#include "server/cellar/rebuild.h"

namespace rundlet::server {
namespace {

constexpr int kDifferencesATable = 100;

}  // namespace

CLI::App* AdminCommands::AddCommand(CLI::App* parent, const std::string& name,
                                    const std::string& help, Command command) {
  CLI::App* app = parent->add_subcommand(name, help);
  app->fallthrough();
  app->callback([this, command] { run_ = command; });
  return app;
}

void AdminCommands::AddTo(CLI::App& app) {
  AddCellarCommands(app);
  AddInvitationCommands(app);
  AddDeviceCommands(app);
  CLI::App* rebuild = AddCommand(&app, "rebuild", "Make the projections anew from the journal",
                                 &AdminCommands::Rebuild);
  rebuild->add_option("--cellar", cellar_, "Only this cellar, by id or name");
  rebuild->add_flag("--compare", compare_,
                    "Change nothing: print each row that differs, and exit with 1 if one does");
  AddAuditCommand(app);
}

void AdminCommands::AddCellarCommands(CLI::App& app) {
  CLI::App* cellar = app.add_subcommand("cellar", "Make and list cellars");
  cellar->fallthrough();
  cellar->require_subcommand(1);
  CLI::App* make =
      AddCommand(cellar, "new", "Make a cellar, and print the invitation of its master",
                 &AdminCommands::NewCellar);
  make->add_option("name", name_, "What the cellar is called")->required();
  make->add_option("--master", master_, "Name of the cellar master")->required();
  AddInvitationOptions(make);
  AddCommand(cellar, "list", "List the cellars", &AdminCommands::ListCellars);
}

void AdminCommands::AddDeviceCommands(CLI::App& app) {
  CLI::App* reader = app.add_subcommand("reader", "Make tokens for programs that read");
  reader->fallthrough();
  reader->require_subcommand(1);
  CLI::App* make =
      AddCommand(reader, "new",
                 "Print a token for a program that reads, such as a calendar: it hands nothing in",
                 &AdminCommands::NewReader);
  make->add_option("--cellar", cellar_, "The cellar, by id or name")->required();
  make->add_option("--member", member_, "Whose it is; the same name is the same member")
      ->required();
  make->add_option("--name", device_, "What it is, as in 'kitchen wall'");
  CLI::App* device = app.add_subcommand("device", "List and revoke devices");
  device->fallthrough();
  device->require_subcommand(1);
  CLI::App* list = AddCommand(device, "list", "List devices", &AdminCommands::ListDevices);
  list->add_option("--cellar", cellar_, "Only of this cellar, by id or name");
  CLI::App* revoke = AddCommand(device, "revoke", "Refuse a device's token from now on",
                                &AdminCommands::RevokeDevice);
  revoke->add_option("--cellar", cellar_, "The cellar, by id or name")->required();
  revoke->add_option("id", device_, "Id of the device")->required();
}

absl::StatusOr<int> AdminCommands::Run(std::ostream& out) {
  absl::StatusOr<Database> database =
      Database::OpenForCommand(*options_.database, /*may_make=*/run_ == &AdminCommands::NewCellar);
  if (!database.ok()) return database.status();
  absl::StatusOr<int> code;
  {
    Admin admin({.connection_string = database->connection_string(),
                 .transaction_pooling = options_.database->transaction_pooling,
                 .now = options_.now,
                 .random = options_.random});
    code = (this->*run_)(admin, out);
  }
  const absl::Status closed = database->Close();
  if (code.ok() && !closed.ok()) return closed;
  return code;
}

absl::StatusOr<std::vector<CellarName>> AdminCommands::ChosenCellars(Admin& admin) {
  if (cellar_.empty()) return admin.ListCellars();
  absl::StatusOr<CellarName> cellar = admin.FindCellar(cellar_);
  if (!cellar.ok()) return cellar.status();
  return std::vector<CellarName>{*std::move(cellar)};
}

absl::StatusOr<int> AdminCommands::ListCellars(Admin& admin, std::ostream& out) {
  const absl::StatusOr<std::vector<CellarName>> cellars = admin.ListCellars();
  if (!cellars.ok()) return cellars.status();
  for (const CellarName& cellar : *cellars) {
    out << cellar.cellar_id.ToString() << "  " << cellar.name << '\n';
  }
  return 0;
}

// One line a value, so that a script finds each by its first word.
absl::StatusOr<int> AdminCommands::NewReader(Admin& admin, std::ostream& out) {
  const absl::StatusOr<CellarName> cellar = admin.FindCellar(cellar_);
  if (!cellar.ok()) return cellar.status();
  const auto made =
      admin.AddReader(cellar->cellar_id, member_, device_.empty() ? "reader" : device_);
  if (!made.ok()) return made.status();
  out << "cellar " << cellar->cellar_id.ToString() << '\n'
      << "member " << made->device.member_id.ToString() << '\n'
      << "device " << made->device.device_id.ToString() << '\n'
      << "role " << RoleName(made->device.role) << '\n'
      << "token " << made->token << '\n';
  return 0;
}

absl::StatusOr<int> AdminCommands::ListDevices(Admin& admin, std::ostream& out) {
  const absl::StatusOr<std::vector<CellarName>> cellars = ChosenCellars(admin);
  if (!cellars.ok()) return cellars.status();
  for (const CellarName& cellar : *cellars) {
    const absl::StatusOr<std::vector<Device>> devices = admin.ListDevices(cellar.cellar_id);
    if (!devices.ok()) return devices.status();
    out << cellar.name << " (" << cellar.cellar_id.ToString() << ")\n";
    for (const Device& device : *devices) {
      out << absl::StrFormat("  %s  %-6s  %s, on %s", device.device_id.ToString(),
                             RoleName(device.role), device.member_name, device.device_name);
      if (!device.public_key.has_value()) out << ", only reads";
      if (device.revoked_at.has_value()) {
        out << ", revoked "
            << absl::FormatTime("%Y-%m-%d %H:%M UTC", *device.revoked_at, absl::UTCTimeZone());
      }
      out << '\n';
    }
  }
  return 0;
}

absl::StatusOr<int> AdminCommands::RevokeDevice(Admin& admin, std::ostream& out) {
  const absl::StatusOr<CellarName> cellar = admin.FindCellar(cellar_);
  if (!cellar.ok()) return cellar.status();
  const absl::StatusOr<Uuid> device_id = Uuid::Parse(device_);
  if (!device_id.ok()) return device_id.status();
  const absl::Status revoked = admin.RevokeDevice(cellar->cellar_id, *device_id);
  if (!revoked.ok()) return revoked;
  out << "revoked " << device_id->ToString() << "; running servers notice within seconds\n";
  return 0;
}

absl::StatusOr<int> AdminCommands::Rebuild(Admin& admin, std::ostream& out) {
  const absl::StatusOr<std::vector<CellarName>> cellars = ChosenCellars(admin);
  if (!cellars.ok()) return cellars.status();
  size_t differences = 0;
  for (const CellarName& cellar : *cellars) {
    const absl::StatusOr<RebuildResult> result =
        compare_ ? CompareProjections(admin.pool(), cellar.cellar_id, kDifferencesATable,
                                      admin.Deadline())
                 : RebuildProjections(admin.pool(), cellar.cellar_id, admin.Deadline());
    if (!result.ok()) return result.status();
    for (const ProjectionDifference& difference : result->differences) {
      out << (difference.in_database ? "should not be: " : "is missing: ") << difference.table
          << ' ' << difference.row << '\n';
    }
    differences += result->differences.size();
    out << (compare_ ? "compared " : "rebuilt ") << cellar.cellar_id.ToString() << ", "
        << result->entries << " entries, digest "
        << absl::BytesToHexString(HashBytes(result->digest)) << ", " << cellar.name << '\n';
  }
  return differences == 0 ? 0 : 1;
}

}  // namespace rundlet::server
