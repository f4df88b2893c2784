// Goal: rundletd as its users run it: starts, says when it is ready, is administered while it runs
// and while it does not, and stops when it is told to.
// Method: the program itself as a child process on a data directory of its own.
#include <grpcpp/grpcpp.h>
#include <signal.h>
#include <sys/wait.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "absl/strings/escaping.h"
#include "absl/strings/match.h"
#include "absl/strings/numbers.h"
#include "absl/strings/str_cat.h"
#include "absl/strings/str_replace.h"
#include "absl/strings/str_split.h"
#include "absl/time/clock.h"
#include "core/evidence/enrolment.h"
#include "core/identity/invitation.h"
#include "gmock/gmock.h"
#include "rundlet/v1/cellar_service.grpc.pb.h"
#include "rundlet/v1/join_service.grpc.pb.h"
#include "server/health_client.h"
#include "server/pg/child_process.h"
#include "server/pg/testing/await.h"
#include "server/pg/testing/shell.h"
#include "server/pg/testing/temp_dir.h"
#include "server/tls/server_tls.h"

namespace rundlet::server {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::string ReadFile(const std::string& path) {
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

class RundletdTest : public ::testing::Test {
 protected:
  ~RundletdTest() override {
    if (pid_ > 0) Stop(SIGKILL);
  }

  pid_t Begin(std::vector<std::string> arguments, const std::string& output) {
    std::vector<std::string> argv = {RUNDLETD};
    argv.insert(argv.end(), arguments.begin(), arguments.end());
    if (std::find(argv.begin(), argv.end(), "--data") == argv.end()) {
      argv.insert(argv.end(), {"--data", dir_.path() + "/data"});
    }
    const auto pid = StartChild({.argv = argv, .working_dir = dir_.path(), .output_path = output});
    EXPECT_TRUE(pid.ok()) << pid.status();
    return pid.ok() ? *pid : -1;
  }

  struct Ended {
    int code = -1;
    std::string output;
  };
  Ended Run(std::vector<std::string> arguments) {
    const std::string output = absl::StrCat(dir_.path(), "/command.out");
    const pid_t pid = Begin(std::move(arguments), output);
    int status = 0;
    EXPECT_EQ(::waitpid(pid, &status, 0), pid);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, ReadFile(output)};
  }

  void StartServer(const std::vector<std::string>& more = {},
                   const std::string& listen = "127.0.0.1:0") {
    const std::string port_file = dir_.path() + "/port";
    std::vector<std::string> arguments = {"--listen", listen, "--port-file", port_file};
    arguments.insert(arguments.end(), more.begin(), more.end());
    pid_ = Begin(arguments, log());
    ASSERT_TRUE(Await([&] { return !ReadFile(port_file).empty(); })) << ReadFile(log());
    ASSERT_TRUE(absl::SimpleAtoi(ReadFile(port_file), &port_));
  }

  // Returns the exit status, or -1 for one that a signal ended.
  int Stop(int signal) {
    ::kill(pid_, signal);
    int status = 0;
    EXPECT_EQ(::waitpid(pid_, &status, 0), pid_);
    pid_ = 0;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  }

  // The line of an output that begins with this word, without it.
  static std::string ValueOf(const std::string& output, const std::string& word) {
    for (const absl::string_view line : absl::StrSplit(output, '\n')) {
      if (absl::StartsWith(line, word + " ")) return std::string(line.substr(word.size() + 1));
    }
    return "";
  }

  absl::Status Health() {
    return CheckHealth(address(), ReadFile(data() + "/tls.crt"), absl::Seconds(10));
  }

  std::string data() const { return dir_.path() + "/data"; }
  std::string log() const { return dir_.path() + "/server.log"; }
  std::string address() const { return absl::StrCat("127.0.0.1:", port_); }

