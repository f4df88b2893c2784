// rundlet server: where the server is, and by what this device knows it.
#include "absl/strings/escaping.h"
#include "absl/strings/str_cat.h"
#include "client/cli/json.h"
#include "client/cli/server_call.h"
#include "client/commands/commands.h"
#include "client/store/checkpoint_file.h"
#include "client/store/server_trust.h"
#include "client/store/store.h"

namespace rundlet::client {
namespace {

class Server : public Command {
 public:
  void Declare(CLI::App& app) override {
    app.add_option("--address", address_, "it is at HOST:PORT from now on")->type_name("HOST:PORT");
    app.add_option("--fingerprint", fingerprint_,
                   "its certificate is the one with this SHA-256, as its keeper says")
        ->type_name("HEX");
    app.add_flag("--authority", authority_,
                 "it has a certificate for its name from an authority that this system trusts");
    app.add_flag("--json", json_, "print JSON");
  }

  absl::Status Run(Session& session) override {
    if (authority_ && !fingerprint_.empty())
      return absl::InvalidArgumentError("write --fingerprint or --authority: one of the two");
    if (!fingerprint_.empty() && !ParseFingerprint(fingerprint_).ok())
      return ParseFingerprint(fingerprint_).status();
    const auto home = StoreHome::Locate(session.env);
    if (!home.ok()) return home.status();
    if (!address_.empty() || !fingerprint_.empty() || authority_) {
      if (absl::Status status = Set(*home, session); !status.ok()) return status;
    }
    return Show(*home, session);
  }

 private:
  absl::Status Set(const StoreHome& home, Session& session) const {
    std::vector<std::string> words;
    if (!address_.empty()) words.insert(words.end(), {"--server-address", address_});
    if (!fingerprint_.empty()) words.insert(words.end(), {"--server-fingerprint", fingerprint_});
    if (authority_) words.emplace_back("--server-authority");
    return AskNetwork(session, home.dir(), words).status();
  }

  absl::Status Show(const StoreHome& home, Session& session) const {
    const auto store = Store::Open(home);
    if (!store.ok()) return store.status();
    if (store->device().server.empty()) {
      session.out() << (json_ ? "{\"address\":\"\"}\n"
                              : "this cellar has no server: everything is in this book alone\n");
      return absl::OkStatus();
    }
    const auto trust = ReadServerTrust(home);
    if (!trust.ok()) return trust.status();
    const auto fingerprint = FingerprintOf(trust->pem);
    const std::string known = trust->kind == ServerTrust::Kind::kPinned      ? "certificate"
                              : trust->kind == ServerTrust::Kind::kAuthority ? "authority"
                                                                             : "plain text";
    std::string key;
    if (const auto saved = ReadSavedCheckpoint(home); !saved.ok()) {
      return saved.status();
    } else if (saved->has_value()) {
      key = absl::Base64Escape((*saved)->key.bytes());
    }
    if (json_) {
      session.out() << JsonObject()
                           .Text("address", store->device().server)
                           .Text("known_by", known)
                           .Text("fingerprint",
                                 fingerprint.ok() ? FormatFingerprint(*fingerprint) : "")
                           .Text("signing_key", key)
                           .Finish()
                    << "\n";
      return absl::OkStatus();
    }
    session.out() << "address      " << store->device().server << "\n"
                  << "known by     "
                  << (fingerprint.ok() ? absl::StrCat("its certificate, with the fingerprint ",
                                                      FormatFingerprint(*fingerprint))
                      : trust->kind == ServerTrust::Kind::kAuthority
                          ? "a certificate of an authority that this system trusts"
                          : "nothing: plain text, on this machine")
                  << "\n"
                  << "signing key  " << (key.empty() ? "none seen yet: rundlet sync" : key) << "\n";
    return absl::OkStatus();
  }

  std::string address_, fingerprint_;
  bool authority_ = false;
  bool json_ = false;
};

}  // namespace

std::unique_ptr<Command> MakeServer() { return std::make_unique<Server>(); }

}  // namespace rundlet::client
