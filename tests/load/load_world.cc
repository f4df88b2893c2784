#include "tests/load/load_world.h"

#include <csignal>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_split.h"
#include "absl/time/clock.h"
#include "client/sync/certificate.h"
#include "server/random.h"
#include "server/store/cellar_transaction.h"
#include "server/testing/test_device.h"

namespace rundlet::load {
namespace {

std::string ContentsOf(const std::string& path) {
  std::stringstream text;
  text << std::ifstream(path).rdbuf();
  return text.str();
}

}  // namespace

absl::StatusOr<std::unique_ptr<LoadWorld>> LoadWorld::Start(const std::string& programs,
                                                            const std::string& folder) {
  std::unique_ptr<LoadWorld> world(new LoadWorld(programs, folder));
  if (absl::Status status = world->StartServer(); !status.ok()) return status;
  world->certificate_ = ContentsOf(folder + "/data/tls.crt");
  world->admin_ = std::make_unique<server::Admin>(server::Admin::Options{
      .connection_string =
          absl::StrCat("host='", folder, "/data/socket' user=rundlet dbname=rundlet"),
      .now = absl::Now,
      .random = server::FillRandom});
  return world;
}

absl::Status LoadWorld::StartServer() {
  const std::string port_file = folder_ + "/port";
  std::filesystem::remove(port_file);
  server_ = std::make_unique<testing::Background>(
      std::vector<std::string>{programs_ + "/rundletd", "serve", "--listen",
                               address_.empty() ? "127.0.0.1:0" : address_, "--data",
                               folder_ + "/data", "--port-file", port_file},
      testing::Environment{}, folder_ + "/log");
  while (!std::filesystem::exists(port_file)) {
    if (!server_->Alive())
      return absl::UnavailableError("rundletd ended:\n" + ContentsOf(folder_ + "/log"));
    absl::SleepFor(absl::Milliseconds(10));  // between looks
  }
  std::string port = ContentsOf(port_file);
  address_ = absl::StrCat("127.0.0.1:", absl::StripAsciiWhitespace(port));
  return absl::OkStatus();
}

absl::Status LoadWorld::Restart() {
  if (server_->Stop(SIGTERM) != 0)
    return absl::InternalError("rundletd did not end well:\n" + ContentsOf(folder_ + "/log"));
  return StartServer();
}

absl::StatusOr<Uuid> LoadWorld::NewCellar(const std::string& name) {
  const auto made = admin_->NewCellar(name, "Isolde Thornbury", absl::Hours(1));
  if (!made.ok()) return made.status();
  return made->cellar_id;
}

absl::StatusOr<LoadDevice> LoadWorld::NewDevice(const Uuid& cellar_id, const std::string& name) {
  std::array<uint8_t, 10> random;
  std::string seed(32, '\0');
  server::FillRandom(absl::MakeSpan(random));
  server::FillRandom(absl::MakeSpan(reinterpret_cast<uint8_t*>(seed.data()), seed.size()));
  const auto key = evidence::SigningKey::FromSeed(seed);
  if (!key.ok()) return key.status();
  const auto made = server::MakeTestDevice(
      *admin_, {.cellar_id = cellar_id,
                .member_id = Uuid::Version7(absl::ToUnixMillis(absl::Now()), random),
                .member_name = name,
                .role = MemberRole::kHand});
  if (!made.ok()) return made.status();
  const auto transaction =
      server::CellarTransaction::Begin(admin_->pool(), cellar_id, admin_->Deadline());
  if (!transaction.ok()) return transaction.status();
  absl::Status status =
      server::DeviceStore(**transaction).SetPublicKey(made->device.device_id, key->public_key());
  if (status.ok()) status = (*transaction)->Commit();
  if (!status.ok()) return status;

  grpc::SslCredentialsOptions trust;
  trust.pem_root_certs = certificate_;
  grpc::ChannelArguments arguments;
  arguments.SetSslTargetNameOverride(client::NameInCertificate(certificate_).value_or(""));
  arguments.SetInt(GRPC_ARG_ENABLE_HTTP_PROXY, 0);
  arguments.SetInt(GRPC_ARG_USE_LOCAL_SUBCHANNEL_POOL, 1);  // a connection of its own
  return LoadDevice(name,
                    {.cellar_id = cellar_id,
                     .member_id = made->device.member_id,
                     .device_id = made->device.device_id},
                    made->token, *key,
                    v1::CellarService::NewStub(grpc::CreateCustomChannel(
                        address_, grpc::SslCredentials(trust), arguments)));
}

absl::StatusOr<std::string> LoadWorld::Invite(const std::string& cellar,
                                              const std::string& member) {
  const testing::Finished made = testing::RunProgram(
      {programs_ + "/rundletd", "invite", "--cellar", cellar, "--member", member, "--role", "hand",
       "--address", address_, "--data", folder_ + "/data"});
  for (const absl::string_view word : absl::StrSplit(made.out, absl::ByAnyChar(" \n"))) {
    if (absl::StartsWith(word, "rdi1.")) return std::string(word);
  }
  return absl::InternalError(absl::StrCat("no invitation was made: ", made.out, made.err));
}

absl::StatusOr<double> LoadWorld::StatusLine(const std::string& name) const {
  const std::string status = ContentsOf(absl::StrCat("/proc/", server_->pid(), "/status"));
  for (absl::string_view line : absl::StrSplit(status, '\n')) {
    double kilobytes = 0;
    if (absl::ConsumePrefix(&line, name + ":") && absl::ConsumeSuffix(&line, " kB") &&
        absl::SimpleAtod(absl::StripAsciiWhitespace(line), &kilobytes))
      return kilobytes * 1024;
  }
  return absl::UnavailableError("the system does not say how much memory rundletd has");
}

absl::StatusOr<double> LoadWorld::Memory() const { return StatusLine("VmRSS"); }
absl::StatusOr<double> LoadWorld::PeakMemory() const { return StatusLine("VmHWM"); }

absl::StatusOr<double> LoadWorld::Ask(const std::string& sql) {
  const testing::Finished asked =
      testing::RunProgram({"/usr/bin/env", "psql", "-X", "-q", "-At", "-v", "ON_ERROR_STOP=1", "-h",
                           folder_ + "/data/socket", "-U", "rundlet", "-d", "rundlet", "-c", sql});
  double number = 0;
  if (asked.exit_code != 0 || !absl::SimpleAtod(absl::StripAsciiWhitespace(asked.out), &number))
    return absl::InternalError(absl::StrCat(sql, ": ", asked.out, asked.err));
  return number;
}

}  // namespace rundlet::load