  TempDir dir_;
  pid_t pid_ = 0;
  int port_ = 0;
};

TEST_F(RundletdTest, ServesAndIsAdministeredAndStops) {
  // Nothing runs yet: the command starts the database for a moment.
  Ended made = Run({"cellar", "new", "Thistledown Wine Circle", "--master", "Isolde Thornbury"});
  EXPECT_EQ(made.code, 0) << made.output;
  EXPECT_THAT(made.output, HasSubstr("\ninvitation rdi1."));

  StartServer();
  EXPECT_THAT(ReadFile(log()),
              HasSubstr(absl::StrCat("event=ready listen=127.0.0.1:0 port=", port_)));
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 0);
  // While it runs, beside it.
  const Ended reader = Run({"reader", "new", "--cellar", "Thistledown Wine Circle", "--member",
                            "Bram Oakshott", "--name", "kitchen wall"});
  EXPECT_EQ(reader.code, 0) << reader.output;
  EXPECT_THAT(reader.output, HasSubstr("\ntoken rdl1."));
  const Ended listed = Run({"device", "list"});
  EXPECT_THAT(listed.output, HasSubstr("guest   Bram Oakshott, on kitchen wall, only reads"));
  EXPECT_EQ(Run({"rebuild", "--compare"}).code, 0);
  EXPECT_EQ(Run({"rebuild"}).code, 0);
  // A second server has no right to the directory.
  const Ended second = Run({"serve", "--listen", "127.0.0.1:0"});
  EXPECT_EQ(second.code, 1);
  EXPECT_THAT(second.output, HasSubstr("error: "));

  EXPECT_EQ(Stop(SIGTERM), 0) << ReadFile(log());
  EXPECT_THAT(ReadFile(log()), HasSubstr("event=stopped"));
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 1);
  EXPECT_THAT(Run({"cellar", "list"}).output, HasSubstr("Thistledown Wine Circle"));
}

TEST_F(RundletdTest, StartsAgainAfterBeingKilled) {
  StartServer();
  EXPECT_EQ(Stop(SIGKILL), -1);
  std::remove((dir_.path() + "/port").c_str());
  StartServer();
  EXPECT_EQ(Health(), absl::OkStatus());
  EXPECT_EQ(Stop(SIGINT), 0);
}

TEST_F(RundletdTest, AnAddressInUseIsToldBeforeAnyDatabaseIsMade) {
  StartServer();
  const std::string elsewhere = dir_.path() + "/elsewhere";
  const Ended second = Run({"--listen", address(), "--data", elsewhere});
  EXPECT_EQ(second.code, 1);
  EXPECT_THAT(second.output, HasSubstr("choose another port"));
  EXPECT_NE(::access(elsewhere.c_str(), F_OK), 0);
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, AQuestionMakesNoDatabase) {
  const Ended listed = Run({"cellar", "list"});
  EXPECT_EQ(listed.code, 1);
  EXPECT_THAT(listed.output, HasSubstr("rundletd cellar new"));
  EXPECT_NE(::access((dir_.path() + "/data").c_str(), F_OK), 0);
}

TEST_F(RundletdTest, RefusesWhatItCannotDoSafelyOrDoesNotKnow) {
  const Ended open = Run({"--listen", "0.0.0.0:7117", "--plain-text"});
  EXPECT_EQ(open.code, 2);
  EXPECT_THAT(open.output, HasSubstr("TLS"));
  EXPECT_EQ(Run({"frobnicate"}).code, 2);
  EXPECT_EQ(Run({"cellar", "new"}).code, 2);
  EXPECT_EQ(Run({"invite", "--cellar", "x", "--member", "y", "--role", "king"}).code, 2);
  EXPECT_EQ(Run({"--certificate", "alone.crt"}).code, 2);
  EXPECT_EQ(Run({"--help"}).code, 0);
}

