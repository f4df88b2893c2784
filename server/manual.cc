#include "server/manual.h"

#include <algorithm>
#include <vector>

#include "absl/algorithm/container.h"
#include "absl/strings/str_cat.h"
#include "core/manual/from_app.h"

namespace rundlet::server {
namespace {

constexpr char kExitStatus[] =
    "Exit status: 0 done, 1 error (or a comparison found differences), 2 usage.";
constexpr size_t kColumns = 100;

const CLI::App& ProgramOf(const CLI::App& command) {
  const CLI::App* app = &command;
  while (app->get_parent() != nullptr) app = app->get_parent();
  return *app;
}

std::string NameOfCommand(const CLI::App& command) {
  if (command.get_parent() == nullptr) return command.get_name();
  return absl::StrCat(NameOfCommand(*command.get_parent()), " ", command.get_name());
}

// Those that are listed: not in no group.
std::vector<const CLI::App*> CommandsOf(const CLI::App& app) {
  return app.get_subcommands([](const CLI::App* command) { return !command->get_group().empty(); });
}

// Whether a command of that name heeds an option of the program.
bool Heeds(const std::string& command, const std::string& option) {
  if (command == "serve") return option != "--help" && option != "--version";
  if (option == "--data" || option == "--database" || option == "--transaction-pooling")
    return true;
  if (command == "health")
    return option == "--listen" || option == "--plain-text" || option == "--certificate";
  if (command == "certificate") return option == "--certificate" || option == "--certificate-key";
  // What prints an invitation says in it where the server is.
  if (command == "new" || command == "invite") return option == "--address" || option == "--listen";
  return false;
}

manual::Verb Describe(const CLI::App& command) {
  manual::Verb verb = manual::DescribeApp(command, NameOfCommand(command));
  if (command.get_parent() == nullptr) return verb;
  for (const CLI::Option* option : ProgramOf(command).get_options()) {
    if (Heeds(command.get_name(), option->get_name()))
      verb.words.push_back(manual::WordOf(*option));
  }
  return verb;
}

std::string Help(const CLI::App& command) {
  std::string text = manual::PrintHelp(Describe(command), kColumns);
  const std::vector<const CLI::App*> commands = CommandsOf(command);
  size_t names = 0;
  for (const CLI::App* inner : commands) names = std::max(names, inner->get_name().size());
  if (!commands.empty()) absl::StrAppend(&text, "\nCommands, each with a --help of its own:\n");
  for (const CLI::App* inner : commands) {
    absl::StrAppend(&text, "  ", inner->get_name(),
                    std::string(names - inner->get_name().size() + 2, ' '),
                    inner->get_description(), "\n");
  }
  return absl::StrCat(text, "\n", kExitStatus, "\n");
}

// The commands that do something, in order; those that only lead to others are left out.
void AddVerbs(const CLI::App& app, std::vector<manual::Verb>& verbs) {
  const std::vector<const CLI::App*> commands = CommandsOf(app);
  if (commands.empty()) verbs.push_back(Describe(app));
  for (const CLI::App* command : commands) AddVerbs(*command, verbs);
}

}  // namespace

void UseManual(CLI::App& program) {
  program.formatter_fn(
      [](const CLI::App* command, std::string, CLI::AppFormatMode) { return Help(*command); });
}

std::string PrintManual(const CLI::App& program) {
  manual::Page page{
      .name = "rundletd", .section = 8, .about = "the server of a shared cellar book"};
  AddVerbs(program, page.verbs);
  page.sections = {
      {"description",
       "rundletd gathers what the devices of a cellar write down, in one journal in PostgreSQL, "
       "and "
       "signs it. Without a command it serves.\n\n"
       "Without --database it runs a private PostgreSQL cluster in its data directory, on a Unix "
       "socket alone. It serves by TLS; the certificate is made when it starts first, and every "
       "invitation carries its fingerprint.\n\n"
       "  rundletd serve --data /var/lib/rundlet --listen 0.0.0.0:7117\n"
       "  rundletd cellar new \"Thistledown Wine Circle\" --master \"Maud Ferrier\"\n\n"
       "SIGTERM and SIGINT stop it: calls that run are finished first. The log goes to the "
       "standard "
       "error, a line for each event."},
      {"files",
       "In the data directory, which is its owner's alone:\n\n"
       "  checkpoint.key   signs the journal; keep a copy of it where nobody else comes\n"
       "  tls.crt tls.key  by which devices know the server\n"
       "  postgres         the private database, where --database names no other"},
      {"environment",
       "RUNDLET_DATA names the data directory, RUNDLET_DATABASE the database; options come first."},
      {"exit status",
       "0 done; 1 error, or a comparison found differences; 2 the words were not understood."}};
  page.see_also = {"rundlet(1)"};
  return manual::PrintRoff(page, "rundlet " RUNDLET_VERSION, RUNDLET_DATE);
}

}  // namespace rundlet::server
