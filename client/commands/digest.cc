// rundlet digest: one number for the whole book. Two devices with the same entries have the same.
#include "absl/strings/escaping.h"
#include "client/cli/json.h"
#include "client/commands/commands.h"

namespace rundlet::client {
namespace {

class Digest : public ViewCommand {
 protected:
  bool ForPeople() const override { return false; }
  absl::Status Show(Cellar& cellar, Session& session) override {
    const Hash hash = cellar.fold->StateDigest();
    const std::string digest = absl::BytesToHexString(HashBytes(hash));
    const auto entries = static_cast<int64_t>(cellar.fold->sequence().size());
    if (json()) {
      session.out() << JsonObject().Text("digest", digest).Number("entries", entries).Finish()
                    << "\n";
    } else {
      session.out() << digest << "  " << entries << " entries\n";
    }
    return absl::OkStatus();
  }
};

}  // namespace

std::unique_ptr<Command> MakeDigest() { return std::make_unique<Digest>(); }

}  // namespace rundlet::client