TEST_F(RundletdTest, AnInvitationLeadsToTheServerAndNowhereElse) {
  StartServer();
  ASSERT_EQ(Run({"cellar", "new", "Thistledown", "--master", "Isolde Thornbury"}).code, 0);
  const Ended made = Run({"invite", "--cellar", "Thistledown", "--member", "Bram Oakshott",
                          "--role", "guest", "--valid", "12h"});
  ASSERT_EQ(made.code, 0) << made.output;
  const auto invitation = ParseInvitation(ValueOf(made.output, "invitation"));
  ASSERT_TRUE(invitation.ok()) << invitation.status() << made.output;
  EXPECT_EQ(invitation->server, address());
  EXPECT_EQ(invitation->role, MemberRole::kGuest);
  EXPECT_NEAR(static_cast<double>(invitation->expires_at_us),
              static_cast<double>(absl::ToUnixMicros(absl::Now() + absl::Hours(12))), 60e6);
  EXPECT_EQ(invitation->known, Invitation::Known::kByFingerprint);
  const std::string fingerprint = PrintFingerprint(invitation->fingerprint);
  EXPECT_THAT(ReadFile(log()), HasSubstr("event=certificate sha256=" + fingerprint));
  EXPECT_EQ(Run({"certificate"}).output, fingerprint + "\n");
  EXPECT_THAT(Shell("openssl s_client -connect " + address() +
                    " </dev/null | openssl x509 -noout -fingerprint -sha256"),
              HasSubstr(fingerprint));

  const Ended elsewhere = Run({"invite", "--cellar", "Thistledown", "--member", "Wren Hollis",
                               "--address", "cellar.example:443", "--qr"});
  EXPECT_EQ(ParseInvitation(ValueOf(elsewhere.output, "invitation"))->server, "cellar.example:443");
  EXPECT_THAT(elsewhere.output, HasSubstr("\u2588\u2588"));
  EXPECT_THAT(made.output, Not(HasSubstr("\u2588"))) << "only for who looks at it";

  const Ended listed = Run({"invitations"});
  EXPECT_THAT(listed.output, HasSubstr("open     guest   Bram Oakshott"));
  const std::string key = absl::BytesToHexString(invitation->key.public_key().bytes());
  ASSERT_EQ(Run({"invitation", "revoke", "--cellar", "Thistledown", key.substr(0, 16)}).code, 0);
  EXPECT_THAT(Run({"invitations"}).output, HasSubstr("revoked  guest   Bram Oakshott"));
  for (const char* valid : {"31d", "0d", "-1h", "soon"})
    EXPECT_EQ(Run({"invite", "--cellar", "Thistledown", "--member", "X", "--valid", valid}).code, 2)
        << valid;
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, SpeaksTls12AndNewerOnly) {
  StartServer();
  const auto handshake = [this](const std::string& version) {
    return Shell("openssl s_client -brief -cipher DEFAULT@SECLEVEL=0 " + version + " -alpn h2 " +
                 "-connect " + address() + " </dev/null");
  };
  EXPECT_THAT(handshake("-tls1_3"), HasSubstr("Protocol version: TLSv1.3"));
  EXPECT_THAT(handshake("-tls1_2"), HasSubstr("Protocol version: TLSv1.2"));
  EXPECT_THAT(handshake("-tls1_1"), Not(HasSubstr("Protocol version")));
  EXPECT_THAT(handshake("-tls1"), Not(HasSubstr("Protocol version")));
  EXPECT_FALSE(CheckHealth(address(), "", absl::Seconds(5)).ok()) << "nothing in plain text";
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, KeepsItsCertificateAndServesEveryAddress) {
  StartServer();
  const std::string first = ReadFile(data() + "/tls.crt");
  EXPECT_EQ(Stop(SIGTERM), 0);
  std::remove((dir_.path() + "/port").c_str());
  StartServer({}, "0.0.0.0:0");
  EXPECT_EQ(ReadFile(data() + "/tls.crt"), first);
  EXPECT_EQ(Health(), absl::OkStatus());
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, PlainTextIsAskedForAndSaid) {
  StartServer({"--plain-text"});
  EXPECT_EQ(CheckHealth(address(), "", absl::Seconds(10)), absl::OkStatus());
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 0);
  EXPECT_THAT(ReadFile(log()), HasSubstr("event=plain_text"));
  const Ended made = Run({"cellar", "new", "Thistledown", "--master", "Isolde Thornbury"});
  EXPECT_EQ(ParseInvitation(ValueOf(made.output, "invitation"))->known,
            Invitation::Known::kPlainText);
  EXPECT_EQ(Stop(SIGTERM), 0);
}

TEST_F(RundletdTest, ACertificateOfAnAuthorityIsKnownByIt) {
  const std::string ca = dir_.path() + "/ca", leaf = dir_.path() + "/leaf";
  const std::string made = Shell(
      "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -days 2 -subj /CN=CA "
      "-keyout " +
      ca + ".key -out " + ca +
      ".crt && "
      "openssl req -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -subj /CN=cellar.example "
      "-keyout " +
      leaf + ".key -out " + leaf +
      ".csr && "
      "printf 'subjectAltName=DNS:cellar.example' >" +
      leaf +
      ".ext && "
      "openssl x509 -req -days 2 -in " +
      leaf + ".csr -CA " + ca + ".crt -CAkey " + ca +
      ".key "
      "-extfile " +
      leaf + ".ext -out " + leaf + ".crt && chmod 600 " + leaf + ".key");
  ASSERT_FALSE(ReadFile(leaf + ".crt").empty()) << made;
  StartServer({"--certificate", leaf + ".crt", "--certificate-key", leaf + ".key"});
  EXPECT_EQ(Run({"health", "--listen", address()}).code, 0);
  const Ended cellar = Run({"cellar", "new", "Thistledown", "--master", "Isolde Thornbury",
                            "--address", "cellar.example:7117"});
  EXPECT_EQ(ParseInvitation(ValueOf(cellar.output, "invitation"))->known,
            Invitation::Known::kByAuthority);
  EXPECT_EQ(Stop(SIGTERM), 0);
  EXPECT_NE(::access((data() + "/tls.key").c_str(), F_OK), 0) << "none is made beside it";
}

// A day of invitations, joins, tokens good and bad; then the log is searched for all of them.
TEST_F(RundletdTest, NoSecretIsInTheLog) {
  StartServer({"--feed", "127.0.0.1:0"});
  const Ended made = Run({"cellar", "new", "Thistledown", "--master", "Isolde Thornbury"});
  const std::string line = ValueOf(made.output, "invitation");
  const auto invitation = ParseInvitation(line);
  ASSERT_TRUE(invitation.ok()) << made.output;
  const auto channel = ChannelToKnown(address(), ReadFile(data() + "/tls.crt"));
  ASSERT_TRUE(channel.ok()) << channel.status();
  const auto device_key = *evidence::SigningKey::FromSeed(std::string(32, 'd'));
  const evidence::Enrolment enrolment{.cellar_id = invitation->cellar_id,
                                      .device_id = *Uuid::FromBytes(std::string(16, 'd')),
                                      .device_key = device_key.public_key(),
                                      .invitation_key = invitation->key.public_key()};
  const std::string message = evidence::EnrolmentMessage(enrolment);
  v1::JoinRequest request;
  request.set_cellar_id(enrolment.cellar_id.ToBytes());
  request.set_device_id(enrolment.device_id.ToBytes());
  request.set_device_name("phone");
  request.set_public_key(std::string(enrolment.device_key.bytes()));
  request.set_invitation_key(std::string(enrolment.invitation_key.bytes()));
  request.set_invitation_signature(*invitation->key.Sign(message));
  request.set_device_signature(*device_key.Sign(message));
  v1::JoinResponse response;
  for (int i = 0; i < 2; ++i) {
    grpc::ClientContext context;
    const grpc::Status status =
        v1::JoinService::NewStub(*channel)->Join(&context, request, &response);
    ASSERT_TRUE(status.ok()) << status.error_message();
  }
  std::string wrong = response.token();
  wrong[60] = wrong[60] == 'A' ? 'B' : 'A';
  for (const std::string& token : {response.token(), wrong, std::string("rdl1.nonsense")}) {
    grpc::ClientContext context;
    context.AddMetadata("authorization", "Bearer " + token);
    v1::GetDeviceResponse device;
    const grpc::Status status =
        v1::CellarService::NewStub(*channel)->GetDevice(&context, v1::GetDeviceRequest(), &device);
    EXPECT_EQ(status.ok(), token == response.token()) << status.error_message();
  }
  const std::string feed = ValueOf(
      absl::StrReplaceAll(Shell("grep event=calendar_feed " + log()), {{" port=", "\nport "}}),
      "port");
  const std::string reader = ValueOf(
      Run({"reader", "new", "--cellar", "Thistledown", "--member", "Wren Hollis"}).output, "token");
  for (const std::string& token : {reader, wrong})
    Shell("bash -c 'exec 3<>/dev/tcp/127.0.0.1/" + feed + "; printf \"GET /calendar/" + token +
          ".ics HTTP/1.0\\r\\n\\r\\n\" >&3; cat <&3'");
  EXPECT_EQ(Stop(SIGTERM), 0);

  const std::string said = ReadFile(log());
  EXPECT_THAT(said, HasSubstr("event=joined"));
  for (const std::string& token : {response.token(), wrong, reader, line}) {
    ASSERT_GT(token.size(), 60u);
    // Any part of it, too: its secret is in its second half.
    for (size_t at = 0; at + 12 <= token.size(); at += 6)
      EXPECT_THAT(said, Not(HasSubstr(token.substr(at, 12)))) << "of a token or an invitation";
  }
  for (const std::string& secret : {request.invitation_signature(), request.device_signature()}) {
    EXPECT_THAT(said, Not(HasSubstr(absl::BytesToHexString(secret).substr(0, 12))));
    EXPECT_THAT(said, Not(HasSubstr(absl::Base64Escape(secret).substr(0, 12))));
  }
}

}  // namespace
}  // namespace rundlet::server
